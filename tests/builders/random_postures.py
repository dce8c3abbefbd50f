"""Exercises of random postures in every position, as drawings have to stand them."""

from __future__ import annotations

import pathlib
import random

from rungbook.body.positions import position_names
from rungbook.load.compute import compute_loads
from rungbook.load.result import STOPS, ExerciseLoad
from rungbook.model.exercise import Exercise
from rungbook.model.library import Library

# Joint, movement, from and to in degrees: within what healthy joints do (from memory).
_MOVES = (
    ("knee", "flexion", 0, 110), ("hip", "flexion", 0, 100), ("hip", "abduction", 0, 35),
    ("shoulder", "flexion", 0, 150), ("shoulder", "abduction", 0, 120),
    ("elbow", "flexion", 0, 130), ("ankle", "plantarflexion", -10, 35),
    ("lumbar", "flexion", -10, 40), ("neck", "flexion", -20, 30),
)  # fmt: skip
# How high a joint's centre is above what it lies on, at least: less than its flesh is thick.
_LEAST_M = {"knee": 0.04, "hip": 0.075, "chest": 0.08, "lumbar": 0.08, "elbow": -0.06}


def random_postures(count: int, seed: int) -> list[tuple[Exercise, ExerciseLoad]]:
    """So many exercises that the engine can place, all positions in turn."""
    draw = random.Random(seed)
    found: list[tuple[Exercise, ExerciseLoad]] = []
    while len(found) < count:
        names = position_names()
        tried = [_one(draw, names[n % len(names)], len(found) + n) for n in range(count)]
        loads = compute_loads(tried, Library(pathlib.Path(".")), explained=False)
        found += [(one, loads[one.id]) for one in tried if _possible(loads[one.id])]
    return found[:count]


def _possible(load: ExerciseLoad) -> bool:
    """Whether the engine can place it, and its trunk, knees and elbows above the ground."""
    body = load.skeleton
    if body is None or {fault.check for fault in load.faults} & STOPS:
        return False
    return all(
        float(place[:, 2].min()) >= _LEAST_M.get(name.split()[-1], -1.0)
        for name, place in body.points_m.items()
    )


def _one(draw: random.Random, position: str, number: int) -> Exercise:
    joint, way, low, high = draw.choice(_MOVES)
    ends = draw.randint(low, high), draw.randint(low, high)
    fixed = draw.choice([m for m in _MOVES if m[0] != joint])
    return Exercise.model_validate(
        {
            "id": f"random-{number}",
            "title": f"Random {number}, {position}",
            "position": position,
            "sides": draw.choice(["one", "both"]),
            "works": f"{joint} {way}",
            "movement": ({joint: {way: ends}},),
            "posture": {fixed[0]: {fixed[1]: draw.randint(*fixed[2:])}},
        }
    )
