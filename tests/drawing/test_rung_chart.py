"""The chart of a rung: one scale, nothing clamped, the permitted step a band."""

from __future__ import annotations

import xml.etree.ElementTree as ET

import pytest

from builders.drawings import tree, with_class, words
from rungbook.drawing.rung_chart import chart_axis, end_of, rung_chart


def parsed(drawing: str) -> ET.Element:
    return tree(drawing.replace("<svg", '<svg xmlns="http://www.w3.org/2000/svg"', 1))


def place(root: ET.Element, css: str, name: str) -> float:
    return float((with_class(root, css)[0].get(name) or "").rstrip("%"))


def test_the_dot_stands_at_its_height_and_the_band_ends_where_a_step_may_reach() -> None:
    root = parsed(rung_chart(2.0, 2.5, "25 N·m", 5.0))
    assert place(root, "chart-dot", "cx") == pytest.approx(40)
    assert place(root, "chart-band", "x") == pytest.approx(30)
    assert place(root, "chart-band", "width") == pytest.approx(20)
    assert "25 N·m" in words(root) and not with_class(root, "chart-over")


def test_a_step_too_large_is_hatched_from_the_band_to_the_dot() -> None:
    root = parsed(rung_chart(4.0, 2.5, "60 N·m", 5.0, over=True))
    assert place(root, "chart-over", "x1") == pytest.approx(50)
    assert place(root, "chart-over", "x2") == pytest.approx(80)


def test_the_highest_rung_stands_inside_with_room_for_its_number() -> None:
    end = end_of([0.0, None, 6.2])
    assert place(parsed(rung_chart(6.2, None, "1", end)), "chart-dot", "cx") < 96


def test_a_rung_that_is_not_on_the_scale_says_so_and_has_no_dot() -> None:
    root = parsed(rung_chart(None, None, "no number", 4.0))
    assert words(root) == "no number" and not with_class(root, "chart-dot")


def test_the_axis_has_a_line_a_step_with_its_load() -> None:
    root = parsed(chart_axis(3.4, ["0", "12", "25", "37"], 2.0))
    assert words(root) == "0 0 1 12 2 25 3 37"
