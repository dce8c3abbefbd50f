"""Levers of movement: how far, from where, held, how fast."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from typing import Any

from rungbook.filling.setting import Setting, graded
from rungbook.ladder.less_of_the_same import arc_between
from rungbook.ladder.profile import leading
from rungbook.model.exercise import Dose, Exercise
from rungbook.model.library import Axis
from rungbook.model.movement import opposite_movement, split_side
from rungbook.model.quantity import RepRange

WIDE_DEG = 45.0
LEAST_ARC_DEG = 10.0
USUAL_WAY_S, SLOWEST_S = 2.0, 8.0
MOVES: frozenset[Axis] = frozenset({"demand", "range", "lengthening", "speed"})
STRETCHES: frozenset[Axis] = frozenset({"lengthening"})


def ranges(base: Exercise, other: Exercise, harder: bool) -> Iterator[Setting]:
    """The movement not as far, or as far as the other's; a stretched start left out; a hold."""
    lead = leading(base)
    if lead is None or base.ballistic:
        return
    start, end = base.movement[0][lead[0]][lead[1]]
    if start == end:
        for fine, angle in graded(end, 0.0, _steps(end)):
            yield _arc(base, (0.0, 0.0), f"held at {_said(lead, angle)}", f"at-{angle:g}", fine,
                       at=(lead, angle))  # fmt: skip
        return
    far = _farthest(other, lead, start, end)
    for fine, angle in graded(end, far if not harder else start, _steps(end - start)):
        share = (angle - start) / (end - start)
        if share * abs(end - start) >= LEAST_ARC_DEG and (harder or share > 1):
            yield _arc(base, (0.0, share), f"only to {_said(lead, angle)}" if share < 1 else
                       f"on to {_said(lead, angle)}", f"to-{angle:g}", fine)  # fmt: skip
    if not harder or any(one.during == "start" for one in base.contacts):
        return
    for fine, angle in graded(start, end, _steps(end - start)):
        share = (angle - start) / (end - start)
        if (1 - share) * abs(end - start) >= LEAST_ARC_DEG:
            words = f"starting at {_said(lead, angle)}"
            yield _arc(base, (share, 1.0), words, f"from-{angle:g}", fine, STRETCHES)


def _said(lead: tuple[str, str], angle: float) -> str:
    """An angle as a clinician says it: positive, the other way by its own name."""
    if angle >= 0:
        return f"{angle:g}°"
    joint, movement = split_side(lead[0])[0], lead[1]
    return f"{-angle:g}° of {joint} {opposite_movement(joint, movement) or movement}"


def _steps(arc: float) -> tuple[float, ...]:
    return (15.0, 5.0) if abs(arc) > WIDE_DEG else (5.0,)


def _farthest(other: Exercise, lead: tuple[str, str], start: float, end: float) -> float:
    """How far the other exercise goes the way from start to end, to whichever of its ends."""
    joint, movement = lead
    if other.movement and movement in other.movement[0].get(joint, {}):
        ends = other.movement[0][joint][movement]
        return max(end, *ends) if end > start else min(end, *ends)
    return end


def _arc(
    base: Exercise, part: tuple[float, float], words: str, key: str, fine: int,
    acts_on: frozenset[Axis] = MOVES, at: tuple[tuple[str, str], float] | None = None,
) -> Setting:  # fmt: skip
    def apply(exercise: Exercise) -> Mapping[str, Any]:
        if at is None:
            return {"movement": arc_between(exercise, *part)}
        (joint, movement), angle = at
        first = {**exercise.movement[0]}
        first[joint] = {**first[joint], movement: (angle, angle)}
        return {"movement": (first, *exercise.movement[1:])}

    return Setting("range", "arc", key.replace("--", "-minus-"), words, apply, acts_on, fine)


def tempos(base: Exercise) -> Iterator[Setting]:
    """The same movement slower, with fewer repetitions for the same time under tension."""
    dose = base.dose
    if dose is None or base.ballistic or dose.hold or not dose.reps:
        return
    up, down = dose.up or USUAL_WAY_S, dose.down or USUAL_WAY_S
    for fine, factor in enumerate((2.0, 4.0, 1.5, 3.0)):
        if max(up, down) * factor <= SLOWEST_S:
            yield _slower(up, down, factor, fine)


def _slower(up: float, down: float, factor: float, fine: int) -> Setting:
    def apply(exercise: Exercise) -> Mapping[str, Any]:
        dose = exercise.dose or Dose()
        reps = dose.reps
        if reps is not None:
            fewer = [max(1, math.floor(count / factor + 0.5)) for count in (reps.low, reps.high)]
            reps = RepRange(fewer[0], fewer[1])
        slow = {"up": up * factor, "down": down * factor, "reps": reps}
        return {"dose": dose.model_copy(update=slow)}

    words = f"slowly, {up * factor:g} s up and {down * factor:g} s down"
    return Setting("volume", "tempo", f"slow-{up * factor:g}-s", words, apply,
                   frozenset({"speed"}), fine)  # fmt: skip


def grounded(base: Exercise, other: Exercise) -> Iterator[Setting]:
    """A hop or throw done as a slow movement over the same range."""
    if base.ballistic and not other.ballistic:

        def apply(exercise: Exercise) -> Mapping[str, Any]:
            slow = {"up": USUAL_WAY_S, "down": USUAL_WAY_S}
            dose = (exercise.dose or Dose()).model_copy(update=slow)
            return {"ballistic": False, "impact": "none", "dose": dose}

        acts_on: frozenset[Axis] = frozenset({"impact", "speed", "demand"})
        words = "slowly, without leaving the ground"
        yield Setting("volume", "landing", "on-the-ground", words, apply, acts_on)
