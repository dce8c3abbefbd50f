"""The angles an exercise writes, on top of its position's own."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from rungbook.body.joints import DOF, DOFS, MIRROR, MIRROR_SIGN
from rungbook.body.positions import Position, set_angles
from rungbook.body.segments import data
from rungbook.load.result import PHASES, Fault
from rungbook.model.exercise import Exercise
from rungbook.model.movement import MIDLINE_JOINTS, MOVEMENTS, ROOM_ANGLES, split_side

Array = NDArray[np.float64]
Bools = NDArray[np.bool_]
HORIZONTAL_FROM_DEG = 45.0  # an arm raised forward this far makes abduction horizontal


@dataclass
class WrittenAngles:
    """Angles while they are being written: (dofs, 11) radians and masks (dofs,)."""

    values: Array
    written: Bools
    moving: Bools
    lead: int | None = None
    faults: list[Fault] = field(default_factory=list)


def sides_of(other: bool, both: bool) -> tuple[Literal["right", "left"], ...]:
    """Which sides a written joint means: the working side is the right one."""
    if other:
        return ("left",)
    return ("right", "left") if both else ("right",)


def written_angles(exercise: Exercise, place: Position) -> WrittenAngles:
    start = place.angles
    if exercise.front == "other" and place.name in ("split-stance", "half-kneeling"):
        start = start[list(MIRROR)] * np.array(MIRROR_SIGN)
    if exercise.arms is not None:
        start = start.copy()
        set_angles(start, data("giving.yml")["arms"][exercise.arms], ("right", "left"))
    values = np.repeat(start[:, None], PHASES, axis=1)
    none = np.zeros(len(DOFS), dtype=bool)
    angles = WrittenAngles(values, none, none.copy())
    both = exercise.sides == "both"
    for joint, movements in exercise.posture.items():
        for movement, degrees in movements.items():
            _write(angles, joint, movement, (degrees, degrees), both, ("posture", joint, movement))
    for number, item in enumerate(exercise.movement):
        for joint, pairs in item.items():
            for movement, pair in pairs.items():
                path = ("movement", number, joint, movement)
                targets = _write(angles, joint, movement, pair, both, path)
                angles.moving[targets] = True
                if angles.lead is None and targets:
                    angles.lead = targets[0]
    return angles


def _write(
    angles: WrittenAngles,
    joint: str,
    movement: str,
    pair: tuple[float, float],
    both: bool,
    path: tuple[str | int, ...],
) -> list[int]:
    if joint in ROOM_ANGLES and movement in ROOM_ANGLES[joint]:
        return _write_room(angles, movement, pair)
    name, other = split_side(joint)
    if movement not in MOVEMENTS.get(name, ()):
        message = f"there is no movement {joint} {movement}; see the list of movements"
        angles.faults.append(Fault("wrong-value", message, path))
        return []
    axis, sign = MOVEMENTS[name][movement]
    sides = ("mid",) if name in MIDLINE_JOINTS else sides_of(other, both)
    targets = [DOF[side, name, axis] for side in sides]
    _fill(angles, targets, sign, pair)
    return targets


def _fill(
    angles: WrittenAngles, targets: list[int], sign: float, pair: tuple[float, float]
) -> None:
    start, end = np.radians(sign * np.asarray(pair))
    for target in targets:
        angles.values[target] = start + (end - start) * np.arange(PHASES) / (PHASES - 1)
        angles.written[target] = True


def _write_room(angles: WrittenAngles, movement: str, pair: tuple[float, float]) -> list[int]:
    pitch, roll = DOF["mid", "root", "pitch"], DOF["mid", "root", "roll"]
    bend = DOF["mid", "lumbar", "side-bend"]
    if movement == "forward-lean":
        _fill(angles, [pitch], 1.0, pair)
        return [pitch]
    if movement == "side-lean":
        _fill(angles, [roll], 1.0, pair)
        return [roll]
    _fill(angles, [roll], -1.0, pair)  # the pelvis drops on the side that is not standing
    if not angles.written[bend]:
        _fill(angles, [bend], 1.0, pair)
    return [roll]


def is_horizontal(angles: WrittenAngles) -> bool:
    """Whether shoulder abduction happens with the arm raised forward."""
    flexion = DOF["right", "shoulder", "flexion"]
    abduction = DOF["right", "shoulder", "abduction"]
    raised = np.degrees(np.abs(angles.values[flexion])).min() >= HORIZONTAL_FROM_DEG
    written = bool(angles.written[flexion] and not angles.moving[flexion])
    return bool(raised and written and angles.written[abduction])
