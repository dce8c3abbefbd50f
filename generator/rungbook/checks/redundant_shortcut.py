"""A progression that skips rungs which are there.

It may be meant, for patients who get on fast; but often it stayed behind when a rung was put
between, and now offers the larger step beside the smaller ones.

Mend it by removing the progression, or accept it with the reason it is kept.

Fails:

    [exercises/leg/chair.md]
    title: Stand up from a high seat
    progressions:
      - {to: wall, when: [3 sets of 15]}
      - {to: squat, when: [3 sets of 20]}
    [exercises/leg/wall.md]
    title: Slide down the wall
    progressions: [{to: squat, when: [3 sets of 15]}]
    [exercises/leg/squat.md]
    title: Squat

Passes:

    [exercises/leg/chair.md]
    title: Stand up from a high seat
    progressions: [{to: wall, when: [3 sets of 15]}]
    [exercises/leg/wall.md]
    title: Slide down the wall
    progressions: [{to: squat, when: [3 sets of 15]}]
    [exercises/leg/squat.md]
    title: Squat
"""

from __future__ import annotations

from collections.abc import Iterator

from rungbook.ladder.graph import redundant_edges
from rungbook.ladder.measured import MeasuredLibrary
from rungbook.model.finding import Finding, Level

name = "redundant-shortcut"
level: Level = "note"


def check(measured: MeasuredLibrary) -> Iterator[Finding]:
    """One finding for each progression that others already imply."""
    for (easier, harder), way in redundant_edges(measured.graph):
        index = measured.graph[easier][harder]["index"]
        yield Finding(
            name,
            level,
            f"{easier} leads to {harder} by way of {way} already. Remove this shortcut, or accept "
            "it with the reason to keep it.",
            measured.library.exercises[easier].place("progressions", index, "to"),
            exercises=(easier, harder, way),
            edge=(easier, harder),
        )
