"""What carries the body and what pulls at it: ways, directions, slopes, grips, rests, help."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from builders.poses import load_of
from rungbook.load.result import ExerciseLoad
from rungbook.model.library import Term

G = 9.81
RAISED: dict[str, Any] = {
    "sides": "one", "position": "single-leg-standing", "works": "ankle plantarflexion",
    "posture": {"knee": {"flexion": 0}}, "movement": [{"ankle": {"plantarflexion": [0, 30]}}],
}  # fmt: skip
FOREFOOT = {"at": "forefoot", "surface": "floor"}
ARM_OUT: dict[str, Any] = {
    "sides": "one", "position": "sitting", "works": "shoulder abduction",
    "posture": {"elbow": {"flexion": 0}}, "movement": [{"shoulder": {"abduction": [90, 90]}}],
}  # fmt: skip


def share(load: ExerciseLoad, at: str) -> float:
    return sum(force.share for force in load.reactions if force.at == at)


def test_an_arm_raised_in_sitting_weighs_what_it_weighs_in_standing() -> None:
    raised: dict[str, Any] = {
        "sides": "one", "works": "shoulder abduction",
        "movement": [{"shoulder": {"abduction": [0, 90]}}],
    }  # fmt: skip
    standing = load_of(**raised, position="standing").demand_nm
    assert load_of(**raised, position="sitting").demand_nm == pytest.approx(standing, rel=0.01)
    assert load_of(**raised, position="tall-kneeling").demand_nm == pytest.approx(
        standing, rel=0.01
    )


def test_the_leg_that_stands_alone_does_not_copy_the_one_in_the_air() -> None:
    raised: dict[str, Any] = {
        "sides": "one", "works": "hip abduction", "movement": [{"hip": {"abduction": [0, 30]}}],
    }  # fmt: skip
    named = load_of(**raised, position="single-leg-standing", stands_on="other")
    free = load_of(**raised, position="standing")
    assert named.faults == ()
    assert abs(named.settled["other hip abduction"]) < 10
    assert named.demand_nm == pytest.approx(free.demand_nm, rel=0.05)


def test_standing_up_is_the_same_whether_called_sitting_or_standing() -> None:
    up: dict[str, Any] = {
        "sides": "both", "works": "knee extension", "movement": [{"knee": {"flexion": [96, 0]}}],
        "contacts": [{"at": "seat", "surface": "chair", "height": "0.5 m", "during": "start"},
                     {"at": "feet", "surface": "floor"}],
    }  # fmt: skip
    standing = load_of(**up, position="standing")
    sitting = load_of(**up, position="sitting")
    assert sitting.faults == standing.faults == ()
    assert sitting.demand_nm == pytest.approx(standing.demand_nm)


def test_sitting_down_is_standing_up_backwards() -> None:
    def chair(movement: list[float], during: str) -> ExerciseLoad:
        return load_of(
            sides="both", position="standing", works="knee extension",
            movement=[{"knee": {"flexion": movement}, "hip": {"flexion": movement}}],
            contacts=[{"at": "seat", "surface": "chair", "height": "0.5 m", "during": during},
                      {"at": "feet", "surface": "floor"}],
        )  # fmt: skip

    up, down = chair([96, 0], "start"), chair([0, 96], "end")
    assert up.faults == down.faults == ()
    curve = down.demands["knee extension"].curve_nm
    assert curve[::-1] == pytest.approx(up.demands["knee extension"].curve_nm, abs=1e-6)


def test_no_muscle_acts_in_a_limb_that_is_fully_carried() -> None:
    carried = load_of(
        sides="one", position="supine", works="hip flexion", posture={"knee": {"flexion": 0}},
        movement=[{"hip": {"flexion": [0, 45]}}],
        assist=[{"at": "ankle", "by": "therapist", "share": "100 %"}],
    )  # fmt: skip
    demand = carried.demands["hip flexion"]
    assert demand.peak_nm == 0.0
    assert set(demand.contraction.values()) == {0.0}


class TestWays:
    def test_up_on_two_legs_and_down_on_one_has_a_curve_each_way(self) -> None:
        # Revak et al. 2017: both legs < both up and one down < one leg.
        other = {"at": "other-forefoot", "surface": "floor", "during": "up"}
        load = load_of(**RAISED, contacts=[FOREFOOT, other])
        demand = load.demands["ankle plantarflexion"]
        assert set(demand.per_way) == {"up", "down"}
        assert demand.per_way["down"].max() == pytest.approx(demand.peak_nm)
        assert demand.per_way["up"].max() == pytest.approx(0.5 * demand.peak_nm, rel=0.1)
        one = load_of(**RAISED, contacts=[FOREFOOT])
        assert demand.impulse_per_rep_nms < one.demands["ankle plantarflexion"].impulse_per_rep_nms

    def test_a_seat_that_is_left_carries_at_the_start_only(self) -> None:
        load = load_of(
            position="standing", works="knee extension", movement=[{"knee": {"flexion": [90, 0]}}],
            contacts=[{"at": "seat", "surface": "chair", "height": "0.45 m", "during": "start"},
                      {"at": "feet", "surface": "floor"}],
        )  # fmt: skip
        curve = load.demands["knee extension"].curve_nm
        assert load.withheld is None
        assert curve[0] < 0.8 * curve[1]
        assert share(load, "seat") == 0  # at the phase of the peak it is left

    def test_dragging_costs_more_on_one_way_than_on_the_other(self) -> None:
        def slid(friction: float) -> ExerciseLoad:
            return load_of(
                sides="one", position="supine", works="hip flexion",
                movement=[{"hip": {"flexion": [0, 45]}}],
                contacts=[{"at": "heel", "surface": "sheet", "slides": True, "friction": friction}],
            )  # fmt: skip

        smooth, rough = slid(0.0), slid(0.3)
        assert rough.withheld is None
        up, down = rough.demands["hip flexion"].per_way.values()
        assert not np.allclose(up, down)
        assert smooth.demands["hip flexion"].per_way == {}
        assert rough.demand_nm > smooth.demand_nm


class TestDirections:
    @pytest.mark.parametrize(
        ("pulls", "sign"), [("down", 1), ("up", -1), ("inward", 0), ("outward", 0)]
    )
    def test_a_pull_acts_in_the_room(self, pulls: str, sign: int) -> None:
        # Straight arm held out level: 20 N up or down at the hand turns it by its whole length;
        # along the arm it does nothing.
        band = {"band": {"start": "20 N", "end": "20 N"}, "at": "hand", "pulls": pulls}
        change = (
            load_of(**ARM_OUT, resistance=[band]).joints["working shoulder abduction"].moment_nm
        )
        change = change - load_of(**ARM_OUT).joints["working shoulder abduction"].moment_nm
        lever = 1.70 * (0.186 + 0.146 + 0.0432)
        assert change == pytest.approx(np.full(11, sign * 20 * lever), abs=1e-6)

    def test_inward_is_toward_the_middle_on_either_side(self) -> None:
        def squeezed(side: str) -> np.ndarray:
            prefix = "" if side == "working" else "other-"
            load = load_of(
                sides="one", position="supine", works=f"{prefix}hip abduction",
                movement=[{f"{prefix}hip": {"abduction": [20, 20]}}],
                resistance=[{"push": "30 N", "at": f"{prefix}ankle", "pulls": "inward"}],
            )  # fmt: skip
            return load.joints[f"{side} hip abduction"].moment_nm

        assert squeezed("working") == pytest.approx(squeezed("other"), abs=1e-9)
        assert squeezed("working")[0] > 10

    def test_a_band_between_two_points_of_the_body_pulls_both(self) -> None:
        band = {
            "band": {"start": "10 N", "end": "40 N"},
            "at": "forefoot",
            "pulls": "toward pelvis",
        }
        load = load_of(
            sides="one", position="long-sitting", works="ankle plantarflexion",
            movement=[{"ankle": {"plantarflexion": [0, 30]}}], resistance=[band],
        )  # fmt: skip
        assert np.all(load.demands["ankle plantarflexion"].curve_nm > 0.5)
        assert load.skeleton is not None
        (pull,) = load.skeleton.applied
        assert pull.kind == "band"
        assert np.linalg.norm(pull.force_n, axis=1) == pytest.approx(np.linspace(10, 40, 11))

    def test_a_counterweight_lifts(self) -> None:
        helped = load_of(**ARM_OUT, assist=[{"at": "hand", "weight": "1 kg", "pulls": "up"}])
        lever = 1.70 * (0.186 + 0.146 + 0.0432)
        assert load_of(**ARM_OUT).demand_nm - helped.demand_nm == pytest.approx(G * lever)
        assert helped.assistance[0].force_n == pytest.approx((0, 0, G))


class TestSurfaces:
    def test_a_written_share_is_what_the_contact_carries(self) -> None:
        hands = {"at": "hands", "surface": "counter", "height": "0.9 m", "share": "20 %"}
        load = load_of(**RAISED, contacts=[FOREFOOT, hands])
        assert share(load, "hand") + share(load, "other-hand") == pytest.approx(0.20)
        assert load.bearing == pytest.approx(0.80)

    def test_a_touch_carries_nothing(self) -> None:
        hands = {"at": "hands", "surface": "counter", "height": "0.9 m", "touch": True}
        load = load_of(**RAISED, contacts=[FOREFOOT, hands])
        assert load.bearing == pytest.approx(1.0)
        assert share(load, "hand") == 0

    def test_shares_of_more_than_the_body_say_so(self) -> None:
        hands = {"at": "hands", "surface": "counter", "height": "0.9 m", "share": "100 %"}
        load = load_of(**RAISED, contacts=[FOREFOOT, hands])
        assert load.withheld is not None
        assert "lower a share" in load.withheld
        assert load.faults[0].path == ("contacts", 1, "share")

    def test_a_grip_may_pull_where_a_hand_may_not(self) -> None:
        def leaning(**hand: Any) -> ExerciseLoad:
            return load_of(
                position="standing", works="elbow flexion",
                posture={"trunk": {"forward-lean": -25}, "hip": {"flexion": 0},
                         "knee": {"flexion": 0}, "lumbar": {"flexion": 0}},
                contacts=[{"at": "feet", "surface": "floor"},
                          {"at": "hands", "surface": "wall", **hand}],
            )  # fmt: skip

        assert any(fault.check == "not-in-balance" for fault in leaning().faults)
        held = leaning(grip=True)
        assert held.withheld is None
        assert sum(f.force_n[0] for f in held.reactions if f.at.endswith("hand")) > 0

    def test_a_slope_turns_gravity_for_who_lies_on_it(self) -> None:
        def raised(slope: float) -> float:
            return load_of(
                sides="one", position="supine", works="hip flexion", incline=slope,
                posture={"knee": {"flexion": 0}, "ankle": {"plantarflexion": 0}},
                movement=[{"hip": {"flexion": [0, 0]}}],
            ).demand_nm  # fmt: skip

        # Head up by 30 degrees: the straight leg's weight acts with the cosine of the slope, and
        # the foot's place in front of the ankle takes a little more off.
        assert raised(30) / raised(0) == pytest.approx(np.cos(np.radians(30)), abs=0.02)

    def test_what_a_limb_rests_on_takes_its_weight(self) -> None:
        free = {
            "sides": "one", "position": "supine", "works": "hip flexion",
            "posture": {"hip": {"flexion": 30}, "knee": {"flexion": 0}},
        }  # fmt: skip
        rested = load_of(**free, contacts=[{"at": "heel", "surface": "stool", "height": "0.5 m"}])
        assert rested.demand_nm < 0.05 * load_of(**free).demand_nm
        assert 0 < share(rested, "heel") < 0.161

    def test_a_seated_heel_raise_carries_the_leg_and_what_lies_on_the_knee(self) -> None:
        def seated(**more: Any) -> ExerciseLoad:
            return load_of(
                position="sitting", works="ankle plantarflexion",
                movement=[{"ankle": {"plantarflexion": [0, 25]}}],
                contacts=[{"at": "seat", "surface": "chair", "height": "0.45 m"},
                          {"at": "forefeet", "surface": "floor"}],
                **more,
            )  # fmt: skip

        load, weighted = seated(), seated(resistance=[{"weight": "16 kg", "at": "knees"}])
        # About half of each leg, by a beam from the hip to the ball of the foot; then half of
        # 16 kg on each knee.
        assert 0.05 < load.bearing < 0.16
        assert weighted.bearing - load.bearing == pytest.approx(8 / 70, rel=0.15)


class TestStability:
    def classed(self, **written: Any) -> int:
        return load_of(works="knee extension", **written).stability

    def test_classes_rise_from_lying_to_one_leg_on_foam(self) -> None:
        foam = {"equipment": {"foam": Term(title="Foam", unstable=True)}}
        assert self.classed(position="supine") == 0
        assert self.classed(position="sitting") == 1
        assert self.classed(position="standing") == 1
        assert self.classed(position="half-kneeling", sides="one") == 2
        assert self.classed(position="single-leg-standing", sides="one") == 3
        on_foam = [{"at": "foot", "surface": "foam"}]
        assert self.classed(
            position="single-leg-standing", sides="one", contacts=on_foam, vocabulary=foam
        ) == 4  # fmt: skip

    def test_a_hand_on_something_fixed_takes_one_off(self) -> None:
        hand = {"at": "hand", "surface": "counter", "height": "0.9 m", "touch": True}
        foot = {"at": "foot", "surface": "floor"}
        loose = {"equipment": {"counter": Term(title="Trolley", fixed=False)}}
        one = {"position": "single-leg-standing", "sides": "one", "contacts": [foot, hand]}
        assert self.classed(**one) == 2
        assert self.classed(**one, vocabulary=loose) == 3


def test_a_spine_that_moves_frees_what_lies_above_it() -> None:
    lying = {"position": "supine", "works": "lumbar flexion"}
    curl = load_of(**lying, movement=[{"lumbar": {"flexion": [0, 30]}}])
    assert curl.demand_nm > 20
    assert "lumbar flexion" in curl.joints
    still = load_of(position="supine", works="hip flexion")
    assert "lumbar flexion" not in still.joints


def test_lengthening_counts_from_the_anatomical_position() -> None:
    stretch = load_of(
        sides="one", position="supine", passive=True, works=["knee flexion", "hip extension"],
        posture={"knee": {"flexion": 10}}, movement=[{"hip": {"flexion": [0, 80]}}],
    )  # fmt: skip
    assert stretch.lengthening_deg == pytest.approx(80 - 10)  # both joints of the hamstrings
    assert stretch.demand_nm == 0
    bent = load_of(
        sides="one", position="sitting", works="hip flexion",
        movement=[{"hip": {"flexion": [90, 110]}}],
    )  # fmt: skip
    assert bent.lengthening_deg == 0
    assert bent.range_deg == 110
    assert bent.arc_deg == (90, 110)


class TestKneeling:
    def test_on_hands_and_knees_the_knees_carry_and_the_insteps_only_lie_there(self) -> None:
        # At the knee there is no more than the weight of shin and foot on their own lever
        # (Winter, from memory: 0.061 of 70 kg, about 0.25 m from the knee: 10 N·m).
        load = load_of(position="quadruped", works="hip extension")
        assert np.abs(load.joints["working knee flexion"].moment_nm).max() < 10
        assert np.abs(load.joints["lumbar flexion"].moment_nm).max() < 10
        assert share(load, "shank") > 1.5 * share(load, "hand")

    def test_insteps_carry_where_balance_needs_them(self) -> None:
        # Kneeling upright and leaning back, the centre of mass is behind the knees.
        load = load_of(
            position="tall-kneeling", works="knee extension",
            movement=[{"knee": {"flexion": [90, 105]}}],
        )  # fmt: skip
        assert load.withheld is None
        assert np.abs(load.joints["working knee flexion"].moment_nm).max() > 20

    def test_a_leg_that_is_slid_out_is_lighter_than_one_that_is_lifted(self) -> None:
        # Callaghan, Gunning and McGill 1998 start from the lifted leg; that sliding comes before
        # lifting is common practice, no source. The other knee keeps the weight, not its instep.
        leg: dict[str, Any] = {
            "sides": "one", "position": "quadruped", "works": "hip extension",
            "movement": [{"hip": {"extension": [-80, -30]}, "knee": {"flexion": [90, 35]}}],
        }  # fmt: skip
        rest = [{"at": "hands", "surface": "mat"}, {"at": "other-shank", "surface": "mat"}]
        toes = {"at": "forefoot", "surface": "floor", "slides": True, "friction": 0.3}
        slid, lifted = load_of(**leg, contacts=[*rest, toes]), load_of(**leg, contacts=rest)
        assert slid.demand_nm < 0.8 * lifted.demand_nm
        assert share(slid, "forefoot") < 0.1
        shin = 0.246 * 1.70 * share(slid, "other-shank") * 70 * G
        assert np.abs(slid.joints["other knee flexion"].moment_nm).max() < 0.2 * shin
