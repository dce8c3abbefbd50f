"""A progression that is still a draft.

It is shown as a draft and is no way to go: no route, ladder or sheet uses it. `rungbook fill
--write` leaves such progressions to what it computes, since criteria are nobody's to copy.

Mend it by writing the criteria (`when`), reviewing the exercises at both ends, and taking out
`draft: true`; or by taking out the progression.

Fails:

    [exercises/leg/half.md]
    title: Half squat
    progressions: [{to: squat, draft: true}]
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
from rungbook.model.exercise import Exercise, Progression
from rungbook.model.finding import Finding, Level

name = "draft-progression"
level: Level = "note"


def check(measured: MeasuredLibrary) -> Iterator[Finding]:
    """One finding for each draft progression, with what is left to do."""
    exercises = measured.library.exercises
    for exercise in exercises.values():
        for index, progression in enumerate(exercise.progressions):
            if progression.draft:
                left = _left_to_do(exercise, progression, exercises.get(progression.to))
                yield Finding(
                    name,
                    level,
                    f"the progression to {progression.to} is a draft and no way to go yet: {left}.",
                    exercise.place("progressions", index),
                    exercises=(exercise.id, progression.to),
                )


def _left_to_do(here: Exercise, progression: Progression, there: Exercise | None) -> str:
    waiting = [one.id for one in (here, there) if one is not None and not one.may_go_on_a_sheet]
    parts = [] if progression.when else ["write its criteria (`when`)"]
    parts += [f"review {' and '.join(waiting)}"] if waiting else []
    return ", ".join([*parts, "then take out `draft: true`"]).removeprefix("then ")
