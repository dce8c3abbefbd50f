"""Furniture stands where it stands: heights win over angles, and a seat is left where it is."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from builders.exercises import exercise
from builders.poses import library_for, load_of
from rungbook.body.joints import DOF
from rungbook.body.kinematics import forward
from rungbook.body.posture import Fit, Settled
from rungbook.body.segments import segment_table
from rungbook.body.settle import Wanted, settle
from rungbook.body.statics import centre_of_mass
from rungbook.load.compute import traced
from rungbook.load.person import Person
from rungbook.load.posture import set_up
from rungbook.load.result import Fault
from rungbook.load.scaling import JOINT_NAMES, WayCoefficients

STATURE = 1.70
PITCH, HEIGHT = DOF["mid", "root", "pitch"], DOF["mid", "root", "z"]
KNEE, HIP = DOF["right", "knee", "flexion"], DOF["right", "hip", "flexion"]


def stand_up(height_m: float, knee: float, hip: float) -> dict[str, Any]:
    return {
        "position": "standing", "works": "knee extension",
        "movement": [{"knee": {"flexion": [knee, 0]}, "hip": {"flexion": [hip, 0]}}],
        "contacts": [{"at": "feet", "surface": "floor"},
                     {"at": "seat", "surface": "chair", "height": f"{height_m} m",
                      "during": "start"}],
    }  # fmt: skip


def settled(**written: Any) -> Settled:
    setup = set_up(exercise(**written), STATURE)[0][0]
    return settle([Wanted(setup.posture, (Fit("female"),))])[0][0]


def contradictions(height_m: float, knee: float, hip: float) -> list[Fault]:
    faults = load_of(**stand_up(height_m, knee, hip)).faults
    return [fault for fault in faults if fault.check == "height-contradicts"]


@pytest.mark.parametrize("height_m", [0.10, 0.30])
def test_a_low_seat_contradicts_a_level_thigh_and_wins(height_m: float) -> None:
    (fault,) = contradictions(height_m, 90, 90)
    # By hand, with an upright trunk and the knees at 90: the thigh falls to the seat by the angle
    # by which the shank leans back. Ankle 0.039, shank 0.246, thigh 0.245, seat 0.05 of stature.
    falls = np.radians(np.linspace(0, 60, 6001))
    heights = (0.039 + 0.246 * np.cos(falls) - 0.245 * np.sin(falls) - 0.05) * STATURE
    falls_deg = np.degrees(np.interp(-height_m, -heights, falls))
    assert fault.details["joint"] == "working hip flexion"
    assert float(str(fault.details["settled_deg"])) == pytest.approx(90 + falls_deg, abs=1)
    assert fault.path == ("contacts", 1, "height")
    assert f"{height_m:.2f} m" in fault.message


def test_a_seat_that_the_angles_reach_contradicts_nothing() -> None:
    assert contradictions(0.48, 97, 90) == []


def test_a_wall_too_far_for_the_written_arm_contradicts_it() -> None:
    faults = load_of(
        position="standing", works="elbow extension",
        posture={"shoulder": {"flexion": 90}, "trunk": {"forward-lean": 0},
                 "ankle": {"dorsiflexion": 0}, "lumbar": {"flexion": 0}},
        movement=[{"elbow": {"flexion": [60, 60]}}],
        contacts=[{"at": "feet", "surface": "floor"},
                  {"at": "hands", "surface": "wall", "distance": "0.50 m"}],
    ).faults  # fmt: skip
    assert [fault.path for fault in faults if fault.check == "height-contradicts"] == [
        ("contacts", 1, "distance")
    ]


class TestLeavingASeat:
    answer = settled(**stand_up(0.48, 97, 90))
    angles, base = answer.left[0]

    def test_it_is_left_at_its_own_height(self) -> None:
        assert self.angles[HEIGHT] == pytest.approx(self.answer.angles[HEIGHT, 0], abs=0.01)
        assert np.degrees(self.angles[KNEE]) == pytest.approx(97, abs=0.1)

    def test_the_trunk_leans_until_the_feet_alone_carry(self) -> None:
        # people lean by 30 to 45 degrees as they leave a chair; from memory
        assert 25 < np.degrees(self.angles[PITCH]) < 50
        pose = forward(self.angles[:, None], np.eye(3)[:, :, None])
        centre = centre_of_mass(pose, segment_table("female"))[:2, 0]
        assert self.base is not None
        assert self.base.margin(centre) * STATURE > 0.0095

    def test_the_movement_goes_on_from_there(self) -> None:
        pitch = np.degrees(self.answer.angles[PITCH])
        assert abs(pitch[1] - np.degrees(self.angles[PITCH])) < 15
        assert (np.diff(pitch[1:]) < 0).all()

    def test_sitting_down_reaches_it_as_standing_up_leaves_it(self) -> None:
        down = stand_up(0.48, 97, 90)
        down["movement"] = [{"knee": {"flexion": [0, 97]}, "hip": {"flexion": [0, 90]}}]
        down["contacts"][1]["during"] = "end"
        reached, _ = settled(**down).left[10]
        assert reached == pytest.approx(self.angles, abs=1e-9)


def test_a_seat_that_is_left_only_by_throwing_the_trunk_forward_is_told() -> None:
    faults = load_of(**stand_up(0.48, 90, 90)).faults
    told = [fault for fault in faults if fault.check == "statics-doubtful"]
    assert any("draw the feet back" in fault.message for fault in told)


PRESS: dict[str, Any] = {
    "position": "standing", "works": "elbow extension",
    "posture": {"knee": {"flexion": 0}, "hip": {"flexion": 0}},
    "movement": [{"elbow": {"flexion": [0, 80]}}],
    "contacts": [{"at": "feet", "surface": "floor"},
                 {"at": "hands", "surface": "wall", "distance": "0.60 m"}],
}  # fmt: skip


def peak_of(stature: float, person: Person | None = None, **written: Any) -> float:
    load = load_of(stature=stature, person=person, **written)
    assert load.withheld is None
    return next(iter(load.demands.values())).peak_nm


class TestForPeopleOfOtherStatures:
    """The same chair and the same wall for everybody."""

    @pytest.mark.parametrize("stature", [1.55, 1.85])
    def test_a_wall_stands_as_far_away_as_if_the_library_were_written_for_them(
        self, stature: float
    ) -> None:
        # At this stature a wall of 0.60 m is settled for whoever the reference person is; what is
        # left are the angles that a posture settles to from another one.
        other = peak_of(1.70, Person(70, stature, "female"), **PRESS)
        assert other == pytest.approx(peak_of(stature, **PRESS), rel=0.02)
        scaled = peak_of(1.70, **PRESS) * stature / 1.70
        assert abs(other - scaled) > 0.1 * scaled

    def test_between_two_statures_loads_lie_between_theirs(self) -> None:
        low, middle, high = (
            peak_of(1.70, Person(70, stature, "female"), **PRESS) for stature in (1.70, 1.74, 1.85)
        )
        assert min(low, high) <= middle <= max(low, high)

    def test_without_furniture_everything_scales(self) -> None:
        raised: dict[str, Any] = {"position": "supine", "works": "hip flexion",
                                  "movement": [{"hip": {"flexion": [0, 45]}}]}  # fmt: skip
        taller = peak_of(1.70, Person(70, 1.87, "female"), **raised)
        assert taller == pytest.approx(peak_of(1.70, **raised) * 1.87 / 1.70, rel=1e-9)

    def test_a_chair_bends_no_arm(self) -> None:
        """A seat's height counts only where it changes what the muscles do."""
        arm = {"position": "sitting", "works": "shoulder flexion",
               "movement": [{"shoulder": {"flexion": [0, 90]}}],
               "contacts": [{"at": "seat", "surface": "chair", "height": "0.45 m"}]}  # fmt: skip
        load = load_of(**arm)
        coefficients = load.coefficients["both"]
        assert isinstance(coefficients, WayCoefficients)
        assert coefficients.statures == ()

    def test_nobody_outside_the_statures_it_is_settled_for_gets_a_number(self) -> None:
        load = load_of(person=Person(70, 1.20, "female"), **PRESS)
        assert load.withheld == "its furniture is computed for 1.40 to 2.05 m"
        assert load.demands == {}

    def test_furniture_out_of_reach_says_for_whom(self) -> None:
        """Feet that stay flat while the hands hold a bar over the head: too high for the short."""
        hang: dict[str, Any] = {
            "position": "standing", "works": "knee extension",
            "posture": {"shoulder": {"flexion": 150}},
            "movement": [{"knee": {"flexion": [0, 10]}}],
            "contacts": [{"at": "feet", "surface": "floor"},
                         {"at": "hands", "surface": "bar", "height": "1.90 m", "grip": True}],
        }  # fmt: skip
        assert load_of(person=Person(70, 1.85, "female"), **hang).withheld is None
        short = load_of(person=Person(70, 1.42, "female"), **hang)
        assert short.withheld == "does not fit a person of 1.42 m"
        assert (short.demands, short.faults) == ({}, load_of(**hang).faults)

    def test_a_trace_is_of_the_posture_at_that_very_stature(self) -> None:
        one = exercise(**PRESS)
        person = Person(70, 1.62, "female")
        (way,) = traced([one], library_for(), person)[one.id]
        row = JOINT_NAMES.index("working elbow flexion")
        exact = float(np.abs(way.body["female"][row] * 70 * person.stature_m).max())
        assert peak_of(1.70, person, **PRESS) == pytest.approx(exact, rel=0.02)

    @pytest.mark.parametrize("stature", [1.45, 1.95])
    def test_a_counter_that_only_steadies_does_not_pull_anybody_over(self, stature: float) -> None:
        """A fingertip or a small share of the weight: people choose what they hold by their size,
        and the calf's load grows as the foot does."""
        for hands in ({"touch": True}, {"share": "5 %"}):
            raised: dict[str, Any] = {
                "position": "single-leg-standing", "works": "ankle plantarflexion",
                "posture": {"knee": {"flexion": 0}},
                "movement": [{"ankle": {"plantarflexion": [0, 30]}}],
                "contacts": [{"at": "forefoot", "surface": "floor"},
                             {"at": "hands", "surface": "counter", "height": "0.9 m", **hands}],
            }  # fmt: skip
            usual, other = (
                peak_of(1.70, Person(70, s, "female"), **raised) for s in (1.70, stature)
            )
            assert other / usual == pytest.approx(stature / 1.70, rel=0.05)
