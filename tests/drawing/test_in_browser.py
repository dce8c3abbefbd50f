"""What a real browser makes of the drawings: nothing sticks out, nothing is covered, all reads."""

from __future__ import annotations

import pathlib
from collections.abc import Iterator
from typing import Any

import pytest

from builders.drawings import figure
from builders.drawn_ladders import measured_ladder
from builders.skeletons import SAMPLES, sample
from rungbook.drawing.curve import moment_curve
from rungbook.drawing.diagram import draw
from rungbook.drawing.maps import ladder_map
from rungbook.drawing.svg import standalone

LONG = [
    ("Sitzend das Knie strecken, Unterschenkelgewichtsmanschette halb getragen", 4.0),
    ("Standing up from a high seat with both hands on the rests", 9.0),
    ("Kurz", 40.0),
]
OUTSIDE = """svg => { const box = svg.getBoundingClientRect();
  return [...svg.querySelectorAll('text')].map(t => [t.textContent, t.getBoundingClientRect()])
  .filter(([_, b]) => b.left < box.left - 2 || b.right > box.right + 2 || b.top < box.top - 2
    || b.bottom > box.bottom + 2).map(([words]) => words) }"""


@pytest.fixture(scope="module")
def page(browser: Any) -> Iterator[Any]:
    made = browser.new_page(viewport={"width": 800, "height": 900})
    yield made
    made.close()


def show(page: Any, drawing: str, tmp_path: pathlib.Path) -> Any:
    """The drawing as a file of its own, as a page."""
    place = tmp_path / "drawing.svg"
    place.write_text(standalone(drawing), encoding="utf-8")
    page.goto(place.as_uri())
    return page.query_selector("svg")


def href(exercise: str) -> str:
    return f"{exercise}.html"


@pytest.mark.parametrize("name", SAMPLES)
@pytest.mark.parametrize("side", ["right", "left"])
def test_every_word_and_limb_of_a_figure_is_inside(
    page: Any, name: str, side: Any, tmp_path: pathlib.Path
) -> None:
    svg = show(page, figure(*sample(name), side=side), tmp_path)
    assert svg.evaluate(OUTSIDE) == []
    assert svg.evaluate(OUTSIDE.replace("'text'", "'.fig-body, .fig-prop'")) == []


def test_a_curve_keeps_its_words_inside(page: Any, tmp_path: pathlib.Path) -> None:
    for name in SAMPLES:
        svg = show(page, moment_curve(sample(name)[1]), tmp_path)
        assert svg.evaluate(OUTSIDE) == []


def test_the_words_of_a_map_fit_their_boxes(page: Any, tmp_path: pathlib.Path) -> None:
    """The engine measures in its own font; the browser's may not be wider than the box."""
    drawings = draw([ladder_map(measured_ladder(LONG), "knee", href=href)]).drawings
    assert drawings is not None
    svg = show(page, drawings[0], tmp_path)
    wide = svg.evaluate(
        """svg => [...svg.querySelectorAll('.map-node')].flatMap(node => {
          const shape = node.querySelector('polygon, path').getBoundingClientRect();
          return [...node.querySelectorAll('text')].filter(
            t => t.getBoundingClientRect().width > shape.width).map(t => t.textContent) })"""
    )
    assert wide == []


def test_a_working_limb_is_another_colour(page: Any, tmp_path: pathlib.Path) -> None:
    svg = show(page, figure(*sample("straight-leg-raise")), tmp_path)
    fills = svg.evaluate(
        """svg => ['.fig-work', '.fig-far', '.fig-body:not(.fig-work):not(.fig-far)']
          .map(css => getComputedStyle(svg.querySelector(css)).fill)"""
    )
    assert fills[0] == "rgb(166, 63, 23)" and len(set(fills)) == 3
