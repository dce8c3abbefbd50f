"""Many numbers are rounded as each of them alone would be."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rungbook.model.digits import plain, significant


@given(
    st.lists(st.floats() | st.floats(-1000, 1000) | st.integers(-99, 99).map(lambda n: n / 8)),
    st.integers(1, 12),
)
def test_rounding_many_is_rounding_each(values: list[float], digits: int) -> None:
    alone = [float(f"{value:.{digits}g}") + 0.0 for value in values]
    together = significant(np.array(values, float), digits).tolist()
    assert list(map(repr, together)) == list(map(repr, alone))


@pytest.mark.parametrize("value", [0.5, 2.5, 999_999.5, 0.0009995, 1e22, 9.9999999999995, 5e-324])
def test_ties_and_borders_are_rounded_as_text(value: float) -> None:
    for digits in (1, 3, 6, 12):
        assert significant(np.array([value]), digits)[0] == float(f"{value:.{digits}g}")


def test_whole_numbers_lose_their_point() -> None:
    assert list(map(repr, plain(np.array([[1.0, 0.5], [-3.0, 0.0]])))) == ["1", "0.5", "-3", "0"]


def test_the_shape_stays() -> None:
    assert significant(np.ones((2, 0, 3)), 12).shape == (2, 0, 3)
