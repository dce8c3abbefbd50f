"""Data files of the body name what the library may name, and read as the positions they are."""

from __future__ import annotations

import numpy as np
import pytest

from builders.poses import load_of
from rungbook.body.points import body_point, point_names, singular
from rungbook.body.positions import is_mirror_image, position, position_names
from rungbook.load.result import ExerciseLoad
from rungbook.model.body_point import BODY_POINTS, PLURALS
from rungbook.model.position import POSITIONS

SIDED = {
    "split-stance", "single-leg-standing", "half-kneeling", "side-plank", "side-lying",
    "side-lying-under",
}  # fmt: skip


def test_positions_and_points_are_those_the_library_may_name() -> None:
    assert set(position_names()) == set(POSITIONS)
    assert set(point_names()) == set(BODY_POINTS)
    for plural, single in PLURALS.items():
        assert singular(plural) == (single, True)


@pytest.mark.parametrize("name", POSITIONS)
def test_a_position_is_the_same_on_both_sides_unless_it_has_sides(name: str) -> None:
    assert is_mirror_image(position(name).angles) == (name not in SIDED)


@pytest.mark.parametrize("point", [p for p in BODY_POINTS if body_point(p, "right").side != "mid"])
def test_a_point_on_the_left_is_the_mirror_image(point: str) -> None:
    right, left = body_point(point, "right"), body_point(point, "left")
    assert left.local == pytest.approx(np.array(right.local) * [1, -1, 1])
    assert len(left.corners) == len(right.corners)


@pytest.mark.parametrize("name", POSITIONS)
def test_every_position_can_be_taken(name: str) -> None:
    load = load_of(position=name, sides="one" if name in SIDED else "both", works="hip extension")
    assert load.faults == ()
    assert load.withheld is None


def heights(name: str) -> tuple[ExerciseLoad, dict[str, float]]:
    load = load_of(position=name, sides="one" if name in SIDED else "both", works="hip extension")
    assert load.skeleton is not None
    return load, {key: float(place[0, 2]) for key, place in load.skeleton.points_m.items()}


def test_they_look_like_what_they_are_called() -> None:
    _, standing = heights("standing")
    assert standing["head"] > 1.5
    assert standing["working heel"] == pytest.approx(0, abs=0.002)
    _, fours = heights("quadruped")
    assert abs(fours["working shoulder"] - fours["working hip"]) < 0.15
    assert fours["working knee"] < 0.08 < fours["working hip"]
    _, plank = heights("plank")
    assert plank["working ankle"] < plank["pelvis"] < plank["neck"]
    _, supine = heights("supine")
    assert max(supine.values()) < 0.35
    _, hook = heights("hook-lying")
    assert hook["working knee"] > 0.35
    _, side = heights("side-lying")
    assert side["working hip"] > side["other hip"]
    _, under = heights("side-lying-under")
    assert under["working hip"] < under["other hip"]
    _, kneel = heights("half-kneeling")
    assert kneel["other knee"] < 0.08 < kneel["working knee"]
    _, sitting = heights("sitting")
    assert abs(sitting["working knee"] - sitting["working hip"]) < 0.05
    _, side_plank = heights("side-plank")
    assert side_plank["working shoulder"] < side_plank["other shoulder"]
    assert side_plank["pelvis"] > 0.2
