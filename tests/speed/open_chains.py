"""Exercises on open chains with arcs of their own, without files."""

from __future__ import annotations

import pathlib

from rungbook.model.exercise import Exercise
from rungbook.model.library import Library, Settings, Vocabulary
from tests.speed.kinds import FREE

DOSE = {"sets": 3, "reps": 10, "up": "2 s", "down": "2 s"}


def open_chains(count: int) -> tuple[list[Exercise], Library]:
    """`count` exercises, no two of a kind with the same arc, and the library they are in."""
    made = []
    for number in range(count):
        kind = FREE[number % len(FREE)]
        start, end = kind.arc
        further = 20 * number / count * (1 if end > start else -1)
        made.append(
            Exercise.model_validate(
                {
                    "id": f"e{number}",
                    "title": f"{kind.name} {number}",
                    "sides": kind.sides,
                    "position": kind.position,
                    "works": [kind.works],
                    "movement": (
                        {kind.joint: {kind.movement: (float(start), float(end + further))}},
                    ),
                    "dose": DOSE,
                }
            )
        )
    library = Library(
        pathlib.Path("open"), Settings(), Vocabulary(), {one.id: one for one in made}, {}
    )
    return made, library
