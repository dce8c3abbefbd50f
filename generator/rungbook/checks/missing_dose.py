"""An exercise without sets, without sessions, or without repetitions, hold or duration.

Nobody can repeat "do some of these", and the weekly load of a ladder cannot be followed.

Mend it by writing the dose.

Fails:

    [exercises/leg/squat.md]
    title: Squat
    dose: {reps: 12}

Passes:

    [exercises/leg/squat.md]
    title: Squat
    dose: {sets: 3, reps: 12, sessions: 3 per week}
"""

from __future__ import annotations

from collections.abc import Iterator

from rungbook.ladder.measured import MeasuredLibrary
from rungbook.model.exercise import Dose
from rungbook.model.finding import Finding, Level

name = "missing-dose"
level: Level = "warning"


def _lacking(dose: Dose | None) -> list[str]:
    if dose is None:
        return ["a dose"]
    lacking = []
    if dose.sets is None:
        lacking.append("`sets`")
    if dose.sessions is None:
        lacking.append("`sessions`")
    if dose.reps is None and dose.hold is None and dose.duration is None:
        lacking.append("one of `reps`, `hold` and `duration`")
    return lacking


def check(measured: MeasuredLibrary) -> Iterator[Finding]:
    """One finding for each exercise whose dose is not whole."""
    for exercise in measured.library.exercises.values():
        lacking = _lacking(exercise.dose)
        if lacking:
            yield Finding(
                name,
                level,
                f"{exercise.id} lacks {' and '.join(lacking)}.",
                exercise.place("title") if exercise.dose is None else exercise.place("dose"),
                exercises=(exercise.id,),
            )
