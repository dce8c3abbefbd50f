"""Range, lengthening, speed and stability class of an exercise: how far, how fast, how steady."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from functools import reduce

import numpy as np
from numpy.typing import NDArray

from rungbook.body.contacts import Contact
from rungbook.body.joints import DOF, JOINT_DOFS
from rungbook.load.demand import row_of
from rungbook.load.inertia import PEAK_VELOCITY
from rungbook.load.names import angle_name
from rungbook.load.posture import Setup
from rungbook.model.exercise import Exercise
from rungbook.model.library import BalanceTask, Vocabulary

Array = NDArray[np.float64]
HARDEST = 6  # classes of balance, beyond which nobody tells them apart
GAVE_WAY_DEG = 2.0  # an angle that settled by less is as it was asked
_UPRIGHT_NAMES = frozenset(
    {
        "standing",
        "split-stance",
        "single-leg-standing",
        "bent-forward",
        "tall-kneeling",
        "half-kneeling",
    }
)


def arc_and_range(exercise: Exercise, angles: Array) -> tuple[tuple[float, float], float]:
    """The leading joint's arc as written, and its far end in degrees toward the movement.

    A hold counts the angle it is held at, by its size, at the joint of `works`.
    """
    for item in exercise.movement:
        for pairs in item.values():
            for start, end in pairs.values():
                if start != end:
                    return (start, end), (end if end > start else 0.0 - end)
                return (start, end), abs(end)
    if not exercise.works:
        return (0.0, 0.0), 0.0
    angle = float(angles[row_of(exercise.works[0])][0])
    return (angle, angle), abs(angle)


def lengthening(exercise: Exercise, angles: Sequence[Array]) -> float:
    """How far the muscles of `works` are drawn out, degrees; 0 short of the anatomical position.

    A stretch sums the joints of a two-joint group; otherwise the worst of the actions counts.
    """
    worst = 0.0
    for way in angles:
        out = [-action.sign * way[row_of(action)] for action in exercise.works]
        if not out:
            continue
        total = sum(out[1:], out[0]) if exercise.passive else reduce(np.maximum, out)
        worst = max(worst, float(np.max(total)))
    return worst


def peak_speed(moving: NDArray[np.bool_], angles: Array, seconds: float) -> float:
    """Peak joint velocity of the written movement at its tempo, degrees a second.

    Args:
        moving: (dofs,); angles: (joint axes, 11) degrees; seconds: of the faster way.
    """
    rows = [_ROWS[dof] for dof in np.flatnonzero(moving).tolist() if dof in _ROWS]
    arcs = [abs(float(angles[row, -1] - angles[row, 0])) for row in rows]
    return PEAK_VELOCITY * max(arcs, default=0.0) / seconds


def stability(
    setup: Setup, vocabulary: Vocabulary, tasks: Mapping[str, BalanceTask] | None = None
) -> int:
    """Stability class: 0 to 4 of what is stood on, and what `tasks` add to it."""
    added = sum(task.adds for key, task in (tasks or {}).items() if key in setup.exercise.balance)
    return min(_stood_on(setup, vocabulary) + added, HARDEST)


def _stood_on(setup: Setup, vocabulary: Vocabulary) -> int:
    place, contacts = setup.position, setup.posture.contacts
    level = place.stability
    if place.name == "sitting" and any(c.point == "upper-back" for c in setup.supports.trunk):
        level = 0
    if setup.carried:
        return level
    carrying = [c for c in contacts if not c.touch]
    legs = {c.side for c in carrying if c.body_point.limb == "leg"}
    if place.name in ("standing", "bent-forward", "split-stance") and len(legs) == 1:
        level = 3
    if place.name == "single-leg-standing" and len(legs) == 2:
        level = 1
    if (
        place.name == "split-stance"
        and setup.exercise.stride is not None
        and setup.exercise.stride <= 0.35
    ):
        level = max(level, 2)
    if any(_unstable(c, vocabulary) for c in carrying if c.body_point.limb == "leg"):
        level += 1
    if place.name in _UPRIGHT_NAMES and any(_steadies(c, vocabulary) for c in contacts):
        level -= 1
    return min(max(level, 0), 4)


def _unstable(contact: Contact, vocabulary: Vocabulary) -> bool:
    term = vocabulary.equipment.get(contact.surface)
    return bool(term and term.unstable)


def _steadies(contact: Contact, vocabulary: Vocabulary) -> bool:
    term = vocabulary.equipment.get(contact.surface)
    fixed = term.fixed if term else True
    return contact.body_point.limb == "arm" and fixed and not contact.slides


def gave_way(setups: Sequence[Setup], settled: Array) -> Iterator[dict[str, float]]:
    """Angles of each way that settled away from what was asked, degrees.

    Args:
        settled: (dofs, ways·11), radians.
    """
    asked = np.concatenate([setup.posture.angles for setup in setups], axis=1)
    change = np.degrees(settled - asked).reshape(len(settled), len(setups), -1)
    far = np.abs(change).max(axis=-1) > GAVE_WAY_DEG
    for number, setup in enumerate(setups):
        result: dict[str, float] = {}
        for dof in np.flatnonzero(far[:, number]).tolist():
            if dof in _ROWS or (dof in _LEANS and not setup.carried):
                mine = change[dof, number]
                result[angle_name(dof)] = float(mine[int(np.argmax(np.abs(mine)))])
        yield result


_ROWS = {dof: row for row, dof in enumerate(JOINT_DOFS)}
_LEANS = {DOF["mid", "root", axis] for axis in ("pitch", "roll", "yaw")}
