"""A progression that changes too many kinds of demand at once.

When the next morning is bad, nobody can tell which change it was. The kinds are load (load, weight-
bearing, impact), motion (range, stretched position, speed), balance and dose; one counts where it
rises by more than a little: a tenth, 10 degrees, one class.

Mend it by putting an exercise between that changes some of them first: `rungbook fill FROM TO`.

Fails:

    [exercises/arm/raise.md]
    title: Raise the arm lying
    sides: one
    position: supine
    works: shoulder flexion
    movement: [{shoulder: {flexion: [90, 100]}}]
    dose: {sets: 2, reps: 10, up: 2 s, down: 2 s, sessions: 3 per week}
    progressions: [{to: raise-more, when: [3 sets of 12]}]
    [exercises/arm/raise-more.md]
    title: Raise the arm standing, further and more often
    variation-of: raise
    position: standing
    movement: [{shoulder: {flexion: [0, 125]}}]
    dose: {sets: 3, reps: 10, up: 2 s, down: 2 s, sessions: 5 per week}

Passes:

    [exercises/arm/raise.md]
    title: Raise the arm
    sides: one
    works: shoulder flexion
    movement: [{shoulder: {flexion: [0, 90]}}]
    dose: {sets: 2, reps: 10, up: 2 s, down: 2 s, sessions: 3 per week}
    progressions: [{to: raise-more, when: [3 sets of 12]}]
    [exercises/arm/raise-more.md]
    title: Raise the arm further
    variation-of: raise
    movement: [{shoulder: {flexion: [0, 125]}}]
"""

from __future__ import annotations

from collections.abc import Iterator

from rungbook.ladder.measure import judged_steps
from rungbook.ladder.measured import MeasuredLibrary
from rungbook.ladder.question import put_between
from rungbook.ladder.step import Step
from rungbook.ladder.steps import BESIDE_THE_SIZE, TOLERANCE
from rungbook.ladder.words import GROUPS, axis_in_words, counted
from rungbook.model.finding import Finding, Level

name = "several-changes-at-once"
level: Level = "warning"


def check(measured: MeasuredLibrary) -> Iterator[Finding]:
    """One finding for each progression in which more groups rise than the limit."""
    for step, ladder in judged_steps(measured):
        changes = step.axes.get("changes")
        if changes is None or changes.size <= 1 + TOLERANCE:
            continue
        advice, command = put_between(measured, step, ladder)
        index = measured.graph[step.from_id][step.to_id]["index"]
        kinds = ", ".join(GROUPS[group] for group in step.risen)
        yield Finding(
            name,
            level,
            f"from {step.from_id} to {step.to_id} "
            f"{counted(len(step.risen), 'kind')} of demand rise at once ({kinds}), where one step "
            f"allows {changes.limit:g}: {'; '.join(_rising(step))}. {advice}",
            measured.library.exercises[step.from_id].place("progressions", index, "to"),
            exercises=(step.from_id, step.to_id),
            edge=(step.from_id, step.to_id),
            ladder=ladder,
            details={
                "axis": "changes",
                "from": 0,
                "to": len(step.risen),
                "limit": changes.limit,
                "groups": list(step.risen),
                "missing": 1,
                **({"command": command} if command else {}),
            },
        )


def _rising(step: Step) -> Iterator[str]:
    """The axes that rise, in words."""
    for axis, one in step.axes.items():
        if axis not in BESIDE_THE_SIZE and one.change > 0:
            yield axis_in_words(axis, one)
