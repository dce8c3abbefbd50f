"""A rung that every route depends on.

Where all routes pass through one exercise, a patient who does not tolerate that one exercise
cannot get to the goal.

Mend it, where the trade has another exercise of about the same load, by adding a second way past
the rung; often there is none, and the note is only to be known.

Fails:

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

Passes:

    [exercises/leg/chair.md]
    title: Stand up from a high seat
    progressions:
      - {to: wall, when: [3 sets of 15]}
      - {to: step, when: [3 sets of 15]}
    [exercises/leg/wall.md]
    title: Slide down the wall
    progressions: [{to: squat, when: [3 sets of 15]}]
    [exercises/leg/step.md]
    title: Step up
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

from rungbook.ladder.graph import single_ways
from rungbook.ladder.measured import MeasuredLibrary
from rungbook.model.finding import Finding, Level

name = "single-way"
level: Level = "note"


def check(measured: MeasuredLibrary) -> Iterator[Finding]:
    """One finding a ladder, which names all such rungs."""
    for ladder in measured.library.ladders.values():
        ways = single_ways(measured.graph, ladder.entries.values(), ladder.goal)
        if not ways:
            continue
        they = "this rung" if len(ways) == 1 else "these rungs"
        yield Finding(
            name,
            level,
            f"every route to {ladder.goal} passes through {they}: {', '.join(ways)}. "
            "Where another exercise would do, give it a way past.",
            ladder.place("goal"),
            exercises=ways,
            ladder=ladder.id,
        )
