"""A curve is drawn to scale, tells its geometry, and marks its peak."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest

from builders.drawings import faults, numbers, tree, with_class, words
from builders.skeletons import load, sample
from rungbook.drawing.curve import moment_curve, nice_top
from rungbook.load.result import ExerciseLoad

PHASE = np.linspace(0, 1, 11)


def curve_of(
    curve: np.ndarray, angle: tuple[float, float] = (0, 60), **more: object
) -> ExerciseLoad:
    return load(sample("squat")[0], None, angle=angle, curve=curve, **more)  # type: ignore[arg-type]


@pytest.mark.parametrize("curve", [30 * PHASE, -5 - PHASE, 20 * np.sin(6 * PHASE), 0 * PHASE])
def test_a_curve_is_well_formed(curve: np.ndarray) -> None:
    assert faults(moment_curve(curve_of(curve), title="<b>&")) == []


@pytest.mark.parametrize("curve", [40 * PHASE, 17.3 * np.cos(2 * PHASE), 30 * np.sin(4 * PHASE)])
def test_the_data_attributes_give_the_scale_of_the_line(curve: np.ndarray) -> None:
    root = tree(moment_curve(curve_of(curve)))
    get = lambda key: float(root.get(f"data-{key}", "nan"))  # noqa: E731
    drawn = numbers(with_class(root, "curve-line")[0].get("points", "")).reshape(-1, 2)
    expected = get("zero") - curve * (get("zero") - get("top")) / get("full-nm")
    assert drawn[:, 1] == pytest.approx(expected, abs=0.11)
    assert drawn[:, 0] == pytest.approx(np.linspace(get("left"), get("right"), 11), abs=0.06)
    box = numbers(root.get("viewBox", ""))
    assert drawn[:, 1].min() >= 0 and drawn[:, 1].max() <= box[3]


def test_the_peak_is_marked_with_its_moment_and_angle() -> None:
    root = tree(moment_curve(curve_of(30 * np.sin(np.pi * PHASE))))
    assert "30 N·m at 30°" in words(root)
    peak = with_class(root, "curve-peak")[0]
    line = numbers(with_class(root, "curve-line")[0].get("points", "")).reshape(-1, 2)
    assert float(peak.get("cy", "nan")) == pytest.approx(line[:, 1].min(), abs=0.1)


def test_muscles_that_never_act_have_no_peak() -> None:
    root = tree(moment_curve(curve_of(-3 - PHASE)))
    assert with_class(root, "curve-peak") == []
    assert "never have to act" in words(root)


def test_both_ways_are_drawn_where_they_differ() -> None:
    up, down = 20 + 10 * PHASE, 40 + 10 * PHASE
    root = tree(moment_curve(curve_of(down, per_way={"up": up, "down": down})))
    assert [line.get("data-way") for line in with_class(root, "curve-line")] == ["up", "down"]
    assert "lifting" in words(root) and "lowering" in words(root)
    assert len(root.findall(".//*[@data-moments]")) == 2


def test_the_tolerated_arc_is_shaded_in_proportion() -> None:
    root = tree(moment_curve(curve_of(30 * PHASE), tolerated_deg=(15, 45)))
    shade = with_class(root, "curve-tolerated")[0]
    left, right = float(root.get("data-left", "")), float(root.get("data-right", ""))
    assert float(shade.get("width", "")) == pytest.approx((right - left) / 2, abs=0.1)
    assert float(shade.get("x", "")) == pytest.approx(left + (right - left) / 4, abs=0.1)


def test_the_named_action_is_drawn_or_none() -> None:
    result = curve_of(30 * PHASE)
    assert moment_curve(result, "ankle plantarflexion") == ""
    assert moment_curve(result, "knee extension") == moment_curve(result)
    assert moment_curve(dataclasses.replace(result, demands={})) == ""


@pytest.mark.parametrize(
    ("peak", "top"), [(0, 1), (0.9, 1), (1.2, 1.5), (41, 50), (100, 100), (810, 1000)]
)
def test_the_highest_tick_is_a_round_number(peak: float, top: float) -> None:
    assert nice_top(peak) == pytest.approx(top)


def test_angles_are_positive_under_the_movement_that_is_said() -> None:
    """Knee extension from -80 to 0 is told as 80 to 0 degrees of knee flexion."""
    root = tree(moment_curve(curve_of(30 * (1 - PHASE), angle=(-80, 0))))
    said = [t.text for t in with_class(root, "curve-angle")]
    assert said == ["80°", "0°"] and "knee flexion" in words(root)
    assert "30 N·m at 80°" in words(root)
    assert (root.get("data-of"), root.get("data-works-turn")) == ("knee flexion", "-1")


def test_a_curve_has_three_labels_at_most_and_names_what_lies_below_zero() -> None:
    root = tree(moment_curve(curve_of(30 * np.cos(3 * PHASE))))
    labels = ("curve-peak-label", "curve-angle")
    assert sum(len(with_class(root, css)) for css in labels) <= 3
    assert "the opposite muscles work" in words(root)
