"""A progression that is computed to be easier than what it follows.

It is written as the harder exercise, but nothing it asks for rises, and something falls. A load
that falls by no more than is not sure of the difference counts as the same. Either the order is the
wrong way round, or what makes it harder is not in the numbers.

Mend it by turning the progression round, by correcting the posture or the load of one of the two,
or by accepting the finding with the reason why it is harder all the same.

Fails:

    [exercises/arm/raise-weight.md]
    title: Raise the arm with a weight
    sides: one
    works: shoulder flexion
    movement: [{shoulder: {flexion: [0, 90]}}]
    resistance: [{weight: 0.5 kg, at: hand}]
    progressions: [{to: raise, when: [3 sets of 12]}]
    [exercises/arm/raise.md]
    title: Raise the arm
    variation-of: raise-weight
    resistance: []

Passes:

    [exercises/arm/raise.md]
    title: Raise the arm
    sides: one
    works: shoulder flexion
    movement: [{shoulder: {flexion: [0, 90]}}]
    progressions: [{to: raise-weight, when: [3 sets of 12]}]
    [exercises/arm/raise-weight.md]
    title: Raise the arm with a weight
    variation-of: raise
    resistance: [{weight: 0.5 kg, at: hand}]
"""

from __future__ import annotations

from collections.abc import Iterator

from rungbook.ladder.certainty import differ
from rungbook.ladder.measure import judged_steps
from rungbook.ladder.measured import MeasuredLibrary
from rungbook.ladder.step import Step
from rungbook.ladder.steps import fallen
from rungbook.ladder.words import axis_in_words
from rungbook.model.finding import Finding, Level

name = "backward-step"
level: Level = "warning"


def check(measured: MeasuredLibrary) -> Iterator[Finding]:
    """One finding for each progression on which nothing rises and something falls.

    Where the load of one of the two is not known, nobody can say, and nothing is reported.
    """
    for step, ladder in judged_steps(measured):
        axes = tuple(axis for axis in fallen(step) if axis != "demand" or _surely(measured, step))
        if not axes:
            continue
        worst = step.axes[axes[0]]
        index = measured.graph[step.from_id][step.to_id]["index"]
        yield Finding(
            name,
            level,
            f"{step.to_id} is written as harder than {step.from_id} but is computed easier: "
            f"{'; '.join(axis_in_words(axis, step.axes[axis]) for axis in axes)}, "
            "and nothing rises. "
            "Turn the progression round, or correct the posture or the load of one of them.",
            measured.library.exercises[step.from_id].place("progressions", index, "to"),
            exercises=(step.from_id, step.to_id),
            edge=(step.from_id, step.to_id),
            ladder=ladder,
            details={
                "axis": axes[0],
                "from": worst.from_value,
                "to": worst.to_value,
                "limit": worst.limit,
                "missing": 0,
            },
        )


def _surely(measured: MeasuredLibrary, step: Step) -> bool:
    works = step.axes["demand"].works
    return works is None or differ(measured, works, step.from_id, step.to_id)
