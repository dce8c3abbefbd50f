"""A rung without a progression towards the goal.

Who has mastered it stands before nothing: the ladder ends short of where it was to lead.

Mend it by writing the progression to the next exercise, or by taking the rung off the ladder.

Fails:

    [exercises/leg/chair.md]
    title: Stand up from a high seat
    progressions:
      - {to: wall, when: [3 sets of 15]}
      - {to: squat, when: [3 sets of 20]}
    [exercises/leg/wall.md]
    title: Slide down the wall
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

from rungbook.ladder.measured import MeasuredLibrary
from rungbook.model.finding import Finding, Level
from rungbook.model.ladder import Ladder

name = "no-way-on"
level: Level = "warning"


def _ascent(measured: MeasuredLibrary, ladder: Ladder) -> set[str]:
    """What is reached from the entries without going past the goal."""
    graph = measured.graph
    waiting = [entry for entry in ladder.entries.values() if entry in graph]
    seen = set(waiting)
    while waiting:
        here = waiting.pop()
        if here != ladder.goal:
            fresh = [there for there in graph[here] if there not in seen]
            seen.update(fresh)
            waiting.extend(fresh)
    return seen


def check(measured: MeasuredLibrary) -> Iterator[Finding]:
    """One finding for each dead end on the way up, other ladders' ways included."""
    library, graph = measured.library, measured.graph
    goals = {ladder.goal for ladder in library.ladders.values() if ladder.goal in graph}
    seen: set[str] = set()
    for ladder in library.ladders.values():
        if ladder.goal not in graph:
            continue
        for rung in sorted(_ascent(measured, ladder) - goals - seen):
            if any(harder != rung for harder in measured.wide[rung]):
                continue
            seen.add(rung)
            yield Finding(
                name,
                level,
                f"{rung} has no progression towards {ladder.goal}, the goal of {ladder.id}. "
                "Write the progression to the next exercise.",
                library.exercises[rung].place("title"),
                exercises=(rung,),
                ladder=ladder.id,
            )
