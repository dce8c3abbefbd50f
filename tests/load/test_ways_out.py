"""Where a posture cannot be reached, what was tried and works is named with its number."""

from __future__ import annotations

import re
from typing import Any

import numpy as np
import pytest

from builders.exercises import exercise
from builders.poses import library_for, load_of
from rungbook.load.compute import compute_loads
from rungbook.load.result import Fault


def fault_of(**written: Any) -> Fault:
    fault, *_ = load_of(**written).faults
    assert fault.check == "contact-off-surface"
    return fault


RAIL: dict[str, Any] = {
    "position": "standing", "works": "knee extension",
    "movement": [{"knee": {"flexion": [0, 60]}}],
    "contacts": [{"at": "feet", "surface": "floor"},
                 {"at": "hands", "surface": "bar", "height": "2.6 m", "touch": True}],
}  # fmt: skip


def test_a_bar_that_is_too_high_says_what_height_fits() -> None:
    fault = fault_of(**RAIL)
    match = re.search(r"it fits at a height of ([\d.]+) m", fault.message)
    assert match
    lower = {**RAIL["contacts"][1], "height": f"{match[1]} m"}
    assert load_of(**{**RAIL, "contacts": [RAIL["contacts"][0], lower]}).faults == ()


def heel(knee: list[float], hip: list[float], posture: Any = None) -> dict[str, Any]:
    return {
        "sides": "one", "position": "supine", "works": "hip flexion", "posture": posture or {},
        "movement": [{"hip": {"flexion": hip}, "knee": {"flexion": knee}}],
        "contacts": [{"at": "heel", "surface": "floor"}],
    }  # fmt: skip


def slid(**written: Any) -> dict[str, Any]:
    return {**written, "contacts": [{**written["contacts"][0], "slides": True}]}


def test_a_heel_that_would_have_to_slide_says_how_far() -> None:
    lies_there = {"hip": {"external-rotation": 0, "abduction": 0}}
    drawn_up = heel([40, 115], [18.2, 54.7], lies_there)
    fault = fault_of(**drawn_up)
    match = re.search(r"it fits if it slides by (\d+) cm: write 'slides: true'", fault.message)
    assert match
    assert load_of(**slid(**drawn_up)).faults == ()
    # By hand: thigh and shank of 0.245 and 0.246 of stature, 1.70 m.
    reach = [0.245 * np.cos(np.radians(hip)) + 0.246 * np.cos(np.radians(knee - hip))
             for hip, knee in ((18.2, 40), (54.7, 115))]  # fmt: skip
    assert float(match[1]) == pytest.approx(170 * (reach[0] - reach[1]), abs=5)
    assert fault.details["way_out"] == {
        "kind": "slides",
        "by": pytest.approx(float(match[1]) / 100, abs=0.005),
    }


def test_a_heel_that_would_have_to_slide_on_a_leg_bent_otherwise_says_both() -> None:
    fault = fault_of(**heel([40, 115], [20, 60]))
    match = re.search(
        r"it fits if it slides by (\d+) cm with working knee flexion at (\d+)° at the end: write both",
        fault.message,
    )
    assert match
    # By hand: the heel lies where it lies with the hip at 18.2 and the knee at 40.
    rises = 0.245 / 0.246 * (np.sin(np.radians(60)) - np.sin(np.radians(18.2)))
    falls = np.degrees(np.arcsin(np.sin(np.radians(40 - 18.2)) + rises))
    assert float(match[2]) == pytest.approx(60 + falls, abs=3)


def test_an_angle_that_is_in_the_way_says_what_it_would_be() -> None:
    straight = heel([0, 0], [0, 20])
    straight["movement"] = [{"hip": {"flexion": [0, 20]}}]
    fault = fault_of(**slid(**{**straight, "posture": {"knee": {"flexion": 0}}}))
    match = re.search(r"it fits with working knee flexion at (\d+)° at the end", fault.message)
    assert match
    # By hand: of two bones as long as each other the lower one falls as the upper one rises.
    assert float(match[1]) == pytest.approx(40, abs=4)


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
