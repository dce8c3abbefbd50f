"""Load and volume take the middle of a dose's ranges; the volume says how far they reach."""

from __future__ import annotations

from typing import Any

import pytest

from builders.loads import exercise
from rungbook.load.dose import tempo, week_range

DOSE = {"sets": "2-4", "reps": 10, "up": "2 s", "down": "3 s", "sessions": "2-4 per week"}


def week(**dose: Any) -> tuple[float, tuple[float, float]]:
    one = exercise(dose=dose)
    return tempo(one, True, True).week_s, week_range(one, True, True)


def test_a_week_of_ranges_is_computed_from_their_middles() -> None:
    """By hand: 3 sets of 10 repetitions of 5 s, 3 times; from 2 sets twice to 4 sets 4 times."""
    assert week(**DOSE) == (450.0, (200.0, 800.0))
    assert week(**{**DOSE, "sets": 3, "sessions": "3 per week"}) == (450.0, (450.0, 450.0))


def test_a_hold_of_a_range_takes_its_middle() -> None:
    """By hand: twice 20 s a day; from 10 to 30 s."""
    one = exercise(dose={"sets": 2, "hold": "10-30 s", "sessions": "1 per day"})
    assert tempo(one, False, True).week_s == pytest.approx(280.0)
    assert week_range(one, False, True) == pytest.approx((140.0, 420.0))


def test_repetitions_from_and_to_reach_as_far() -> None:
    """The upper end is what load and volume are computed with, as for a single number."""
    middle, reach = week(**{**DOSE, "sets": 3, "sessions": "3 per week", "reps": "8-12"})
    assert middle == 540.0
    assert reach == (360.0, 540.0)
