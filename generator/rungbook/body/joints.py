"""The tree of segments and the axes between them.

Room: x forward, y to the left, z up. Every axis turns its segment by the positive movement of
`rungbook.model.movement.MOVEMENTS`; a left side is the mirror image of the right one. Order
of the axes: the joint coordinate systems of the ISB (Wu et al. 2002, 2005; after Grood and
Suntay 1983): flexion on the proximal segment, abduction floating, rotation on the distal one.
At the shoulder the same order is used, since it is the one that clinicians write in.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache
from typing import Literal

Side = Literal["right", "left", "mid"]

SEGMENT_PARTS = ("thigh", "shank", "foot", "toes", "upper_arm", "forearm", "hand")
SEGMENTS: tuple[str, ...] = (
    "pelvis", "abdomen", "thorax", "head",
    *(f"{part}_{side}" for side in ("right", "left") for part in SEGMENT_PARTS),
)  # fmt: skip
SEGMENT = {name: index for index, name in enumerate(SEGMENTS)}
_BEFORE = {
    "abdomen": "pelvis", "thorax": "abdomen", "head": "thorax",
    "thigh": "pelvis", "shank": "thigh", "foot": "shank", "toes": "foot",
    "upper_arm": "thorax", "forearm": "upper_arm", "hand": "forearm",
}  # fmt: skip


def part_of(segment: str) -> tuple[str, Side]:
    """`thigh_left` -> ("thigh", "left"); `thorax` -> ("thorax", "mid")."""
    for side in ("right", "left"):
        if segment.endswith(f"_{side}"):
            return segment.removesuffix(f"_{side}"), side
    return segment, "mid"


def _parent(segment: str) -> int:
    part, side = part_of(segment)
    if part == "pelvis":
        return -1
    before = _BEFORE[part]
    return SEGMENT[before if before in SEGMENT else f"{before}_{side}"]


PARENT: tuple[int, ...] = tuple(_parent(segment) for segment in SEGMENTS)


@dataclass(frozen=True, slots=True)
class Rotation:
    """One elementary rotation: the angle of `dof` times `factor` about a coordinate axis.

    `zero`, in radians: how far it is turned from the anatomical position where the angle is 0.
    """

    dof: int
    axis: int
    factor: float
    segment: int
    zero: float = 0.0


# Joint -> (segment it moves, [(axis name, coordinate axis, sign on the right side)])
_Y, _X, _Z = 1, 0, 2
_SIDED: dict[str, tuple[str, tuple[tuple[str, str, int, int], ...]]] = {
    "hip": (
        "thigh",
        (
            ("hip", "flexion", _Y, -1),
            ("hip", "abduction", _X, -1),
            ("hip", "external-rotation", _Z, -1),
        ),
    ),
    "knee": ("shank", (("knee", "flexion", _Y, 1), ("knee", "external-rotation", _Z, -1))),
    "ankle": ("foot", (("ankle", "dorsiflexion", _Y, -1), ("ankle", "inversion", _X, 1))),
    "toes": ("toes", (("toes", "extension", _Y, -1),)),
    "shoulder": (
        "upper_arm",
        (
            ("shoulder", "flexion", _Y, -1),
            ("shoulder", "abduction", _X, -1),
            ("shoulder", "external-rotation", _Z, -1),
        ),
    ),
    "elbow": ("forearm", (("elbow", "flexion", _Y, -1), ("forearm", "pronation", _Z, 1))),
    "wrist": ("hand", (("wrist", "flexion", _Y, -1),)),
}
# A forearm's zero is its mid-position, thumb up with the elbow bent; the anatomical position, palm
# forward, is full supination (American Academy of Orthopaedic Surgeons 1965; from memory).
_ZEROS = {("forearm", "pronation"): math.pi / 2}
# Side-bend and rotation of the spine are positive toward the right, which is the working side.
_MID: dict[str, tuple[tuple[str, ...], tuple[tuple[str, int, int], ...]]] = {
    "lumbar": (
        ("abdomen", "thorax"),
        (("flexion", _Y, 1), ("side-bend", _X, 1), ("rotation", _Z, -1)),
    ),
    "neck": (("head",), (("flexion", _Y, 1), ("side-bend", _X, 1), ("rotation", _Z, -1))),
}
ROOT = ("x", "y", "z", "yaw", "pitch", "roll")

Dof = tuple[str, str, str]  # side, joint, axis


def _dofs() -> tuple[Dof, ...]:
    dofs: list[Dof] = [("mid", "root", name) for name in ROOT]
    for joint, (_, mid_axes) in _MID.items():
        dofs += [("mid", joint, axis) for axis, _, _ in mid_axes]
    for side in ("right", "left"):
        for _, axes in _SIDED.values():
            dofs += [(side, joint, axis) for joint, axis, _, _ in axes]
    return tuple(dofs)


DOFS: tuple[Dof, ...] = _dofs()
DOF: dict[Dof, int] = {dof: index for index, dof in enumerate(DOFS)}
JOINT_DOFS = tuple(range(len(ROOT), len(DOFS)))


def _rotations() -> tuple[Rotation, ...]:
    rotations = [Rotation(DOF["mid", "root", "yaw"], _Z, 1.0, 0)]
    rotations += [Rotation(DOF["mid", "root", "pitch"], _Y, 1.0, 0)]
    rotations += [Rotation(DOF["mid", "root", "roll"], _X, 1.0, 0)]
    for joint, (segments, mid_axes) in _MID.items():
        for segment in segments:  # the lumbar angles are spread evenly over two joints
            for axis, coordinate, sign in mid_axes:
                dof = DOF["mid", joint, axis]
                factor = sign / len(segments)
                rotations.append(Rotation(dof, coordinate, factor, SEGMENT[segment]))
    for side, mirror in (("right", 1), ("left", -1)):
        for part, axes in _SIDED.values():
            for joint, axis, coordinate, sign in axes:
                turned = sign if coordinate == _Y else sign * mirror
                dof = DOF[side, joint, axis]
                zero = turned * _ZEROS.get((joint, axis), 0.0)
                moves = SEGMENT[f"{part}_{side}"]
                rotations.append(Rotation(dof, coordinate, float(turned), moves, zero))
    return tuple(rotations)


ROTATIONS: tuple[Rotation, ...] = _rotations()
ROTATIONS_OF: tuple[tuple[int, ...], ...] = tuple(
    tuple(k for k, rotation in enumerate(ROTATIONS) if rotation.segment == segment)
    for segment in range(len(SEGMENTS))
)


def ancestors(segment: int) -> tuple[int, ...]:
    """The segment itself and all before it, up to the pelvis."""
    chain = []
    while segment >= 0:
        chain.append(segment)
        segment = PARENT[segment]
    return tuple(chain)


def below(segment: int) -> tuple[int, ...]:
    """The segment itself and all that hang from it."""
    return tuple(s for s in range(len(SEGMENTS)) if segment in ancestors(s))


def mirrored(dof: Dof) -> Dof:
    """The same movement on the other side; a mid-line one is its own."""
    side, joint, axis = dof
    return ({"right": "left", "left": "right"}.get(side, side), joint, axis)


# Mirror image of a posture: sided angles change sides; these turn their sign.
MIRROR = tuple(DOF[mirrored(dof)] for dof in DOFS)
_TURNED = {"y", "yaw", "roll", "side-bend", "rotation"}
MIRROR_SIGN = tuple(-1.0 if side == "mid" and axis in _TURNED else 1.0 for side, _, axis in DOFS)


def _mirrored_segment(segment: str) -> int:
    part, side = part_of(segment)
    other = {"right": "left", "left": "right"}.get(side)
    return SEGMENT[f"{part}_{other}" if other else segment]


MIRROR_SEGMENT = tuple(_mirrored_segment(segment) for segment in SEGMENTS)
LIMBS: dict[str, str] = {  # segment part -> limb
    "thigh": "leg", "shank": "leg", "foot": "leg", "toes": "leg",
    "upper_arm": "arm", "forearm": "arm", "hand": "arm",
}  # fmt: skip
JOINT_LIMB: dict[str, str] = {
    "hip": "leg", "knee": "leg", "ankle": "leg", "toes": "leg",
    "shoulder": "arm", "elbow": "arm", "forearm": "arm", "wrist": "arm",
}  # fmt: skip


def limb_of(dof: int) -> tuple[str, str]:
    """What an angle belongs to: ("right", "leg"), or ("mid", "spine"), "neck" or "root"."""
    side, joint, _ = DOFS[dof]
    if joint in JOINT_LIMB:
        return side, JOINT_LIMB[joint]
    return "mid", joint if joint in ("root", "neck") else "spine"


LIMB_OF: tuple[tuple[str, str], ...] = tuple(limb_of(dof) for dof in range(len(DOFS)))


@cache
def dofs_of(*limbs: tuple[str, str]) -> tuple[int, ...]:
    """The angles of some limbs; none of what is no limb."""
    return tuple(dof for dof, limb in enumerate(LIMB_OF) if limb in limbs)
