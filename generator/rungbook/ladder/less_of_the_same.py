"""The same exercise with less: fewer, rarer, slower, a smaller arc, held.

Variations are made in memory, with ids such as `heel-raise--half-the-sets`; they are computed
together with the library and shown beside the exercise, never written.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from rungbook.ladder.profile import leading
from rungbook.load.result import ExerciseLoad
from rungbook.model.exercise import Dose, Exercise
from rungbook.model.quantity import RepRange
from rungbook.model.variation import variation

LEAST_ARC = 10.0  # degrees: a smaller arc than this is a hold
ARC_STEP = 5.0  # degrees: what a clinician can set by eye
LONGEST_HOLD = 45.0  # seconds
USUAL_WAY = 2.0  # seconds each way, where the dose names no tempo


@dataclass(frozen=True, slots=True)
class Variant:
    """An exercise with something changed. `changes` maps what is changed to words for it."""

    exercise: Exercise
    changes: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class Relief:
    """Precomputed ways to ask less of one exercise, each with its load."""

    same: tuple[tuple[Variant, ExerciseLoad], ...] = ()
    solved: tuple[tuple[Variant, ExerciseLoad], ...] = ()


def varied(
    exercise: Exercise, key: str, words: str, what: str | None = None, **fields: Any
) -> Variant:
    """A variation in memory, with `words` after its title; `what` is changed, else the field."""
    measured = exercise.measured if fields.keys() == {"dose"} else ()
    changed = variation(
        exercise,
        f"{exercise.id}--{key}",
        f"{exercise.title}, {words}",
        measured=measured,
        **fields,
    )
    return Variant(changed, {what or next(iter(fields)): words})


def less_of_the_same(exercise: Exercise) -> tuple[Variant, ...]:
    """Every way to do less of an exercise, in a fixed order."""
    return tuple(
        variant
        for making in (_fewer, _rarer, _slower, _smaller_arc, _held)
        for variant in making(exercise)
    )


def _dose(exercise: Exercise, **fields: Any) -> Dose:
    assert exercise.dose is not None
    return exercise.dose.model_copy(update=fields)


def _half(number: float) -> int:
    return max(1, int(number // 2))


def _fewer(exercise: Exercise) -> Iterator[Variant]:
    dose = exercise.dose
    if dose is None:
        return
    if dose.sets and dose.sets > 1:
        sets = _half(dose.sets)
        words = f"{sets} {'set' if sets == 1 else 'sets'} instead of {dose.sets}"
        yield varied(exercise, "fewer-sets", words, dose=_dose(exercise, sets=sets))
    if dose.reps and dose.reps.high > 1:
        reps = RepRange(_half(dose.reps.low), _half(dose.reps.high))
        words = f"{_reps(reps)} repetitions instead of {_reps(dose.reps)}"
        yield varied(exercise, "fewer-repetitions", words, dose=_dose(exercise, reps=reps))
    for key in ("hold", "duration"):
        seconds = getattr(dose, key)
        if seconds and seconds >= 10:
            half = _to_five(seconds / 2)
            words = f"{half:g} s instead of {seconds:g} s"
            yield varied(exercise, f"shorter-{key}", words, dose=_dose(exercise, **{key: half}))


def _reps(reps: RepRange) -> str:
    return f"{reps.low}" if reps.low == reps.high else f"{reps.low} to {reps.high}"


def _to_five(seconds: float) -> float:
    return max(5.0, 5.0 * math.floor(seconds / 5 + 0.5))


def _rarer(exercise: Exercise) -> Iterator[Variant]:
    sessions = exercise.dose.sessions if exercise.dose else None
    if not sessions or sessions <= 2:
        return
    half = float(max(2, math.floor(sessions / 2)))
    words = f"{half:g} times a week instead of {sessions:g}"
    yield varied(exercise, "fewer-sessions", words, dose=_dose(exercise, sessions=half))


def _slower(exercise: Exercise) -> Iterator[Variant]:
    dose = exercise.dose
    if dose is None or not dose.reps or exercise.ballistic or not _arc(exercise):
        return
    up, down = 2 * (dose.up or USUAL_WAY), 2 * (dose.down or USUAL_WAY)
    if max(up, down) > 12:
        return
    reps = RepRange(_half(dose.reps.low), _half(dose.reps.high))
    words = f"at half the speed, {_reps(reps)} repetitions"
    slower = _dose(exercise, up=up, down=down, reps=reps)
    yield varied(exercise, "slower", words, "tempo", dose=slower)


def _arc(exercise: Exercise) -> tuple[float, float] | None:
    """Start and end of the leading movement, where it moves at all."""
    lead = leading(exercise)
    if lead is None:
        return None
    start, end = exercise.movement[0][lead[0]][lead[1]]
    return (start, end) if abs(end - start) > 1e-9 else None


def _smaller_arc(exercise: Exercise) -> Iterator[Variant]:
    arc = _arc(exercise)
    if arc is None or exercise.ballistic:
        return
    start, end = arc
    for share in (0.75, 0.5):
        size = ARC_STEP * math.floor(share * abs(end - start) / ARC_STEP + 0.5)
        if size < LEAST_ARC or abs(end - start) - size < LEAST_ARC:
            continue
        kept = size / abs(end - start)
        far = start + (end - start) * kept
        near = end - (end - start) * kept
        key = f"{100 * share:.0f}"
        words = f"only to {far:g}° instead of {end:g}°"
        yield varied(exercise, f"arc-{key}", words, movement=arc_between(exercise, 0.0, kept))
        words = f"from {near:g}° instead of {start:g}°"
        movement = arc_between(exercise, 1 - kept, 1.0)
        yield varied(exercise, f"late-arc-{key}", words, movement=movement)


def arc_between(
    exercise: Exercise, first: float, last: float
) -> tuple[dict[str, dict[str, tuple[float, float]]], ...]:
    """The movement between two shares of its way, all items in proportion."""

    def at(span: tuple[float, float], share: float) -> float:
        return round(span[0] + (span[1] - span[0]) * share, 1)

    return tuple(
        {
            joint: {name: (at(span, first), at(span, last)) for name, span in movements.items()}
            for joint, movements in item.items()
        }
        for item in exercise.movement
    )


def _held(exercise: Exercise) -> Iterator[Variant]:
    arc, dose = _arc(exercise), exercise.dose
    if arc is None or dose is None or not dose.reps or exercise.ballistic or exercise.passive:
        return
    start, end = arc
    middle = ARC_STEP * math.floor((start + end) / 2 / ARC_STEP + 0.5)
    share = (middle - start) / (end - start)
    way = (dose.up or USUAL_WAY) + (dose.pause or 0.0) + (dose.down or USUAL_WAY)
    hold = min(LONGEST_HOLD, _to_five(dose.reps.high * way / 2))
    words = f"held at {middle:g}° for {hold:g} s"
    held = _dose(exercise, reps=None, up=None, pause=None, down=None, hold=hold)
    movement = arc_between(exercise, share, share)
    yield varied(exercise, "held", words, "hold", movement=movement, dose=held)
