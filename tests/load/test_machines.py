"""Machines, cables and weights held by a handle."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from builders.poses import load_of
from rungbook.load.result import ExerciseLoad

LEG_PRESS: dict[str, Any] = {
    "sides": "both", "position": "sitting", "works": "knee extension",
    "contacts": [{"at": "seat", "surface": "chair", "height": "0.45 m"}],
    "movement": [{"knee": {"flexion": [90, 20]}, "hip": {"flexion": [90, 60]}}],
}  # fmt: skip


def pressed(newtons: int) -> ExerciseLoad:
    return load_of(**LEG_PRESS, resistance=[{"machine": {"push": f"{newtons} N", "at": "feet"}}])


def knee_extension(load: ExerciseLoad) -> np.ndarray:
    return np.asarray(load.demands["knee extension"].curve_nm)


def test_a_footplate_adds_its_half_times_the_height_of_the_knee_over_the_foot() -> None:
    bare, with_plate = load_of(**LEG_PRESS), pressed(300)
    assert with_plate.skeleton is not None
    knee, foot = (
        with_plate.skeleton.points_m[f"working {name}"][:, 2] for name in ("knee", "ankle")
    )
    # By hand: 150 N backward on each foot, 2 to 12 cm under the ankle; M = F · (z knee - z foot).
    added = knee_extension(with_plate) - knee_extension(bare)
    arm = added / 150
    assert np.all(arm > knee - foot) and np.all(arm < knee - foot + 0.13)


def test_what_pushes_a_plate_bears_weight() -> None:
    load = pressed(300)
    # by hand: half of 300 N over 70 kg · 9.81
    assert load.borne["leg"] == pytest.approx(150 / (70 * 9.81), abs=0.15)
    assert load_of(**LEG_PRESS).borne["leg"] == 0
    assert pressed(600).borne["leg"] - load.borne["leg"] == pytest.approx(150 / 686.7, abs=0.005)


def test_a_cable_pulls_along_its_line_wherever_the_hand_is() -> None:
    arm: dict[str, Any] = {
        "sides": "one", "position": "standing", "works": "shoulder extension",
        "posture": {"elbow": {"flexion": 0}}, "movement": [{"shoulder": {"flexion": [90, 0]}}],
    }  # fmt: skip
    cable = {"weight": "4 kg", "at": "hand", "from": {"height": "1.6 m", "distance": "1 m"}}
    bare, pulled = load_of(**arm), load_of(**arm, resistance=[{"cable": cable}])
    assert pulled.skeleton is not None
    band = next(one for one in pulled.skeleton.applied if one.kind == "band")
    shoulder = pulled.skeleton.points_m["working shoulder"]
    pelvis = pulled.skeleton.points_m["pelvis"][0]
    for phase in (0, 5, 10):
        # By hand, in the plane of the side view: 39.24 N from the hand to the anchor.
        hand, hub = band.point_m[phase], shoulder[phase]
        line = np.array([pelvis[0] + 1.0, pelvis[1], 1.6]) - hand
        force = 39.24 * line / np.linalg.norm(line)
        lever = hand - hub
        by_hand = lever[0] * force[2] - lever[2] * force[0]
        name = "working shoulder flexion"
        added = pulled.joints[name].moment_nm[phase] - bare.joints[name].moment_nm[phase]
        assert added == pytest.approx(-by_hand, abs=0.3)


def test_a_hammer_turns_the_forearm_by_its_weight_times_its_length() -> None:
    turned: dict[str, Any] = {
        "sides": "one", "position": "sitting", "works": "forearm supination",
        "posture": {"elbow": {"flexion": 90}, "shoulder": {"flexion": 0, "abduction": 0}},
        "movement": [{"forearm": {"supination": [-80, 0]}}],
    }  # fmt: skip
    held = [{"weight": "1 kg", "at": "hand", "off-axis": "0.2 m"}]
    bare, hammer = load_of(**turned), load_of(**turned, resistance=held)
    supination = "forearm supination"
    added = hammer.demands[supination].curve_nm - bare.demands[supination].curve_nm
    # By hand: palm down the hammer lies level, 1 kg · 9.81 · 0.2 m; thumb up it stands on the hand.
    assert added[0] == pytest.approx(9.81 * 0.2 * np.sin(np.radians(80)), rel=0.1)
    assert added[-1] == pytest.approx(0, abs=0.3)


def test_an_exercise_without_a_number_says_so_and_is_no_fault() -> None:
    load = load_of(position="hook-lying", measured="none", works="lumbar flexion")
    assert load.faults == () and load.demands == {}
    assert (
        load.withheld
        == "no load is claimed for it: what counts is its dose and how well it is done"
    )
    assert load.skeleton is not None
