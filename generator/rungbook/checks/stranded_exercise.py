"""An exercise that is on no ladder and that no progression touches.

Nobody who looks for something easier or harder will ever come across it.

Mend it by writing a progression to it or from it, or by making it an entry of a ladder.

Fails:

    [exercises/leg/squat.md]
    title: Squat

Passes:

    [exercises/leg/squat.md]
    title: Squat
    progressions: [{to: deep, when: [3 sets of 15]}]
    [exercises/leg/deep.md]
    title: Squat, deep
"""

from __future__ import annotations

from collections.abc import Iterator

from rungbook.ladder.measured import MeasuredLibrary
from rungbook.model.finding import Finding, Level

name = "stranded-exercise"
level: Level = "warning"


def check(measured: MeasuredLibrary) -> Iterator[Finding]:
    """One finding for each exercise without a neighbour that no ladder names."""
    library = measured.library
    graph = measured.with_drafts
    named = {
        exercise
        for ladder in library.ladders.values()
        for exercise in (ladder.goal, *ladder.entries.values())
    }
    for exercise in library.exercises.values():
        around = {*graph.pred[exercise.id], *graph[exercise.id]} - {exercise.id}
        around |= {*measured.wide.pred[exercise.id], *measured.wide[exercise.id]} - {exercise.id}
        if not around and exercise.id not in named:
            yield Finding(
                name,
                level,
                f"{exercise.id} is on no ladder and no progression touches it: write one.",
                exercise.place("title"),
                exercises=(exercise.id,),
            )
