"""A progression that asks for more than one step may.

Between the two exercises a rung is missing: whoever has mastered the easier one may still be
provoked by the harder one, and has nothing in between. The size is that of the worst axis (load,
weight-bearing, impact, range, stretched position, speed, balance, time under tension), in
steps. It is an error from 1.25 steps on; below that a warning, since the numbers are good to two
figures.

Mend it with `rungbook fill FROM TO --write`, by writing the exercises between yourself, or,
where the step is right for your patients, by a larger limit in library.yml or in the ladder.

Fails:

    [exercises/arm/raise.md]
    title: Raise the arm
    sides: one
    works: shoulder flexion
    movement: [{shoulder: {flexion: [0, 90]}}]
    progressions: [{to: raise-weight, when: [3 sets of 12]}]
    [exercises/arm/raise-weight.md]
    title: Raise the arm with a weight
    variation-of: raise
    resistance: [{weight: 3 kg, at: hand}]

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

from rungbook.ladder.gaps import SETTINGS_FILE
from rungbook.ladder.measure import judged_steps
from rungbook.ladder.measured import MeasuredLibrary
from rungbook.ladder.question import put_between
from rungbook.ladder.step import Step
from rungbook.ladder.steps import BESIDE_THE_SIZE, TOLERANCE
from rungbook.ladder.words import axis_in_words, size_in_words, worst_in_words
from rungbook.model.finding import Finding, Level
from rungbook.model.place import Place

name = "step-too-large"
level: Level = "error"
CLEARLY = 1.25  # steps: from here on an error


def check(measured: MeasuredLibrary) -> Iterator[Finding]:
    """One finding for each progression whose step is too large, one for what cannot be judged."""
    yield from _not_judged(measured)
    for step, ladder in judged_steps(measured):
        if step.size <= 1 + TOLERANCE:
            continue
        advice, command = put_between(measured, step, ladder)
        index = measured.graph[step.from_id][step.to_id]["index"]
        yield Finding(
            name,
            "error" if step.size >= CLEARLY else "warning",
            f"the step from {step.from_id} to {step.to_id} is {size_in_words(step)} "
            f"({worst_in_words(step)}){_also(step)}. {advice}",
            measured.library.exercises[step.from_id].place("progressions", index, "to"),
            exercises=(step.from_id, step.to_id),
            edge=(step.from_id, step.to_id),
            ladder=ladder,
            details=_details(step, command),
        )


def _not_judged(measured: MeasuredLibrary) -> Iterator[Finding]:
    """One note for each file that has to be mended before steps can be judged."""
    files = sorted(set(measured.unjudged.values()))
    for file, told in zip(files, measured.not_judged, strict=True):
        if file == SETTINGS_FILE:  # what is found in this file is the same for every part
            told = f"no step is judged until {file} is mended."
        yield Finding(name, "note", told, Place(file))


def _also(step: Step) -> str:
    others = [
        axis_in_words(axis, one)
        for axis, one in step.axes.items()
        if one.size > 1 + TOLERANCE and axis != step.worst and axis not in BESIDE_THE_SIZE
    ]
    return f"; also too far: {', '.join(others)}" if others else ""


def _details(step: Step, command: str) -> dict[str, object]:
    worst = step.axes[step.worst]
    return {
        "axis": step.worst,
        "from": worst.from_value,
        "to": worst.to_value,
        "limit": worst.limit,
        "size": step.size,
        "missing": step.missing,
        **({"command": command} if command else {}),
    }
