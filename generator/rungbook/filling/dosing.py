"""Levers of the dose: fewer sets, repetitions, sessions, a shorter hold, a slower movement."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from typing import Any

from rungbook.filling.setting import Setting
from rungbook.model.exercise import Dose, Exercise
from rungbook.model.quantity import RepRange

SHARES = (
    (0, 0.75), (0, 0.5), (0, 0.35), (0, 0.25),
    (1, 0.85), (1, 0.6), (1, 0.42), (1, 0.3), (1, 0.18),
)  # fmt: skip
MORE = ((0, 1.4), (0, 2.0), (0, 2.8), (1, 1.2), (1, 1.7))
SLOWEST_S = 8.0
REPS = (1, 2, 3, 4, 5, 6, 8, 10, 12, 15, 18, 20, 25, 30)
HOLDS_S = (5, 10, 15, 20, 30, 45, 60, 90, 120)
SESSIONS = (1, 2, 3, 4, 5, 7, 14, 21)


def volumes(base: Exercise, other: Exercise, more: bool) -> Iterator[Setting]:
    """Doses with a share of the exercise's own time under tension a week, or with more of it.

    None has more sets, repetitions or sessions than the larger of the two exercises' doses.
    """
    dose = base.dose
    if dose is None:
        return
    seen: set[Dose] = set()
    for level, share in MORE if more else SHARES:
        found = nearest_dose(dose, share, other.dose)
        if found is None or found == dose or any(found == one for one in seen):
            continue
        seen.add(found)
        yield _dosed(found, level)


def _dosed(dose: Dose, level: int) -> Setting:
    def apply(exercise: Exercise) -> Mapping[str, Any]:
        now = exercise.dose or Dose()
        fields = {
            key: getattr(dose, key) for key in ("sets", "reps", "hold", "duration", "sessions")
        }
        return {"dose": now.model_copy(update=fields)}

    return Setting("volume", "dose", _key(dose), in_words(dose), level, apply)


def nearest_dose(dose: Dose, share: float, other: Dose | None = None) -> Dose | None:
    """The plain dose whose volume is nearest to a share of this one.

    Among equals the one with the fewest changes, sets before repetitions before sessions. None
    where the dose cannot be changed that far (within an eighth).
    """
    sets, often = dose.sets or 1, dose.sessions
    most_sets = max(sets, (other.sets or 1) if other else 1)
    most_often = max(often or 0.0, (other.sessions or 0.0) if other else 0.0)
    best: tuple[float, int, int, Dose] | None = None
    for new_sets in range(1, most_sets + 1):
        for amount, fields in _amounts(dose, other):
            for sessions in [one for one in SESSIONS if one <= most_often] if often else [0]:
                volume = new_sets / sets * amount * (sessions / often if often else 1.0)
                off = abs(math.log(volume / share))
                changed = (new_sets != sets, bool(fields), sessions != (often or 0))
                weight = sum(n for n, one in zip((4, 5, 6), changed, strict=True) if one)
                rank = (round(off, 1), weight, -new_sets)
                if off <= 0.125 and (best is None or rank < best[:3]):
                    update = {"sets": new_sets, **fields}
                    if often:
                        update["sessions"] = float(sessions)
                    best = (*rank, dose.model_copy(update=update))
    return best[3] if best is not None else None


def _amounts(dose: Dose, other: Dose | None) -> list[tuple[float, dict[str, Any]]]:
    """Repetitions, hold or duration: its share of the present one, and the field."""
    if dose.reps is not None:
        now = dose.reps.high
        most = max(now, other.reps.high if other and other.reps else 0)
        counts = [reps for reps in REPS if reps != now and reps <= most]
        return [(1.0, {}), *((reps / now, {"reps": RepRange(reps, reps)}) for reps in counts)]
    for key in ("hold", "duration"):
        seconds = getattr(dose, key)
        if seconds:
            most = max(seconds, (getattr(other, key) or 0.0) if other else 0.0)
            times = [one for one in HOLDS_S if one != seconds and one <= most]
            return [(1.0, {}), *((one / seconds, {key: float(one)}) for one in times)]
    return [(1.0, {})]


def in_words(dose: Dose) -> str:
    """`2 sets of 8, 3 times a week`."""
    sets = dose.sets or 1
    amount = ""
    if dose.reps is not None:
        low, high = dose.reps.low, dose.reps.high
        amount = f" of {high}" if low == high else f" of {low} to {high}"
        amount += f" held {dose.hold:g} s" if dose.hold else ""
    elif dose.hold or dose.duration:
        amount = f" of {dose.hold or dose.duration:g} s"
    often = f", {_often(dose.sessions)}" if dose.sessions else ""
    return f"{sets} {'set' if sets == 1 else 'sets'}{amount}{often}"


def _often(sessions: float) -> str:
    if sessions >= 7 and not sessions % 7:
        times = sessions / 7
        return "once a day" if times == 1 else f"{times:g} times a day"
    return "once a week" if sessions == 1 else f"{sessions:g} times a week"


def _key(dose: Dose) -> str:
    amount = dose.reps.high if dose.reps else (dose.hold or dose.duration or 1)
    often = f"-{dose.sessions:g}-a-week" if dose.sessions else ""
    return f"{dose.sets or 1}x{amount:g}{often}"


def tempos(base: Exercise) -> Iterator[Setting]:
    """The same movement slower, with fewer repetitions for the same time under tension."""
    dose = base.dose
    if dose is None or base.ballistic or dose.hold or not dose.reps:
        return
    up, down = dose.up or 2.0, dose.down or 2.0
    for level, factor in ((0, 2.0), (0, 4.0), (1, 1.5), (1, 3.0)):
        if max(up, down) * factor <= SLOWEST_S:
            yield _slower(up, down, factor, level)


def _slower(up: float, down: float, factor: float, level: int) -> Setting:
    def apply(exercise: Exercise) -> Mapping[str, Any]:
        dose = exercise.dose or Dose()
        reps = dose.reps
        if reps is not None:
            fewer = [max(1, math.floor(count / factor + 0.5)) for count in (reps.low, reps.high)]
            reps = RepRange(fewer[0], fewer[1])
        slow = {"up": up * factor, "down": down * factor, "reps": reps}
        return {"dose": dose.model_copy(update=slow)}

    words = f"slowly: {up * factor:g} s up, {down * factor:g} s down"
    return Setting("volume", "tempo", f"slow-{up * factor:g}-s", words, level, apply)
