"""A load that a strong young man could not produce.

The demand is over one and a half times the top of the published strength curve of men of 18 to 25
years, for the reference person's mass and stature. Either the posture is not how people do the
exercise, or a weight, a contact or a share is wrong. Where no curve is published (all but hip,
knee and ankle, forward and backward) nothing can be said. Ballistic exercises are left out.

Mend it by a lighter weight, the unit that was meant, a hand on something, or the posture people
take.

Fails:

    [exercises/leg/straighten.md]
    title: Straighten the knee with a weight
    sides: one
    position: sitting
    works: knee extension
    movement: [{knee: {flexion: [90, 0]}}]
    resistance: [{weight: 90 kg, at: ankle}]

Passes:

    [exercises/leg/straighten.md]
    title: Straighten the knee with a weight
    sides: one
    position: sitting
    works: knee extension
    movement: [{knee: {flexion: [90, 0]}}]
    resistance: [{weight: 9 kg, at: ankle}]
"""

from __future__ import annotations

from collections.abc import Iterator

from rungbook.body.strength_curves import strongest_nm
from rungbook.ladder.measured import MeasuredLibrary
from rungbook.model.finding import Finding, Level

name = "beyond-strength"
level: Level = "warning"
MOST = 1.5  # of the strongest group's curve; common practice, no source


def check(measured: MeasuredLibrary) -> Iterator[Finding]:
    """One finding for each demand that is beyond what anybody can do."""
    for id, load in measured.loads.items():
        exercise = measured.library.exercises[id]
        if exercise.ballistic:
            continue
        for demand in load.demands.values():
            action = f"{demand.works.joint} {demand.works.movement}"
            top = strongest_nm(action, load.person.mass_kg, load.person.stature_m)
            if top is None or demand.basis != "statics" or demand.peak_nm <= MOST * top:
                continue
            yield Finding(
                name,
                level,
                f"{exercise.title} asks for {demand.peak_nm:.0f} N·m of {demand.works}, "
                f"{demand.peak_nm / top:.1f} times what the strongest group of a published table "
                f"can do at its best angle ({top:.0f} N·m). Correct the weight, the contacts or "
                "the posture.",
                exercise.place("resistance" if exercise.resistance else "works"),
                exercises=(id,),
                details={"peak_nm": round(demand.peak_nm, 3), "strongest_nm": round(top, 3)},
            )
