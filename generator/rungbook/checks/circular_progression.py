"""A progression that leads back to itself.

A ladder with a circle has no easiest rung: nobody can say which way is up, and a route may go
round for ever. Draft progressions count: they are meant to become ways.

Mend it by removing the progression of the circle that points to the easier exercise.

Fails:

    [exercises/arm/wall.md]
    title: Press-up at the wall
    progressions: [{to: counter, when: [3 sets of 15]}]
    [exercises/arm/counter.md]
    title: Press-up at the counter
    progressions: [{to: wall, when: [3 sets of 15]}]

Passes:

    [exercises/arm/wall.md]
    title: Press-up at the wall
    progressions: [{to: counter, when: [3 sets of 15]}]
    [exercises/arm/counter.md]
    title: Press-up at the counter
"""

from __future__ import annotations

from collections.abc import Iterator

from rungbook.ladder.graph import shortest_cycles
from rungbook.ladder.measured import MeasuredLibrary
from rungbook.model.finding import Finding, Level

name = "circular-progression"
level: Level = "error"


def check(measured: MeasuredLibrary) -> Iterator[Finding]:
    """One finding for each knot of circles: its shortest, every progression with its line."""
    exercises = measured.library.exercises
    graph = measured.with_drafts
    for circle in shortest_cycles(graph):
        edges = list(zip(circle, (*circle[1:], circle[0]), strict=True))
        places = [
            exercises[easier].place("progressions", graph[easier][harder]["index"], "to")
            for easier, harder in edges
        ]
        told = ", ".join(
            f"{easier} to {harder} ({place.file}:{place.line})"
            for (easier, harder), place in zip(edges, places, strict=True)
        )
        yield Finding(
            name,
            level,
            f"the progressions lead in a circle: {told}. "
            "Remove the one that points to the easier exercise.",
            places[0],
            exercises=circle,
            details={
                "edges": [
                    {"from": easier, "to": harder, "file": place.file, "line": place.line}
                    for (easier, harder), place in zip(edges, places, strict=True)
                ]
            },
        )
