"""Loads say what they would be if angles and surfaces were a little off where they are written."""

from __future__ import annotations

import numpy as np
import pytest

from builders.poses import load_of

SEATED = {"at": "seat", "surface": "chair", "height": "0.48 m", "during": "start"}


def test_an_arm_held_half_way_up_is_surer_than_the_sine_of_two_degrees_and_no_more() -> None:
    held = load_of(sides="one", position="standing", works="shoulder flexion",
                   posture={"elbow": {"flexion": 0}},
                   movement=[{"shoulder": {"flexion": [45, 45]}}])  # fmt: skip
    demand = held.demands["shoulder flexion"]
    # By hand, the centre of the arm taken on its axis: a straight arm asks m·g·d·sin(angle); two degrees more at 45 are sin 47 / sin 45.
    more = demand.peak_nm * (np.sin(np.radians(47)) / np.sin(np.radians(45)) - 1)
    assert demand.spans["shoulder flexion as written"] == pytest.approx(more, rel=0.15)


def test_at_the_top_of_the_curve_two_degrees_change_nothing() -> None:
    level = load_of(sides="one", position="standing", works="shoulder flexion",
                    posture={"elbow": {"flexion": 0}},
                    movement=[{"shoulder": {"flexion": [0, 90]}}])  # fmt: skip
    demand = level.demands["shoulder flexion"]
    assert abs(demand.spans["shoulder flexion as written"]) < 0.01 * demand.peak_nm


def test_a_seat_a_centimetre_higher_and_knees_bent_otherwise_are_counted() -> None:
    load = load_of(sides="both", position="standing", works="knee extension",
                   movement=[{"knee": {"flexion": [97, 0]}, "hip": {"flexion": [90, 0]}}],
                   contacts=[{"at": "feet", "surface": "floor"}, SEATED])  # fmt: skip
    demand = load.demands["knee extension"]
    assert {"knee flexion as written", "surface of the seat"} <= set(demand.spans)
    assert demand.low_nm is not None and demand.high_nm is not None
    assert demand.low_nm < 0.95 * demand.peak_nm and demand.high_nm > 1.05 * demand.peak_nm


def test_both_sides_are_moved_as_one() -> None:
    load = load_of(sides="both", position="standing", works="knee extension",
                   movement=[{"knee": {"flexion": [0, 40]}}])  # fmt: skip
    named = [name for name in load.demands["knee extension"].spans if "as written" in name]
    assert named == ["knee flexion as written"]
