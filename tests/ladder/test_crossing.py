"""Where a movement first passes a limit, with straight lines between its eleven phases."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rungbook.ladder.crossing import END, NOWHERE, at_place, first_crossing, greatest_until

RAMP = np.linspace(0.0, 120.0, 11)


def test_a_movement_is_cut_on_the_limit_itself():
    place = first_crossing([RAMP - 90], 0.5)
    assert place == pytest.approx(7.5)
    assert at_place(RAMP, place) == pytest.approx(90)


def test_what_settles_by_half_a_degree_is_no_breach():
    assert first_crossing([RAMP - 119.6], 0.5) == END


def test_what_starts_past_the_limit_cannot_be_cut():
    assert first_crossing([90 - RAMP], 0.5) == NOWHERE


def test_several_limits_of_one_entry_must_be_passed_at_once():
    late = np.where(np.arange(11) < 9, -10.0, 10.0)
    assert first_crossing([RAMP - 90, late], 0.5) == pytest.approx(8.5)
    never = np.full(11, -1.0)
    assert first_crossing([RAMP - 90, never], 0.5) == END


def test_there_and_back_is_cut_on_the_way_there():
    arc = 60 - np.abs(np.linspace(-60, 60, 11))
    assert first_crossing([arc - 30], 0.5) == pytest.approx(2.5)


def test_the_greatest_value_may_lie_between_two_phases():
    assert greatest_until(RAMP, 7.5) == (pytest.approx(90), 7.5)
    assert greatest_until(RAMP[::-1], 7.5) == (pytest.approx(120), 0.0)


@given(st.lists(st.floats(-180, 180), min_size=11, max_size=11), st.floats(-180, 180))
def test_up_to_the_cut_the_limit_is_kept_and_beyond_it_is_not(angles: list[float], most: float):
    curve = np.array(angles)
    place = first_crossing([curve - most], 0.5)
    if place == NOWHERE:
        assert curve[0] > most + 0.5
        return
    assert greatest_until(curve, place)[0] <= most + 0.5 + 1e-9
    if place < END:
        assert curve[int(place) + 1] > most + 0.5
