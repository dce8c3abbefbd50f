"""Where a posture cannot be reached, what was tried and works is named with its number."""

from __future__ import annotations

import re
from typing import Any

import pytest

from builders.exercises import exercise
from builders.poses import library_for, load_of
from rungbook.load.compute import compute_loads
from rungbook.load.result import Fault


def fault_of(**written: Any) -> Fault:
    fault, *_ = load_of(**written).faults
    assert fault.check == "contact-off-surface"
    return fault


HEEL: dict[str, Any] = {
    "sides": "one", "position": "supine", "works": "hip flexion",
    "posture": {"hip": {"external-rotation": 0, "abduction": 0}},
    "movement": [{"hip": {"flexion": [20, 60]}, "knee": {"flexion": [40, 115]}}],
}  # fmt: skip
RAIL: dict[str, Any] = {
    "position": "standing", "works": "knee extension",
    "movement": [{"knee": {"flexion": [0, 60]}}],
    "contacts": [{"at": "feet", "surface": "floor"},
                 {"at": "hands", "surface": "bar", "height": "2.6 m", "touch": True}],
}  # fmt: skip


def test_a_heel_that_would_have_to_slide_says_how_far() -> None:
    fault = fault_of(**HEEL, contacts=[{"at": "heel", "surface": "floor"}])
    match = re.search(r"it fits if it slides by (\d+) cm: write 'slides: true'", fault.message)
    assert match
    sliding = {"at": "heel", "surface": "floor", "slides": True}
    assert load_of(**HEEL, contacts=[sliding]).faults == ()
    assert fault.details["way_out"] == {
        "kind": "slides",
        "by": pytest.approx(float(match[1]) / 100, abs=0.005),
    }


def test_a_bar_that_is_too_high_says_what_height_fits() -> None:
    fault = fault_of(**RAIL)
    match = re.search(r"it fits at a height of ([\d.]+) m", fault.message)
    assert match
    lower = {**RAIL["contacts"][1], "height": f"{match[1]} m"}
    assert load_of(**{**RAIL, "contacts": [RAIL["contacts"][0], lower]}).faults == ()


def test_an_angle_that_is_in_the_way_says_what_it_would_be() -> None:
    posture = {"shoulder": {"flexion": 90}, "elbow": {"flexion": 0}, "wrist": {"flexion": 0}}
    fault = fault_of(
        position="standing", works="shoulder flexion", posture=posture,
        movement=[{"trunk": {"forward-lean": [0, 0]}}],
        contacts=[{"at": "feet", "surface": "floor"},
                  {"at": "hands", "surface": "counter", "height": "1.0 m", "slides": True}],
    )  # fmt: skip
    assert re.search(r"it fits with working shoulder flexion at \d+° ", fault.message)


def test_nothing_is_tried_for_who_does_not_ask() -> None:
    one = exercise(**RAIL)
    load = compute_loads([one], library_for(), explained=False)[one.id]
    assert "it fits" not in load.faults[0].message
    assert "move the contact" in load.faults[0].message


@pytest.mark.parametrize("abduction", [[0, 20], [0, 35], [10, 45]])
def test_elbows_may_swing_out_in_a_press_up(abduction: list[float]) -> None:
    """Palms tilt a little on their heels; before, any abduction at all took them off the floor."""
    load = load_of(
        position="plank", works="elbow extension",
        movement=[{"elbow": {"flexion": [0, 90]}, "shoulder": {"abduction": abduction}}],
    )  # fmt: skip
    assert load.faults == ()
    halfway = load.joints["working shoulder abduction"].angle_deg[5]
    assert halfway == pytest.approx(sum(abduction) / 2, abs=8)


def test_elbows_farther_out_than_the_hands_allow_are_told() -> None:
    # By hand: with the elbow at 90 the elbow lies at most 0.186 · 0.154 / 0.242 of stature, 20 cm,
    # beside a hand under the shoulder; abduction 45 wants 0.186 · sin 45, 22 cm.
    fault = fault_of(
        position="plank", works="elbow extension",
        movement=[{"elbow": {"flexion": [0, 90]}, "shoulder": {"abduction": [0, 45]}}],
    )  # fmt: skip
    assert 0.01 < float(str(fault.details["distance_m"])) < 0.04
