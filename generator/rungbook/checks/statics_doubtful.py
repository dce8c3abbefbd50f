"""A load that statics describes badly.

At its tempo the movement's inertia would add more than 15 % to the peak, or the posture reached
its contacts only by bending where nobody asked it to, or a helping force has no lever. The number
is shown all the same, with this said beside it.

Mend it by a slower tempo (`up`, `down`), by angles that fit the contacts, or accept it with the
reason why it does not matter.

Fails:

    [exercises/arm/swing.md]
    title: Swing the arm
    sides: one
    works: shoulder flexion
    movement: [{shoulder: {flexion: [0, 90]}}]
    dose: {sets: 3, reps: 10, up: 0.3 s, down: 0.3 s}

Passes:

    [exercises/arm/swing.md]
    title: Raise the arm
    sides: one
    works: shoulder flexion
    movement: [{shoulder: {flexion: [0, 90]}}]
    dose: {sets: 3, reps: 10, up: 3 s, down: 3 s}
"""

from __future__ import annotations

from collections.abc import Iterator

from rungbook.checks.faulted import engine_findings
from rungbook.ladder.measured import MeasuredLibrary
from rungbook.model.finding import Finding, Level

name = "statics-doubtful"
level: Level = "note"
MOST_INERTIA = 0.15


def check(measured: MeasuredLibrary) -> Iterator[Finding]:
    """Faults of that name, and each exercise whose inertia is more than 15 % of its peak."""
    yield from engine_findings(measured, name, level)
    for id, load in measured.loads.items():
        exercise = measured.library.exercises.get(id)
        if exercise is None or exercise.passive or load.withheld is not None:
            continue
        if load.inertial_share > MOST_INERTIA:
            yield Finding(
                name,
                level,
                f"{exercise.title}: at this tempo inertia would add about "
                f"{100 * load.inertial_share:.0f} % to the peak load, which statics leaves out. "
                "Slow the movement down, or read the load as a lower bound.",
                exercise.place("dose"),
                exercises=(id,),
                details={"inertial_share": round(load.inertial_share, 4)},
            )
