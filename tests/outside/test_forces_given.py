"""Forces that ground, walls and bands give to people: where a rule of least force went wrong.

Each case was once computed otherwise; what it said then stands beside it.
"""

from __future__ import annotations

import pathlib
from typing import Any

import numpy as np
import pytest

from builders.poses import load_of
from rungbook.load.compute import compute_loads
from rungbook.load.others import works_hard
from rungbook.load.result import ExerciseLoad
from rungbook.reading.read import read_library

DEMO = pathlib.Path(__file__).parents[2] / "library"
PRESSES = ("press-table", "press-bench", "press-step", "press-floor")


@pytest.fixture(scope="module")
def demo() -> dict[str, ExerciseLoad]:
    library = read_library(DEMO)
    wanted = [*PRESSES, "press-wall-near", "split-squat"]
    loads = compute_loads([library.exercises[id] for id in wanted], library)
    assert not any(load.withheld for load in loads.values())
    return loads


def moment(load: ExerciseLoad, name: str) -> np.ndarray:
    return np.asarray(load.joints[name].moment_nm)


def test_the_lower_the_hands_the_more_the_elbows_carry(demo: dict[str, ExerciseLoad]) -> None:
    # Ebben et al. 2011: 41 % of body weight on hands on a box of 61 cm, 55 % at 30 cm, 64 % on the
    # floor. Once 44, 47, 46 and 43 N·m: falling, and straight up through the hands.
    loads = [demo[id].demand_nm for id in PRESSES]
    assert loads == sorted(loads)
    assert all(load < 35 for load in loads)


def test_a_press_up_names_the_shoulder_and_the_trunk_beside_the_elbow(
    demo: dict[str, ExerciseLoad],
) -> None:
    exercise = read_library(DEMO).exercises["press-floor"]
    named = {str(one.action) for one in works_hard(demo["press-floor"], exercise)}
    assert {"shoulder flexion", "lumbar flexion"} <= named


def test_hands_on_a_wall_push_harder_little_by_little(demo: dict[str, ExerciseLoad]) -> None:
    # Once 0 N at half the way and 22 N at 60 %, where friction was switched on.
    for name in ("working elbow flexion", "working ankle dorsiflexion"):
        curve = moment(demo["press-wall-near"], name)
        assert np.abs(np.diff(curve)).max() < 0.2 * np.abs(curve).max()


def test_standing_with_the_legs_apart_is_no_work_for_the_adductors() -> None:
    apart = load_of(sides="both", position="standing", works="hip adduction",
                    posture={"hip": {"abduction": 20}})  # fmt: skip
    # Feet grip the floor: about nothing in life. Once 83 N·m each, with forces straight up; the
    # rule tried by an independent program gave 0 to 13.
    assert abs(moment(apart, "working hip abduction")[0]) < 20


def test_a_split_squat_starts_light_and_grows_with_its_depth(demo: dict[str, ExerciseLoad]) -> None:
    hip, knee = (
        moment(demo["split-squat"], f"working {joint} flexion") for joint in ("hip", "knee")
    )
    # Once 65 N·m at the hip at the start, and falling.
    assert abs(hip[0]) < 20
    assert np.all(np.diff(knee) < 0)


def test_a_hand_on_a_counter_does_not_carry_the_pelvis() -> None:
    one_leg: dict[str, Any] = {
        "sides": "one", "position": "single-leg-standing", "works": "hip abduction",
    }  # fmt: skip
    held = [{"at": "foot", "surface": "floor"},
            {"at": "other-hand", "surface": "counter", "height": "0.9 m"}]  # fmt: skip
    free, steadied = load_of(**one_leg), load_of(**one_leg, contacts=held)
    # Once 58 and then 2.7 N·m: nobody leans so hard on a counter.
    assert 0.4 * free.demand_nm < steadied.demand_nm < free.demand_nm


def test_who_kneels_on_one_knee_stands_between_knee_and_foot() -> None:
    kneeling = load_of(sides="one", position="half-kneeling", works="knee extension")
    # Once 77 and 81 N·m at the kneeling side: the instep counted as a base. With firm corners
    # only, an independent program gave 3 and 0.
    for name in ("other hip flexion", "other knee flexion"):
        assert abs(moment(kneeling, name)[0]) < 8


def test_one_band_about_both_knees_pulls_each_with_its_force() -> None:
    lying: dict[str, Any] = {
        "sides": "both", "position": "supine", "works": "hip abduction",
        "posture": {"knee": {"flexion": 0}},
    }  # fmt: skip
    loop = {"band": {"start": "50 N", "end": "50 N"}, "at": "knee", "toward": "other-knee"}
    bare, tied = load_of(**lying), load_of(**lying, resistance=[loop])
    for side in ("working", "other"):
        added = moment(tied, f"{side} hip abduction") - moment(bare, f"{side} hip abduction")
        # By hand: 50 N at 0.245 of 1.70 m from the hip. Once twice as much.
        assert added[0] == pytest.approx(50 * 0.245 * 1.70, rel=0.01)


def test_a_band_that_pulls_the_pelvis_aside_asks_for_an_answer() -> None:
    pulled = load_of(sides="both", position="standing", works="hip abduction",
                     resistance=[{"band": {"start": "40 N", "end": "40 N"}, "at": "pelvis",
                                  "pulls": "outward"}])  # fmt: skip
    # Once averaged over the sides, and nearly gone: 0.9 N·m where 15.1 were right.
    assert pulled.demand_nm > 10


def test_a_palm_that_faces_down_has_its_hand_to_lift() -> None:
    lifted = load_of(sides="one", position="sitting", works="wrist extension",
                     posture={"forearm": {"pronation": 80}, "elbow": {"flexion": 90}},
                     movement=[{"wrist": {"extension": [-30, 30]}}])  # fmt: skip
    # AAOS: zero is the thumb up. Counted from full supination this palm faced up, and nothing acted.
    assert lifted.demand_nm > 0.2
