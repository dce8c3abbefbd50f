"""Treads lie at their height in steps; steps that are too large say so in words."""

from __future__ import annotations

import itertools
import math

import pytest

from builders.drawings import faults, numbers, tree, with_class, words
from builders.drawn_ladders import measured_ladder
from rungbook.drawing.staircase import NARROW_PX, WIDE_PX, staircase
from rungbook.drawing.treads import Proposed, staircase_sentences

RUNGS = [("Long sitting press", 4.0), ("Roll", 6.0), ("Half carried", 9.0), ("High chair", 32.0)]
HOSTILE = '</text><script>alert(1)</script> & "quoted" \'n so on'


def href(exercise: str) -> str:
    return f"../exercises/{exercise}.html"


def drawn(*args: object, **more: object):  # type: ignore[no-untyped-def]
    return tree(staircase(*args, "knee", href=href, **more))  # type: ignore[arg-type]


def test_treads_stand_at_their_height_in_steps() -> None:
    """Where a tread stands by the formula: the goal of 32 N·m is the standard exercise."""
    treads = with_class(drawn(measured_ladder(RUNGS)), "stair-tread")
    y = {t.get("data-rung"): numbers(t.get("d", ""))[1] for t in treads if t.get("data-rung")}
    heights = [4 / 8, 6 / 8, 9 / 8, 2 + math.log(2) / math.log(1.5)]
    per_step = (y["rung-0"] - y["rung-3"]) / (heights[-1] - heights[0])
    for number, height in enumerate(heights):
        fell = y["rung-0"] - y[f"rung-{number}"]
        assert fell == pytest.approx(per_step * (height - heights[0]), abs=0.3)


def test_a_line_is_a_step_and_has_its_load() -> None:
    root = drawn(measured_ladder(RUNGS))
    rules = [numbers(t.get("d", ""))[1] for t in with_class(root, "stair-rule")]
    assert len(rules) == 3 and rules[0] - rules[1] == pytest.approx(rules[1] - rules[2], abs=0.2)
    assert [t.text for t in with_class(root, "stair-tick")] == ["N·m", "8", "16", "24"]


def test_easier_is_down_and_left() -> None:
    treads = with_class(drawn(measured_ladder(RUNGS)), "stair-tread")
    places = [numbers(t.get("d", ""))[:2] for t in treads]
    assert all(a[0] < b[0] and a[1] > b[1] for a, b in itertools.pairwise(places))


def test_the_bracket_is_one_step() -> None:
    root = drawn(measured_ladder(RUNGS))
    treads = {t.get("data-rung"): t for t in with_class(root, "stair-tread")}
    y = {k: numbers(t.get("d", ""))[1] for k, t in treads.items()}
    rules = [numbers(t.get("d", ""))[1] for t in with_class(root, "stair-rule")]
    bracket = next(b for b in with_class(root, "stair-bracket") if b.get("data-from") == "rung-1")
    _, y0, _, y1, *_ = numbers(bracket.get("d", ""))
    assert y0 == pytest.approx(y["rung-1"], abs=0.2)
    assert y0 - y1 == pytest.approx(rules[0] - rules[1], abs=0.4)


def test_a_step_too_large_is_hatched_and_says_so_in_words() -> None:
    root = drawn(measured_ladder(RUNGS))
    assert len(with_class(root, "stair-hatch")) == 1
    assert "2.6 steps, 2 missing" in words(root)
    assert "2 rungs are missing" in words(root)
    assert len(with_class(root, "stair-missing")) == 2


def test_steps_within_the_limit_are_not_hatched() -> None:
    root = drawn(measured_ladder(RUNGS[:3]))
    assert with_class(root, "stair-hatch") == [] and with_class(root, "stair-missing") == []


def test_proposed_exercises_are_dotted_treads_at_their_demand() -> None:
    fill = {("rung-2", "rung-3"): [Proposed("One kilo", 14.0), Proposed("Two kilos", 21.0)]}
    root = drawn(measured_ladder(RUNGS), proposals=fill)
    dotted = with_class(root, "stair-missing")
    assert [t.get("data-height") for t in dotted] == ["1.75", "2.671"]
    assert "Proposed: One kilo" in words(root)


def test_a_demand_of_nothing_is_the_foot_of_the_scale() -> None:
    root = drawn(measured_ladder([("Rest", 0.0), ("Little", 1.0), ("Goal", 20.0)]))
    ys = [numbers(t.get("d", ""))[1] for t in with_class(root, "stair-tread") if t.get("data-rung")]
    assert ys[0] == pytest.approx(float(root.get("data-bottom", "")), abs=0.1)
    assert ys[0] > ys[1] > ys[2]


@pytest.mark.parametrize("width", [NARROW_PX, WIDE_PX])
@pytest.mark.parametrize("count", [1, 2, 12])
def test_labels_never_overlap_and_stay_inside(width: float, count: int) -> None:
    long = "A title that goes on and on about the height of the chair and the hands on its arms"
    root = drawn(measured_ladder([(f"{long} {i}", 20 + i) for i in range(count)]), width_px=width)
    box = numbers(root.get("viewBox", ""))
    rows = sorted(float(t.get("y", "")) for t in root.iter() if "stair-t" in t.get("class", "")
                  and t.tag.endswith("text") and "tick" not in t.get("class", ""))  # fmt: skip
    assert all(b - a >= 16.9 for a, b in itertools.pairwise(rows))
    assert rows[0] > 8 and rows[-1] < box[3]


def test_every_rung_links_to_its_page_and_never_elsewhere() -> None:
    root = drawn(measured_ladder(RUNGS))
    links = [e.get("href") for e in root.iter() if e.tag.endswith("}a")]
    assert sorted(links) == sorted(href(f"rung-{i}") for i in range(4))


def test_hostile_titles_stay_words() -> None:
    drawing = staircase(
        measured_ladder([(HOSTILE, 3.0), ("b", 4.0)], title=HOSTILE), "knee", href=href
    )
    assert faults(drawing) == []
    assert "<script>" in words(tree(drawing))


def test_the_same_in_sentences_easiest_first() -> None:
    said = staircase_sentences(measured_ladder(RUNGS), "knee")
    assert said[0] == "Long sitting press: 4 N·m, entry at high irritability."
    assert said[-1] == "High chair: 32 N·m, entry at low irritability, goal, 2.6 steps, 2 missing."


def test_the_same_demand_everywhere_is_level() -> None:
    root = drawn(measured_ladder([("a", 10.0), ("b", 10.0)]))
    ys = {numbers(t.get("d", ""))[1] for t in with_class(root, "stair-tread")}
    assert len(ys) == 1
