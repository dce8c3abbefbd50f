"""An exercise whose named muscles never have to act.

`works` says which muscles the exercise is about, but in this posture gravity, weights and bands
turn the joint the other way or not at all, so the ladder would measure nothing.

Mend it by naming the muscles that do work, by turning the body so that gravity resists the
movement, or by a weight or band that does. A stretch says so with `passive: true`.

Fails:

    [exercises/arm/raise.md]
    title: Raise the arm
    sides: one
    works: shoulder extension
    movement: [{shoulder: {flexion: [0, 90]}}]

Passes:

    [exercises/arm/raise.md]
    title: Raise the arm
    sides: one
    works: shoulder flexion
    movement: [{shoulder: {flexion: [0, 90]}}]
"""

from __future__ import annotations

from collections.abc import Iterator

from rungbook.checks.faulted import engine_findings
from rungbook.ladder.measured import MeasuredLibrary
from rungbook.model.finding import Finding, Level

name = "works-unloaded"
level: Level = "warning"
NOTHING_NM = 0.05
NEXT_TO_NOTHING = 0.05  # of what the opposite muscles do


def check(measured: MeasuredLibrary) -> Iterator[Finding]:
    """One finding for each action of `works` without any demand, help aside."""
    yield from engine_findings(measured, name, level)
    for id, load in measured.loads.items():
        exercise = measured.library.exercises.get(id)
        if exercise is None or exercise.passive or exercise.ballistic or exercise.assist:
            continue
        for action, demand in load.demands.items():
            if demand.peak_nm < max(NOTHING_NM, NEXT_TO_NOTHING * float(-demand.curve_nm.min())):
                yield Finding(
                    name,
                    level,
                    f"{exercise.title}: {action} never has to act in this posture. Name the "
                    "muscles that work, turn the body to gravity, or add a weight or a band.",
                    exercise.place("works"),
                    exercises=(id,),
                    details={"works": action, "peak_nm": round(demand.peak_nm, 4)},
                )
