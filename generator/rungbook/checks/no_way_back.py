"""A rung that no progression reaches.

After a flare-up the patient goes back one rung. A rung that is no entry and that nothing leads to
has no easier exercise: whoever fails on it has nowhere to go.

Mend it by writing the progression from an easier exercise, or by making the rung an entry.

Fails:

    [exercises/leg/chair.md]
    title: Stand up from a high seat
    progressions: [{to: squat, when: [3 sets of 15]}]
    [exercises/leg/wall.md]
    title: Slide down the wall
    progressions: [{to: squat, when: [3 sets of 15]}]
    [exercises/leg/squat.md]
    title: Squat
    [ladders/leg.md]
    title: Leg loading
    goal: squat
    entries: {high: chair}

Passes:

    [exercises/leg/chair.md]
    title: Stand up from a high seat
    progressions: [{to: wall, when: [3 sets of 15]}]
    [exercises/leg/wall.md]
    title: Slide down the wall
    progressions: [{to: squat, when: [3 sets of 15]}]
    [exercises/leg/squat.md]
    title: Squat
    [ladders/leg.md]
    title: Leg loading
    goal: squat
    entries: {high: chair}
"""

from __future__ import annotations

from collections.abc import Iterator

from rungbook.ladder.graph import leading_to
from rungbook.ladder.measured import MeasuredLibrary
from rungbook.model.finding import Finding, Level

name = "no-way-back"
level: Level = "warning"


def check(measured: MeasuredLibrary) -> Iterator[Finding]:
    """One finding for each exercise that leads to a ladder's goal and that nothing leads to.

    Ladders without entries may be entered anywhere, so they are left alone.
    """
    library, graph = measured.library, measured.graph
    entries = {entry for ladder in library.ladders.values() for entry in ladder.entries.values()}
    seen: set[str] = set()
    for ladder in library.ladders.values():
        if not ladder.entries:
            continue
        for rung in sorted(leading_to(graph, ladder.goal) - entries - seen):
            if any(easier != rung for easier in measured.wide.pred[rung]):
                continue
            seen.add(rung)
            yield Finding(
                name,
                level,
                f"no progression leads to {rung}, and it is no entry of {ladder.id}: there is no "
                "easier rung to go back to. Write a progression to it or make it an entry.",
                library.exercises[rung].place("title"),
                exercises=(rung,),
                ladder=ladder.id,
            )
