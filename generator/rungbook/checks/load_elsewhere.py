"""A step that loads another joint, or a hand or knee, much more.

The named muscles may be ready for the harder exercise while a shoulder, wrist or knee that it
leans on is not. The step itself is judged by the named muscles; this names what rises beside it,
where those muscles work hard in the harder exercise: at 30 % of their strength or more.

Mend it, where it matters, by an exercise between that loads that place less, or warn of it in the
text under "Watch for".

Fails:

    [exercises/leg/knee.md]
    title: Straighten the knee
    sides: one
    position: sitting
    works: knee extension
    movement: [{knee: {flexion: [90, 0]}}]
    progressions: [{to: squat, when: [3 sets of 15]}]
    [exercises/leg/squat.md]
    title: Squat on one leg
    sides: one
    position: single-leg-standing
    works: knee extension
    movement: [{knee: {flexion: [0, 60]}}]

Passes:

    [exercises/leg/knee.md]
    title: Straighten the knee
    sides: one
    position: sitting
    works: knee extension
    movement: [{knee: {flexion: [90, 0]}}]
    progressions: [{to: cuff, when: [3 sets of 15]}]
    [exercises/leg/cuff.md]
    title: Straighten the knee with a light cuff
    variation-of: knee
    resistance: [{weight: 0.25 kg, at: ankle}]
"""

from __future__ import annotations

from collections.abc import Iterator

from rungbook.ladder.measure import judged_steps
from rungbook.ladder.measured import MeasuredLibrary
from rungbook.ladder.steps import TOLERANCE
from rungbook.ladder.words import axis_in_words
from rungbook.model.finding import Finding, Level

name = "load-elsewhere"
level: Level = "note"


def check(measured: MeasuredLibrary) -> Iterator[Finding]:
    """One finding for each progression whose largest rise elsewhere passes the limit."""
    for step, ladder in judged_steps(measured):
        rise = step.axes.get("elsewhere")
        if rise is None or step.elsewhere is None or rise.size <= 1 + TOLERANCE:
            continue
        index = measured.graph[step.from_id][step.to_id]["index"]
        yield Finding(
            name,
            level,
            f"from {step.from_id} to {step.to_id} another place is loaded much more: "
            f"{axis_in_words('elsewhere', rise, step.elsewhere)}. Watch it, or put a rung between.",
            measured.library.exercises[step.from_id].place("progressions", index, "to"),
            exercises=(step.from_id, step.to_id),
            edge=(step.from_id, step.to_id),
            ladder=ladder,
            details={
                "at": step.elsewhere,
                "from": rise.from_value,
                "to": rise.to_value,
                "limit": rise.limit,
            },
        )
