"""A progression that leads back to itself.

A ladder with a circle has no easiest rung: nobody can say which way is up, and a route may go
round for ever.

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

from collections import deque
from collections.abc import Collection, Iterator

import networkx as nx

from rungbook.ladder.measured import MeasuredLibrary
from rungbook.model.finding import Finding, Level

name = "circular-progression"
level: Level = "error"
MOST_STARTS = 500  # a knot of thousands gets a short circle, not always the shortest


def _way_back(graph: nx.DiGraph, start: str, within: Collection[str]) -> list[str]:
    """The shortest circle through `start` inside its strong component."""
    came_from: dict[str, str] = {}
    queue = deque([start])
    while queue:
        here = queue.popleft()
        for there in sorted(graph.successors(here)):
            if there == start:
                circle = [here]
                while circle[-1] != start:
                    circle.append(came_from[circle[-1]])
                return circle[::-1]
            if there in within and there not in came_from:
                came_from[there] = here
                queue.append(there)
    return []


def shortest_circles(graph: nx.DiGraph) -> Iterator[list[str]]:
    """One shortest circle for each knot of exercises that lead to one another, then for what is
    left of the knot without that circle's exercises."""
    left = graph
    while True:
        knots = [
            sorted(knot)
            for knot in nx.strongly_connected_components(left)
            if len(knot) > 1 or left.has_edge(*(tuple(knot) * 2))
        ]
        if not knots:
            return
        used: set[str] = set()
        for knot in sorted(knots):
            inside = set(knot)
            circle = min((_way_back(left, start, inside) for start in knot[:MOST_STARTS]), key=len)
            yield circle
            used.update(circle)
        left = left.subgraph(set(left) - used)


def check(measured: MeasuredLibrary) -> Iterator[Finding]:
    """One finding a circle, at its first progression; each edge with its line."""
    exercises = measured.library.exercises
    for circle in shortest_circles(measured.graph):
        edges = list(zip(circle, circle[1:] + circle[:1], strict=True))
        places = [
            exercises[easier].place("progressions", measured.graph[easier][harder]["index"], "to")
            for easier, harder in edges
        ]
        told = ", ".join(
            f"{easier} to {harder} ({place.file}:{place.line})"
            for (easier, harder), place in zip(edges, places, strict=True)
        )
        yield Finding(
            name,
            level,
            f"the progressions lead in a circle: {told}. Remove the one that goes to the easier exercise.",
            places[0],
            exercises=tuple(circle),
            details={
                "edges": [
                    {"from": a, "to": b, "place": str(p)}
                    for (a, b), p in zip(edges, places, strict=True)
                ]
            },
        )
