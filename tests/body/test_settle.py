"""Settling: written angles stay, defaults give way, contacts lie on their surfaces."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from builders.exercises import exercise
from rungbook.body.joints import DOF, MIRROR, MIRROR_SIGN
from rungbook.body.posture import Fit, Posture, Settled
from rungbook.body.segments import segment_table
from rungbook.body.settle import Wanted, settle
from rungbook.load.posture import Setup, set_up

STATURE = 1.70
TENTH_MM = 1e-4
CASES: dict[str, dict[str, Any]] = {
    "squat": {"position": "standing", "movement": [{"knee": {"flexion": [0, 100]}}]},
    "one leg": {"position": "single-leg-standing", "sides": "one",
                "movement": [{"knee": {"flexion": [0, 50]}}]},
    "heel raise": {"position": "standing", "posture": {"knee": {"flexion": 0}},
                   "movement": [{"ankle": {"plantarflexion": [0, 35]}}],
                   "contacts": [{"at": "forefeet", "surface": "floor"}]},
    "all fours": {"position": "quadruped"},
    "opposite arm and leg": {
        "position": "quadruped", "sides": "one",
        "movement": [{"hip": {"flexion": [80, 0]}, "knee": {"flexion": [90, 0]}},
                     {"other-shoulder": {"flexion": [80, 170]}}]},
    "press-up": {"position": "plank", "movement": [{"elbow": {"flexion": [0, 90]}}]},
    "lunge": {"position": "split-stance", "sides": "one", "stride": "0.6 m",
              "movement": [{"knee": {"flexion": [10, 80]}}],
              "contacts": [{"at": "foot", "surface": "floor"},
                           {"at": "other-forefoot", "surface": "floor"}]},
    "bridge": {"position": "hook-lying", "movement": [{"hip": {"flexion": [50, 5]}}],
               "contacts": [{"at": "upper-back", "surface": "floor"},
                            {"at": "feet", "surface": "floor"}]},
}  # fmt: skip


def settled(**written: Any) -> tuple[Setup, Settled]:
    setups, faults = set_up(exercise(works="knee extension", **written), STATURE)
    assert not faults
    return setups[0], alone(setups[0].posture)


def alone(posture: Posture) -> Settled:
    return settle([Wanted(posture, (Fit("female"),))])[0][0]


@pytest.mark.parametrize("name", CASES)
def test_contacts_lie_within_a_tenth_of_a_millimetre(name: str) -> None:
    _, answer = settled(**CASES[name])
    assert answer.distance.max() * STATURE < TENTH_MM


@pytest.mark.parametrize("name", CASES)
def test_the_centre_of_mass_stands_over_the_base(name: str) -> None:
    from rungbook.body.kinematics import forward
    from rungbook.body.statics import centre_of_mass

    setup, answer = settled(**CASES[name])
    base = np.repeat(setup.posture.base[:, :, None], 11, axis=2)
    centre = centre_of_mass(forward(answer.angles, base), segment_table("female"))
    for phase, below in enumerate(answer.bases):
        assert below is not None
        assert below.margin(centre[:2, phase]) * STATURE > 0.0095


def test_the_leading_angle_is_exact_at_every_phase() -> None:
    _, answer = settled(**CASES["squat"])
    knee = np.degrees(answer.angles[DOF["right", "knee", "flexion"]])
    assert knee == pytest.approx(np.linspace(0, 100, 11), abs=1e-9)


def test_other_written_angles_are_exact_at_both_ends() -> None:
    together = {"knee": {"flexion": [0, 80]}, "hip": {"flexion": [0, 75]}}
    _, answer = settled(position="standing", movement=[together])
    hip = np.degrees(answer.angles[DOF["right", "hip", "flexion"]])
    assert hip[[0, -1]] == pytest.approx([0, 75], abs=1e-9)


def test_feet_stay_where_they_were() -> None:
    from rungbook.body.joints import SEGMENT
    from rungbook.body.kinematics import forward

    setup, answer = settled(**CASES["squat"])
    pose = forward(answer.angles, np.repeat(setup.posture.base[:, :, None], 11, axis=2))
    ankle = pose.origin[SEGMENT["foot_right"]]
    assert np.ptp(ankle, axis=1) * STATURE == pytest.approx([0, 0, 0], abs=TENTH_MM)


def test_mirror_image_input_gives_a_mirror_image_answer() -> None:
    right = settled(position="standing", sides="one", stands_on="other",
                    movement=[{"hip": {"abduction": [0, 30]}}])[1].angles  # fmt: skip
    left = settled(position="standing", sides="one", stands_on="working",
                   movement=[{"other-hip": {"abduction": [0, 30]}}])[1].angles  # fmt: skip
    mirrored = right[list(MIRROR)] * np.array(MIRROR_SIGN)[:, None]
    assert left == pytest.approx(mirrored, abs=1e-5)


def test_equal_postures_settle_once_and_alike() -> None:
    setup, one = settled(**CASES["squat"])
    wanted = Wanted(setup.posture, (Fit("female"),))
    twice = settle([wanted, wanted])
    assert twice[0][0] is twice[1][0]
    assert np.array_equal(twice[0][0].angles, one.angles)


def test_a_posture_settles_to_the_same_bytes_in_any_company() -> None:
    postures = [settled(**written)[0].posture for written in CASES.values()]
    expected = [alone(posture).angles.tobytes() for posture in postures]
    order = np.random.default_rng(7).permutation(np.repeat(np.arange(len(postures)), 3))
    found = settle([Wanted(postures[n], (Fit("female"),)) for n in order.tolist()])
    assert [one.angles.tobytes() for (one,) in found] == [expected[n] for n in order]
