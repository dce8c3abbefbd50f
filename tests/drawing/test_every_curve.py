"""Every curve of the demo can be read: what leads on its axis, few labels, none on another."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

import numpy as np
import pytest

from builders.drawings import numbers, tree, with_class, words
from rungbook.drawing.curve import STILL_DEG, moment_curve
from rungbook.drawing.panels import moves
from rungbook.drawing.svg import standalone
from rungbook.load.result import ExerciseLoad
from rungbook.model.exercise import Exercise

Curves = list[tuple[str, ExerciseLoad, str, str]]  # id, load, action, drawing
PHONE_PX, LEAST_PX = 358, 11


@pytest.fixture(scope="module")
def curves(demo_exercises: list[tuple[Exercise, ExerciseLoad]]) -> Curves:
    """The curves of all that moves, with an arc that the patient tolerates: the middle half."""
    return [
        (exercise.id, load, action, moment_curve(load, action, tolerated_deg=_middle(load, action)))
        for exercise, load in demo_exercises
        if moves(exercise, load)
        for action, demand in load.demands.items()
        if demand.basis == "statics"
    ]


def _middle(load: ExerciseLoad, action: str) -> tuple[float, float]:
    first, *_, last = load.demands[action].angle_deg
    return float(first + (last - first) / 4), float(first + 3 * (last - first) / 4)


def test_the_axis_is_the_movement_that_leads_and_its_angles_are_positive(curves: Curves) -> None:
    assert len(curves) > 100
    for key, load, action, drawing in curves:
        root = tree(drawing)
        angles = numbers(root.get("data-angles", ""))
        assert np.ptp(angles) >= STILL_DEG, (key, action)
        assert words(root).count("\N{MINUS SIGN}") == 0 or angles.min() < 0 < angles.max(), key
        assert (root.get("data-of") or "") in words(root), key
        own = float(np.ptp(load.demands[action].angle_deg))
        written = float(np.ptp(load.arc_deg))
        assert own >= STILL_DEG or np.ptp(angles) == pytest.approx(written, abs=2.1), (key, action)


def test_a_curve_has_a_peak_and_two_ends_to_read(curves: Curves) -> None:
    for key, _, action, drawing in curves:
        root = tree(drawing)
        labels = [*with_class(root, "curve-peak-label"), *with_class(root, "curve-angle")]
        assert len(labels) <= 3, (key, action)


def test_what_lies_below_zero_is_named(curves: Curves) -> None:
    """Where a tenth of the height or more lies there."""
    for key, load, action, drawing in curves:
        root = tree(drawing)
        every = [load.demands[action].curve_nm, *load.demands[action].per_way.values()]
        lowest = min(float(np.min(one)) for one in every)
        full = float(root.get("data-full-nm", ""))
        if lowest < -full / 10:
            assert "opposite muscles work" in words(root), (key, action)


def test_the_tolerated_arc_is_the_middle_half(curves: Curves) -> None:
    for key, load, action, drawing in curves:
        if np.ptp(load.demands[action].angle_deg) < STILL_DEG:
            continue  # of another joint than the one that leads
        root = tree(drawing)
        shade = with_class(root, "curve-tolerated")[0]
        left, right = float(root.get("data-left", "")), float(root.get("data-right", ""))
        assert float(shade.get("width", "")) == pytest.approx((right - left) / 2, abs=0.2), key
        assert float(shade.get("x", "")) == pytest.approx(left + (right - left) / 4, abs=0.2), key


@pytest.fixture(scope="module")
def on_a_phone(browser: Any, curves: Curves) -> Iterator[dict[str, list[dict[str, Any]]]]:
    page = browser.new_page(viewport={"width": 390, "height": 844})
    style = re.search("<style>.*</style>", standalone("<svg></svg>"), re.DOTALL)
    assert style
    body = "".join(
        f"<div id='{key} {action}' style='width:{PHONE_PX}px'>{drawing}</div>"
        for key, _, action, drawing in curves
    )
    page.set_content(f"{style[0]}<style>svg{{width:100%}}</style>{body}")
    yield page.evaluate(
        """() => Object.fromEntries([...document.querySelectorAll('div')].map(div => {
          const svg = div.querySelector('svg'), edge = svg.getBoundingClientRect();
          const scale = edge.width / svg.viewBox.baseVal.width;
          return [div.id, [...svg.querySelectorAll('text')].map(text => {
            const { left, right, top, bottom } = text.getBoundingClientRect();
            return { words: text.textContent, left, right, top, bottom,
              size: parseFloat(getComputedStyle(text).fontSize) * scale,
              inside: left >= edge.left - 1 && right <= edge.right + 1 && top >= edge.top - 1
                && bottom <= edge.bottom + 1 };
          })];
        }))"""
    )
    page.close()


def test_words_of_a_curve_are_large_enough_inside_and_apart(
    on_a_phone: dict[str, list[dict[str, Any]]],
) -> None:
    wrong = []
    for key, texts in on_a_phone.items():
        wrong += [(key, one["words"], "small") for one in texts if one["size"] < LEAST_PX]
        wrong += [(key, one["words"], "cut off") for one in texts if not one["inside"]]
        wrong += [
            (key, one["words"], other["words"])
            for n, one in enumerate(texts)
            for other in texts[n + 1 :]
            if min(one["right"], other["right"]) - max(one["left"], other["left"]) > 1
            and min(one["bottom"], other["bottom"]) - max(one["top"], other["top"]) > 3
        ]
    assert wrong == []
