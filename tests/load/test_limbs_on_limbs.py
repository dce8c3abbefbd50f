"""Limbs that rest on limbs: where they lie, and what follows."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from builders.exercises import exercise
from builders.poses import load_of
from rungbook.body.joints import MIRROR, MIRROR_SIGN
from rungbook.body.kinematics import Pose, forward
from rungbook.body.points import BodyPoint, body_point
from rungbook.body.posture import Fit, Settled
from rungbook.body.settle import Wanted, settle
from rungbook.load.posture import Setup, set_up
from rungbook.model.body_point import LIMB_OF_POINT

STATURE = 1.70
CUSHION: dict[str, Any] = {
    "sides": "one", "position": "side-lying", "works": "hip abduction",
    "posture": {"hip": {"flexion": 45}, "knee": {"flexion": 80}},
    "contacts": [{"at": "knee", "surface": "other-knee", "thickness": "0.12 m"}],
}  # fmt: skip
SQUEEZE: dict[str, Any] = {
    "position": "hook-lying", "works": "hip adduction",
    "contacts": [{"at": "knees", "surface": "knees", "thickness": "0.15 m"},
                 {"at": "feet", "surface": "floor"}],
}  # fmt: skip


def settled(**written: Any) -> tuple[Setup, Settled]:
    setup = set_up(exercise(**written), STATURE)[0][0]
    return setup, settle([Wanted(setup.posture, (Fit("female"),))])[0][0]


def apart_m(setup: Setup, answer: Settled, one: BodyPoint, other: BodyPoint) -> float:
    """How far the middles of two parts are apart at the start, m."""
    pose = forward(answer.angles[:, :1], setup.posture.base[:, :, None])

    def place(pose: Pose, point: BodyPoint) -> np.ndarray:
        return pose.point(point.segment, np.array(point.core))[:, 0]

    return float(np.linalg.norm(place(pose, one) - place(pose, other))) * STATURE


def test_the_limb_of_every_point_is_that_of_its_segment() -> None:
    for name, limb in LIMB_OF_POINT.items():
        assert body_point(name, "right").limb == limb


def test_a_cushion_holds_the_knees_apart() -> None:
    setup, answer = settled(**CUSHION)
    knees = body_point("knee", "right"), body_point("knee", "left")
    # 0.032 of stature of bone and flesh about each knee, and the cushion
    assert apart_m(setup, answer, *knees) == pytest.approx(2 * 0.032 * STATURE + 0.12, abs=2e-4)
    assert load_of(**CUSHION).faults == ()


def test_a_thicker_cushion_lifts_the_leg_higher() -> None:
    def abduction(thickness: str) -> float:
        contact = {**CUSHION["contacts"][0], "thickness": thickness}
        load = load_of(**{**CUSHION, "contacts": [contact]})
        return float(load.joints["working hip abduction"].angle_deg[0])

    # by hand: 0.08 m over a thigh of 0.245 of stature is about 11 degrees
    assert abduction("0.20 m") - abduction("0.12 m") == pytest.approx(11, abs=3)


def test_a_cushion_thicker_than_the_gap_is_told_at_its_thickness() -> None:
    posture = {"hip": {"flexion": 45, "abduction": 0, "external-rotation": 0},
               "knee": {"flexion": 80}, "other-hip": {"flexion": 45}}  # fmt: skip
    contact = {**CUSHION["contacts"][0], "thickness": "0.4 m"}
    fault, *_ = load_of(**{**CUSHION, "posture": posture, "contacts": [contact]}).faults
    assert fault.check == "contact-off-surface"
    assert fault.path == ("contacts", 0, "thickness")
    assert "knee does not come to rest on other-knee with 0.40 m between" in fault.message


def test_one_foot_rests_on_the_other() -> None:
    setup, answer = settled(
        sides="one", position="supine", works="hip flexion",
        posture={"knee": {"flexion": 0}}, movement=[{"hip": {"flexion": [5, 5]}}],
        contacts=[{"at": "ankle", "surface": "other-ankle"}],
    )  # fmt: skip
    ankles = body_point("ankle", "right"), body_point("ankle", "left")
    assert apart_m(setup, answer, *ankles) == pytest.approx(2 * 0.028 * STATURE, abs=1e-3)


def test_two_knees_on_a_ball_are_mirror_images_to_the_last_digit() -> None:
    setup, answer = settled(**SQUEEZE)
    mirrored = answer.angles[list(MIRROR)] * np.array(MIRROR_SIGN)[:, None]
    assert np.array_equal(answer.angles, mirrored)
    knees = body_point("knee", "right"), body_point("knee", "left")
    assert apart_m(setup, answer, *knees) == pytest.approx(2 * 0.032 * STATURE + 0.15, abs=2e-4)


def test_a_joint_that_follows_is_not_doubtful() -> None:
    far: dict[str, Any] = {
        "sides": "one", "position": "hook-lying", "works": "hip flexion",
        "posture": {"hip": {"flexion": 60}, "knee": {"flexion": 90}},
        "contacts": [{"at": "ankle", "surface": "other-knee"}],
    }  # fmt: skip
    told = [fault.check for fault in load_of(**far).faults]
    assert told == ["statics-doubtful"]
    assert load_of(**far, follows=["hip external-rotation", "hip abduction"]).faults == ()


@pytest.mark.parametrize(
    ("arms", "shoulder", "elbow"),
    [("crossed", 45, 120), ("held-out", 90, 0), ("by-the-side", 0, 8), ("on-thighs", 25, 65)],
)
def test_arms_are_where_the_word_says(arms: str, shoulder: float, elbow: float) -> None:
    load = load_of(position="standing", works="knee extension", arms=arms,
                   movement=[{"knee": {"flexion": [0, 60]}}])  # fmt: skip
    assert load.joints["working shoulder flexion"].angle_deg[0] == pytest.approx(shoulder)
    assert load.joints["working elbow flexion"].angle_deg[0] == pytest.approx(elbow)


def test_an_angle_that_is_written_wins_over_the_word_for_the_arms() -> None:
    load = load_of(position="standing", works="knee extension", arms="crossed",
                   posture={"elbow": {"flexion": 30}})  # fmt: skip
    assert load.joints["working elbow flexion"].angle_deg[0] == pytest.approx(30)


FOOT_ON_FOOT: dict[str, Any] = {
    "sides": "one", "position": "supine", "works": "hip flexion",
    "posture": {"knee": {"flexion": 0}}, "movement": [{"hip": {"flexion": [5, 5]}}],
}  # fmt: skip


def test_a_leg_on_a_cushion_has_nothing_to_hold() -> None:
    bare = {key: value for key, value in CUSHION.items() if key != "contacts"}
    assert load_of(**bare).demands["hip abduction"].peak_nm > 30
    assert load_of(**CUSHION).demands["hip abduction"].peak_nm == pytest.approx(0, abs=1e-9)


def test_what_a_limb_rests_on_is_pushed_as_hard() -> None:
    forces = {one.at: np.array(one.force_n) for one in load_of(**CUSHION).reactions}
    assert set(forces) == {"knee", "other-knee"}
    assert forces["knee"] == pytest.approx(-forces["other-knee"])
    assert forces["knee"][2] > 0


def test_a_foot_on_a_foot_carries_its_leg_as_a_beam() -> None:
    resting = load_of(
        **FOOT_ON_FOOT, contacts=[{"at": "ankle", "surface": "other-ankle"}]
    )  # fmt: skip
    lifted = load_of(**FOOT_ON_FOOT)
    # the push lies a little off the leg's own plane, and leaves that twist
    left = resting.demands["hip flexion"].peak_nm
    assert left < 0.001 * lifted.demands["hip flexion"].peak_nm
    # By hand: the moment of the lifted leg over hip to ankle, 0.245 and 0.246 of stature, across
    # the line from ankle to ankle, which here is as good as upright.
    force = next(one for one in resting.reactions if one.at == "ankle")
    by_hand = lifted.demands["hip flexion"].peak_nm / (0.491 * STATURE * np.cos(np.radians(5)))
    assert np.linalg.norm(force.force_n) == pytest.approx(by_hand, rel=0.05)
