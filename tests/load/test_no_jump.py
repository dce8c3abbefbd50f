"""Over a movement no load jumps: what changes between two moments changes little by little."""

from __future__ import annotations

import pathlib
import random
from collections.abc import Iterator

import numpy as np
import pytest

from rungbook.load.compute import compute_loads
from rungbook.model.exercise import Exercise
from rungbook.reading.read import read_library

DEMO = pathlib.Path(__file__).parents[2] / "library"
SLICES = (0, 6, 13, 19)  # of twenty, in each of which eleven phases lie 1/200 of the way apart
MOST = 0.02  # of an axis's peak over the whole movement
LEAST_NM = 0.6  # less is no jump that anybody would see


def sliced(exercise: Exercise, part: int) -> Exercise:
    """A twentieth of the movement, as an exercise of its own."""
    movement = tuple(
        {
            joint: {
                name: (start + (end - start) * part / 20, start + (end - start) * (part + 1) / 20)
                for name, (start, end) in angles.items()
            }
            for joint, angles in item.items()
        }
        for item in exercise.movement
    )
    return exercise.model_copy(update={"id": f"{exercise.id}--{part}", "movement": movement})


def even(exercises: list[Exercise]) -> Iterator[Exercise]:
    """Those in which nothing comes, goes or drags, and no band grows over a slice as over all."""
    for one in exercises:
        comes = any(item.during for item in (*one.contacts, *one.assist, *one.resistance))
        grows = any(item.band for item in one.resistance) or any(c.slides for c in one.contacts)
        if one.movement and not (comes or grows or one.ballistic or one.passive or one.numberless):
            yield one


@pytest.mark.parametrize("seed", [1, 2])
def test_no_axis_jumps_between_moments_that_are_next_to_each_other(seed: int) -> None:
    library = read_library(DEMO)
    some = random.Random(seed).sample(list(even(list(library.exercises.values()))), 40)
    parts = [sliced(one, part) for one in some for part in SLICES]
    loads = compute_loads([*some, *parts], library, numbers_only=True, explained=False)
    jumps = {}
    for one in parts:
        whole, part = loads[one.id.rpartition("--")[0]], loads[one.id]
        for name, curve in part.joints.items():
            peak = np.abs(whole.joints[name].moment_nm).max() if name in whole.joints else 0.0
            step = float(np.abs(np.diff(curve.moment_nm)).max())
            if step > max(MOST * peak, LEAST_NM):
                jumps[one.id, name] = round(step, 2), round(float(peak), 1)
    assert jumps == {}
