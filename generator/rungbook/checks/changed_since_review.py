"""An exercise that was changed after its review.

A review vouches for what stood there: a pain limit that went from 3 to 8, or new words for the
patient, were not reviewed. What an exercise takes from the one it varies counts too, and so do
the bytes of its pictures. `rungbook review` writes a seal by which a later change is noticed.

Mend it by reading the exercise again and running `rungbook review` with its id and your role.

Fails:

    [exercises/leg/squat.md]
    title: Squat
    reviewed: {date: 2026-05-01, by: Physiotherapist, seal: '00000000000000000000000000000000'}

Passes:

    [exercises/leg/squat.md]
    title: Squat
    reviewed: {date: 2026-05-01, by: Senior physiotherapist}
"""

from __future__ import annotations

from collections.abc import Iterator

from rungbook.ladder.measured import MeasuredLibrary
from rungbook.model.finding import Finding, Level

name = "changed-since-review"
level: Level = "warning"


def check(measured: MeasuredLibrary) -> Iterator[Finding]:
    """One finding for each exercise whose seal is not that of what it says."""
    for exercise in measured.library.exercises.values():
        if exercise.standing == "changed since review" and exercise.reviewed is not None:
            inherits = exercise.variation_of
            what = f"it, or what it takes from {inherits}," if inherits else "it"
            yield Finding(
                name,
                level,
                f"{exercise.id} was reviewed on {exercise.reviewed.date}, and {what} was changed "
                f"since: read it, then rungbook review {exercise.id} --by ROLE",
                exercise.place("reviewed"),
                exercises=(exercise.id,),
            )
