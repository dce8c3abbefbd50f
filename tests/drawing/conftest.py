"""The demo library's exercises with a posture, for tests of every figure."""

from __future__ import annotations

import datetime
import pathlib

import pytest

from rungbook.load.result import ExerciseLoad
from rungbook.model.exercise import Exercise
from rungbook.pipeline.analyse import analyse

LIBRARY = pathlib.Path(__file__).parents[2] / "library"
TODAY = datetime.date(2026, 11, 25)


@pytest.fixture(scope="package")
def demo_exercises() -> list[tuple[Exercise, ExerciseLoad]]:
    """Every exercise of the demo that has a posture, with its load."""
    measured = analyse(LIBRARY, TODAY).measured
    return [
        (exercise, measured.loads[key])
        for key, exercise in measured.library.exercises.items()
        if measured.loads[key].skeleton is not None
    ]
