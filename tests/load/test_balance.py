"""Where a body stands: what it carries counts, and only what can be leaned on is a base."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from builders.poses import load_of
from rungbook.load.result import ExerciseLoad

SQUAT: dict[str, Any] = {
    "position": "standing", "works": "knee extension", "posture": {"shoulder": {"flexion": 90}},
    "movement": [{"knee": {"flexion": [0, 100]}}],
}  # fmt: skip


def squat(*weights: dict[str, Any], **others: Any) -> ExerciseLoad:
    return load_of(**SQUAT, resistance=list(weights), **others)


def test_who_holds_a_heavy_weight_in_front_leans_back_from_it() -> None:
    # 81 and 108 N·m were computed from the same posture by an independent program.
    light = squat({"weight": "8 kg", "at": "hands"})
    heavy = squat({"weight": "32 kg", "at": "hands"})
    assert light.demand_nm == pytest.approx(81, rel=0.02)
    assert heavy.demand_nm == pytest.approx(108, rel=0.02)
    assert heavy.settled["trunk forward-lean"] < light.settled["trunk forward-lean"] - 5


def test_the_pressure_of_body_and_weight_lies_in_the_middle_of_the_feet() -> None:
    bare, laden = squat(), squat({"weight": "32 kg", "at": "hands"})
    assert laden.base_margin_m == pytest.approx(bare.base_margin_m, abs=5e-4)


def test_a_weight_that_is_put_down_at_the_start_moves_that_posture_alone() -> None:
    lifted = squat({"weight": "32 kg", "at": "hands", "during": "start"})
    hip = [one.joints["working hip flexion"].angle_deg for one in (squat(), lifted)]
    assert abs(hip[1][0] - hip[0][0]) > 1
    assert hip[1][-1] == pytest.approx(hip[0][-1], abs=0.01)


def test_a_weight_in_one_hand_is_no_mirror_image() -> None:
    one = squat({"weight": "16 kg", "at": "other-hand"})
    right, left = (
        sum(force.share for force in one.reactions if force.at == at)
        for at in ("foot", "other-foot")
    )
    assert left > right


def test_a_lift_at_the_trunk_counts_against_its_weight() -> None:
    held = load_of(**SQUAT, assist=[{"at": "upper-back", "by": "therapist", "force": "200 N",
                                     "pulls": "up"}])  # fmt: skip
    assert held.base_margin_m == pytest.approx(squat().base_margin_m, abs=5e-4)


def test_an_instep_that_merely_lies_there_is_no_base() -> None:
    # By the same independent program: about 3 N·m at the kneeling hip, none at its knee, 16 at
    # the front hip, once the body stands over its front foot and its knee.
    kneeling = load_of(
        sides="one", position="half-kneeling", front="other", works="shoulder flexion",
        movement=[{"shoulder": {"flexion": [0, 140]}}],
        resistance=[{"weight": "0.5 kg", "at": "hand"}],
    )  # fmt: skip
    assert kneeling.faults == ()

    def most(joint: str) -> float:
        return float(np.abs(kneeling.joints[joint].moment_nm).max())

    assert most("working hip flexion") < 10
    assert most("working knee flexion") < 10
    assert most("other hip flexion") < 25


def test_on_both_knees_the_insteps_are_part_of_the_base() -> None:
    kneeling = load_of(position="tall-kneeling", works="shoulder flexion",
                       movement=[{"shoulder": {"flexion": [0, 90]}}])  # fmt: skip
    assert kneeling.faults == ()
    assert kneeling.base_margin_m is not None and kneeling.base_margin_m > 0.005
