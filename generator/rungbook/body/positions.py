"""Positions: orientation, default angles and contacts, read from positions.yml."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from rungbook.body.joints import DOF, DOFS, MIRROR
from rungbook.body.segments import data
from rungbook.model.movement import MIDLINE_JOINTS, MOVEMENTS

Array = NDArray[np.float64]

# Columns: where the pelvis's x, y and z axes point in the room.
_ORIENTATIONS: dict[str, tuple[tuple[float, float, float], ...]] = {
    "upright": ((1, 0, 0), (0, 1, 0), (0, 0, 1)),
    "supine": ((0, 0, 1), (0, 1, 0), (-1, 0, 0)),
    "prone": ((0, 0, -1), (0, 1, 0), (1, 0, 0)),
    "right-up": ((0, 1, 0), (0, 0, -1), (-1, 0, 0)),
    "left-up": ((0, -1, 0), (0, 0, 1), (-1, 0, 0)),
}


@dataclass(frozen=True)
class Position:
    """One position of positions.yml.

    `base` (3, 3) is the pelvis's orientation before it gives way; `angles` (dofs,) radians,
    working side on the right. `contacts` are body points, `other-` before those of the left.
    """

    name: str
    base: Array
    angles: Array
    contacts: tuple[str, ...]
    carried: frozenset[str]
    stability: int
    height: float
    keep: bool
    stride: float | None
    seat_depth: float | None
    orientation: str
    patches: dict[str, str] = field(default_factory=dict)
    stiffness: dict[str, float] = field(default_factory=dict)


@cache
def position_names() -> tuple[str, ...]:
    """Every position, in the order of the file."""
    return tuple(data("positions.yml"))


def set_angles(target: Array, angles: dict[str, dict[str, float]], sides: tuple[str, ...]) -> None:
    """Writes angles in degrees under clinical names into a posture (dofs,), in radians."""
    for joint, movements in angles.items():
        for movement, degrees in movements.items():
            axis, sign = MOVEMENTS[joint][movement]
            for side in ("mid",) if joint in MIDLINE_JOINTS else sides:
                target[DOF[side, joint, axis]] = np.radians(sign * degrees)


@cache
def position(name: str) -> Position:
    """The position `name`, working side on the right.

    Raises:
        KeyError: no such position.
    """
    entry: dict[str, Any] = data("positions.yml")[name]
    orientation = entry.get("orientation", "upright")
    angles = np.zeros(len(DOFS))
    angles[DOF["mid", "root", "z"]] = entry["height"]
    angles[DOF["mid", "root", "pitch"]] = np.radians(entry.get("pitch", 0.0))
    set_angles(angles, entry.get("angles", {}), ("right", "left"))
    set_angles(angles, entry.get("working", {}), ("right",))
    set_angles(angles, entry.get("other", {}), ("left",))
    angles.setflags(write=False)
    return Position(
        name,
        np.array(_ORIENTATIONS[orientation], dtype=float).T.copy(),
        angles,
        tuple(entry["contacts"]),
        frozenset(entry.get("carried", ())),
        int(entry["stability"]),
        float(entry["height"]),
        bool(entry.get("keep", False)),
        entry.get("stride"),
        entry.get("seat-depth"),
        orientation,
        dict(entry.get("patches", {})),
        dict(entry.get("stiffness", {})),
    )


def is_mirror_image(angles: Array) -> bool:
    """Whether joint angles (dofs, …) are the same on both sides, mid-line ones in the middle."""
    turned = [DOF["mid", "root", "yaw"], DOF["mid", "root", "roll"]]
    turned += [
        DOF["mid", joint, axis]
        for joint in ("lumbar", "neck")
        for axis in ("side-bend", "rotation")
    ]
    return bool(np.array_equal(angles, angles[list(MIRROR)]) and not np.any(angles[turned]))
