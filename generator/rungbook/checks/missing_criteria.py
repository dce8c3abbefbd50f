"""A progression without `when`, or a rung without `back-off`.

Without criteria to go on, each colleague decides by feel; without criteria to go back, a flare-up
is noticed too late. A progression without criteria is an error, a rung without `back-off` a
warning. A draft progression may still lack them.

Mend it by writing what must be seen before the patient goes on (all of it), and what means a step
back (any of it).

Fails:

    [exercises/leg/half.md]
    title: Half squat
    progressions: [{to: squat}]
    [exercises/leg/squat.md]
    title: Squat

Passes:

    [exercises/leg/half.md]
    title: Half squat
    progressions: [{to: squat, when: [3 sets of 15]}]
    [exercises/leg/squat.md]
    title: Squat
"""

from __future__ import annotations

from collections.abc import Iterator

from rungbook.ladder.measured import MeasuredLibrary
from rungbook.model.finding import Finding, Level

name = "missing-criteria"
level: Level = "warning"


def check(measured: MeasuredLibrary) -> Iterator[Finding]:
    """Findings for progressions without `when`, then for rungs of a ladder without `back-off`."""
    exercises = measured.library.exercises
    for exercise in exercises.values():
        for index, progression in enumerate(exercise.progressions):
            if not progression.when and not progression.draft:
                yield Finding(
                    name,
                    "error",
                    f"the progression to {progression.to} has no criteria: write `when`.",
                    exercise.place("progressions", index),
                    exercises=(exercise.id, progression.to),
                    edge=(exercise.id, progression.to),
                )
    rungs = {rung for ladder in measured.ladders.values() for rung in ladder.rungs}
    for rung in sorted(rungs):
        if not exercises[rung].back_off:
            yield Finding(
                name,
                level,
                f"{rung} is a rung and does not say when to go back: write `back-off`.",
                exercises[rung].place("title"),
                exercises=(rung,),
            )
