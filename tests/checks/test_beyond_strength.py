"""Loads beyond what anybody can produce: the model or the exercise is wrong."""

from __future__ import annotations

import pytest

from builders.loads import exercise, load, measured_of
from rungbook.checks.beyond_strength import check
from rungbook.model.exercise import Exercise

# 0.163 · 70 kg · 9.81 · 1.70 m: the top of young men's knee extension (Anderson 2007, Table 3).
TOP_NM = 0.163 * 70 * 9.81 * 1.70


def found(peak_nm: float, works: str = "knee extension", **values: object) -> list[str]:
    one: Exercise = exercise("e", works=works, **values)
    measured = measured_of(one, loads={"e": load("e", peak_nm, works)})
    return [finding.message for finding in check(measured)]


def test_one_and_a_half_times_the_strongest_is_still_possible() -> None:
    assert found(1.49 * TOP_NM) == []


def test_more_than_that_is_told_with_its_size() -> None:
    (message,) = found(2.0 * TOP_NM)
    assert "asks for 381 N·m of knee extension, 2.0 times" in message


def test_where_no_curve_is_published_nothing_is_said() -> None:
    assert found(5000.0, "shoulder flexion") == []


@pytest.mark.parametrize("works", ["ankle plantarflexion", "hip extension", "other-hip flexion"])
def test_either_side_and_every_published_joint_is_judged(works: str) -> None:
    assert len(found(1000.0, works)) == 1


def test_a_hop_is_exempt() -> None:
    figure = [{"works": "knee extension", "value": "9 Nm/kg", "source": "x"}]
    assert found(1000.0, ballistic=True, impact="both feet", measured=tuple(figure)) == []
