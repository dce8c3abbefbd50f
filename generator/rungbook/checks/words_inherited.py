"""A variation that is done otherwise and takes over words or pictures.

A side plank on the feet that tells the patient "knees bent", or a step-down with the words of the
step-up, is done as it is told. A variation with its own position, posture, movement, contacts,
help or resistance is told by its own words, or somebody confirms that those it takes over fit.

Mend it by writing the sections (and `pictures`) anew in the variation's file, or by
`words-checked: true` once you have read them. No sheet is made of it before.

Fails:

    [exercises/leg/squat.md]
    title: Squat
    position: standing
    ---
    ## For the patient
    Bend your knees, your hands on the table.
    [exercises/leg/squat-free.md]
    title: Squat without a hand
    variation-of: squat
    posture: {knee: {flexion: 20}}

Passes:

    [exercises/leg/squat.md]
    title: Squat
    position: standing
    ---
    ## For the patient
    Bend your knees, your hands on the table.
    [exercises/leg/squat-free.md]
    title: Squat without a hand
    variation-of: squat
    posture: {knee: {flexion: 20}}
    ---
    ## For the patient
    Bend your knees, your arms in front of you.
"""

from __future__ import annotations

from collections.abc import Iterator

from rungbook.ladder.measured import MeasuredLibrary
from rungbook.model.finding import Finding, Level

name = "words-inherited"
level: Level = "warning"


def check(measured: MeasuredLibrary) -> Iterator[Finding]:
    """One finding for each variation whose words nobody wrote or checked for it."""
    for exercise in measured.library.exercises.values():
        if exercise.borrowed:
            yield Finding(
                name,
                level,
                f"{exercise.id} is done otherwise than {exercise.variation_of} and takes over its "
                f"{' and '.join(exercise.borrowed)}: write its own, or 'words-checked: true' "
                "once they are found to fit",
                exercise.place("variation-of"),
                exercises=(exercise.id,),
            )
