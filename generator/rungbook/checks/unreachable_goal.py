"""An entry from which no progressions lead to the goal.

Whoever starts there can never arrive.

Mend it by writing the progression that is missing, or by choosing another entry or goal.

Fails:

    [exercises/leg/chair.md]
    title: Stand up from a high seat
    [exercises/leg/squat.md]
    title: Squat
    [ladders/leg.md]
    title: Leg loading
    goal: squat
    entries: {high: chair}

Passes:

    [exercises/leg/chair.md]
    title: Stand up from a high seat
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

name = "unreachable-goal"
level: Level = "error"


def check(measured: MeasuredLibrary) -> Iterator[Finding]:
    """One finding for each entry of a ladder that does not lead to its goal."""
    library, graph = measured.library, measured.wide
    for ladder in library.ladders.values():
        if ladder.goal not in measured.graph:
            continue
        leading = leading_to(graph, ladder.goal)
        reported: set[str] = set()
        for irritability, entry in ladder.entries.items():
            if entry not in measured.graph or entry in leading or entry in reported:
                continue
            reported.add(entry)
            yield Finding(
                name,
                level,
                f"no progressions lead from {entry} to {ladder.goal}, the goal of {ladder.id}. "
                "Write the one that is missing, or choose another entry.",
                ladder.place("entries", irritability),
                exercises=(ladder.goal, entry),
                ladder=ladder.id,
            )
