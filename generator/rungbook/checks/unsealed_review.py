"""A review without a seal.

Such a review stands, but nobody can tell whether the exercise still says what was reviewed.

Mend it by reading the exercise again and running `rungbook review` with its id and your role,
which writes the date and the seal.

Fails:

    [exercises/leg/squat.md]
    title: Squat
    reviewed: {date: 2026-05-01, by: Senior physiotherapist}

Passes:

    [exercises/leg/squat.md]
    title: Squat
    reviewed: {date: 2026-05-01, by: Physiotherapist, seal: 'd73d2240cd7afaf74a0915d50b2ca37b'}
"""

from __future__ import annotations

from collections.abc import Iterator

from rungbook.ladder.measured import MeasuredLibrary
from rungbook.model.finding import Finding, Level

name = "unsealed-review"
level: Level = "note"


def check(measured: MeasuredLibrary) -> Iterator[Finding]:
    """One finding for each exercise that is reviewed, not sealed."""
    for exercise in measured.library.exercises.values():
        if exercise.standing == "reviewed, not sealed":
            yield Finding(
                name,
                level,
                f"{exercise.id} is reviewed, not sealed: rungbook review {exercise.id} --by ROLE "
                "writes a seal by which later changes are noticed",
                exercise.place("reviewed"),
                exercises=(exercise.id,),
            )
