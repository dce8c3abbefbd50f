"""Joints, their axes, and the clinical names of movements.

Every joint axis has one positive movement; the opposite name is the same axis with the
sign turned. Zero is the anatomical position; a forearm's is its
mid-position, thumb up with the elbow bent, from where pronation and supination count. Sides are
mirror images: a positive angle is the same movement on either side. Sources: the names are those
of the ISB recommendations (Wu et al. 2002, 2005) and of clinical goniometry.
"""

from __future__ import annotations

from dataclasses import dataclass

# joint -> {movement name: (axis, sign)}; the first name of an axis is its positive movement.
MOVEMENTS: dict[str, dict[str, tuple[str, int]]] = {
    "hip": {
        "flexion": ("flexion", 1),
        "extension": ("flexion", -1),
        "abduction": ("abduction", 1),
        "adduction": ("abduction", -1),
        "external-rotation": ("external-rotation", 1),
        "internal-rotation": ("external-rotation", -1),
    },
    "knee": {
        "flexion": ("flexion", 1),
        "extension": ("flexion", -1),
        "external-rotation": ("external-rotation", 1),
        "internal-rotation": ("external-rotation", -1),
    },
    "ankle": {
        "dorsiflexion": ("dorsiflexion", 1),
        "plantarflexion": ("dorsiflexion", -1),
        "inversion": ("inversion", 1),
        "eversion": ("inversion", -1),
    },
    "toes": {"extension": ("extension", 1), "flexion": ("extension", -1)},
    "lumbar": {
        "flexion": ("flexion", 1),
        "extension": ("flexion", -1),
        "side-bend": ("side-bend", 1),
        "rotation": ("rotation", 1),
    },
    "neck": {
        "flexion": ("flexion", 1),
        "extension": ("flexion", -1),
        "side-bend": ("side-bend", 1),
        "rotation": ("rotation", 1),
    },
    "shoulder": {
        "flexion": ("flexion", 1),
        "extension": ("flexion", -1),
        "abduction": ("abduction", 1),
        "adduction": ("abduction", -1),
        "external-rotation": ("external-rotation", 1),
        "internal-rotation": ("external-rotation", -1),
    },
    "elbow": {"flexion": ("flexion", 1), "extension": ("flexion", -1)},
    "forearm": {
        "pronation": ("pronation", 1),
        "supination": ("pronation", -1),
        "rotation": ("pronation", 1),
    },
    "wrist": {"flexion": ("flexion", 1), "extension": ("flexion", -1)},
}

# Not joints: how the trunk and the pelvis lie in the room, written like joints.
ROOM_ANGLES: dict[str, tuple[str, ...]] = {
    "trunk": ("forward-lean", "side-lean"),
    "pelvis": ("drop",),
}

MIDLINE_JOINTS = frozenset({"lumbar", "neck"})
SIDED_JOINTS = frozenset(MOVEMENTS) - MIDLINE_JOINTS


@dataclass(frozen=True, slots=True, order=True)
class Action:
    """A movement as the work of a muscle group: `ankle plantarflexion`, `other-hip abduction`."""

    joint: str
    movement: str
    other_side: bool = False

    @property
    def axis(self) -> str:
        """Name of the joint axis it turns about, by its positive movement."""
        return MOVEMENTS[self.joint][self.movement][0]

    @property
    def sign(self) -> int:
        """+1 where the action is the axis's positive movement, else -1."""
        return MOVEMENTS[self.joint][self.movement][1]

    def __str__(self) -> str:
        return f"{'other-' if self.other_side else ''}{self.joint} {self.movement}"


def opposite_movement(joint: str, movement: str) -> str | None:
    """The movement about the same axis the other way: `flexion` of `extension`."""
    axis, sign = MOVEMENTS[joint][movement]
    names = MOVEMENTS[joint].items()
    return next((name for name, one in names if one == (axis, -sign)), None)


def split_side(joint: str) -> tuple[str, bool]:
    """`other-hip` -> ("hip", True); `hip` -> ("hip", False)."""
    return (joint[6:], True) if joint.startswith("other-") else (joint, False)


def opposite_of(joint: str, movement: str) -> str | None:
    """The movement about the same axis the other way: `flexion` -> `extension`."""
    axis, sign = MOVEMENTS[joint][movement]
    names = (n for n, (other, turn) in MOVEMENTS[joint].items() if (other, turn) == (axis, -sign))
    return next(names, None)


def named_way(joint: str, movement: str, lowest: float, highest: float) -> tuple[str, int]:
    """The name under which angles from `lowest` to `highest` degrees are positive, and their sign.

    `("knee flexion", -1)` for knee extension from -80 to 0: people say 80 degrees of flexion.
    Angles on both sides of zero keep their name.
    """
    opposite = opposite_of(joint, movement)
    if opposite is not None and highest <= 2.0 and lowest < -2.0:
        return f"{joint} {opposite.replace('-', ' ')}", -1
    return f"{joint} {movement.replace('-', ' ')}", 1
