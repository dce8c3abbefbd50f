"""The lever of the dose: shorter holds, fewer repetitions, sets and sessions, by degrees."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from itertools import product
from typing import Any

from rungbook.filling.setting import Setting
from rungbook.model.exercise import Dose, Exercise
from rungbook.model.library import Axis
from rungbook.model.quantity import RepRange

REPS = (1, 2, 3, 4, 5, 6, 8, 10, 12, 15, 18, 20, 25, 30)
HOLDS_S = (5.0, 10.0, 15.0, 20.0, 30.0, 45.0, 60.0, 90.0, 120.0)
SESSIONS = (1.0, 2.0, 3.0, 4.0, 5.0, 7.0, 14.0, 21.0)
SETS = (1, 2, 3, 4, 5, 6)
USUAL_WAY_S = 2.0
AMOUNTS = ("reps", "hold", "duration", "sets", "sessions")
A_STEP = 1.5  # doses are offered so many times apart, and finer
DOSE: frozenset[Axis] = frozenset({"volume"})


def doses(base: Exercise, other: Exercise) -> Iterator[Setting]:
    """Doses between those of two exercises: only what differs is turned, no more than will do.

    Between doses of different kinds (held, repeated) there is none.
    """
    mine, theirs = base.dose, other.dose
    if mine is None or theirs is None:
        return
    apart = [key for key in AMOUNTS if getattr(mine, key) != getattr(theirs, key)]
    if not apart or any(getattr(one, key) is None for one in (mine, theirs) for key in apart):
        return
    here, there = _volume(mine), _volume(theirs)
    known = [mine.model_copy(update=dict(zip(apart, values, strict=True)))
             for values in product(*(_grid(key, mine, theirs) for key in apart))]  # fmt: skip
    least, most = sorted((here, there))
    between = [one for one in known if least < _volume(one) < most]
    found: dict[tuple[Any, ...], int] = {}
    steps = max(1, math.ceil(abs(math.log(there / here)) / math.log(A_STEP) - 1e-6))
    for fine, count in enumerate((steps, steps + 1, 2 * steps)):
        for number in range(1, count):
            target = here * (there / here) ** (number / count)
            best = min(between, key=lambda one: _off(one, mine, apart, target), default=None)
            if best is not None:
                found.setdefault(tuple(getattr(best, key) for key in apart), fine)
    found.setdefault(tuple(getattr(theirs, key) for key in apart), 0)
    for values, fine in found.items():
        yield _dosed(dict(zip(apart, values, strict=True)), mine, fine)


def _off(one: Dose, mine: Dose, apart: list[str], target: float) -> tuple[float, int]:
    changed = sum(getattr(one, key) != getattr(mine, key) for key in apart)
    return round(abs(math.log(_volume(one) / target)), 1), changed


def _grid(key: str, mine: Dose, theirs: Dose) -> list[Any]:
    """What a field of the dose may be set to, from one dose to the other."""
    ends = [getattr(mine, key), getattr(theirs, key)]
    if key == "reps":
        least, most = sorted(one.high for one in ends)
        return [*ends, *(RepRange(one, one) for one in REPS if least < one < most)]
    usual: tuple[float, ...] = {"sets": SETS, "sessions": SESSIONS}.get(key, HOLDS_S)
    return [*ends, *(one for one in usual if min(ends) < one < max(ends))]


def _volume(dose: Dose) -> float:
    """Seconds of work a week, near enough to compare two doses."""
    way = (dose.up or USUAL_WAY_S) + (dose.pause or 0.0) + (dose.down or USUAL_WAY_S)
    reps = dose.reps.high if dose.reps else 1
    seconds = dose.duration or reps * (dose.hold or way)
    return (dose.sets or 1) * seconds * (dose.sessions or 1.0)


def _dosed(fields: Mapping[str, Any], mine: Dose, fine: int) -> Setting:
    def apply(exercise: Exercise) -> Mapping[str, Any]:
        return {"dose": (exercise.dose or Dose()).model_copy(update=dict(fields))}

    dose = mine.model_copy(update=dict(fields))
    amount = dose.reps.high if dose.reps else dose.hold or dose.duration or 1
    often = f"-{dose.sessions:g}-a-week" if "sessions" in fields and dose.sessions else ""
    key = f"{dose.sets or 1}x{amount:g}{often}"
    return Setting("volume", "dose", key, in_words(dose, fields), apply, DOSE, fine)


def in_words(dose: Dose, changed: Mapping[str, Any]) -> str:
    """What changes of a dose: `held 15 s`, `2 sets of 8`, `3 times a week`."""
    parts = []
    if changed.keys() & {"sets", "reps"}:
        sets = dose.sets or 1
        of = f" of {dose.reps.high}" if dose.reps else ""
        parts.append(f"{sets} {'set' if sets == 1 else 'sets'}{of}")
    if changed.keys() & {"hold", "duration"}:
        parts.append(f"held {dose.hold:g} s" if dose.hold else f"{dose.duration:g} s long")
    if "sessions" in changed and dose.sessions:
        parts.append(_often(dose.sessions))
    return ", ".join(parts)


def _often(sessions: float) -> str:
    if sessions >= 7 and not sessions % 7:
        times = sessions / 7
        return "once a day" if times == 1 else f"{times:g} times a day"
    return "once a week" if sessions == 1 else f"{sessions:g} times a week"
