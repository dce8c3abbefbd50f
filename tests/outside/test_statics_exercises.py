"""Loads of whole exercises against published figures and sums done by hand."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest

from builders.poses import load_of
from rungbook.body.joints import SEGMENT
from rungbook.body.segments import segment_table
from rungbook.load.result import ExerciseLoad

G = 9.81


def on_hands(load: ExerciseLoad) -> float:
    return sum(force.share for force in load.reactions if force.at in ("hand", "other-hand"))


def leg_raise(body: str, **front_matter: Any) -> float:
    """Peak at the hip of a leg held level, 70 kg and 1.75 m."""
    load = load_of(
        70, 1.75, body, sides="one", position="supine", works="hip flexion",
        movement=[{"hip": {"flexion": [0, 60]}}], **front_matter,
    )  # fmt: skip
    return load.demand_nm


class TestFreeLimbs:
    # Sums with the tables' own fractions, 70 kg, 1.75 m, g = 9.81.
    def test_a_straight_leg_held_level(self) -> None:
        # 43.6 N·m (de Leva) and 42.5 N·m (Winter), 0.623 and 0.607 N·m/kg; the foot's place in
        # front of the ankle adds or takes up to 3 %.
        assert leg_raise("male") == pytest.approx(43.6, rel=0.03)
        assert leg_raise("winter") == pytest.approx(42.5, rel=0.03)

    def test_the_same_lying_on_the_side(self) -> None:
        load = load_of(
            70, 1.75, "male", sides="one", position="side-lying", works="hip abduction",
            movement=[{"hip": {"abduction": [0, 30]}}],
        )  # fmt: skip
        assert load.demand_nm == pytest.approx(43.6, rel=0.01)

    def test_a_bent_knee_takes_the_hip_down_to_77_percent(self) -> None:
        def raised(knee: float) -> float:
            load = load_of(
                70, 1.75, "male", sides="one", position="sitting", works="hip flexion",
                posture={"knee": {"flexion": knee}}, movement=[{"hip": {"flexion": [90, 90]}}],
            )  # fmt: skip
            return load.demand_nm

        assert raised(90) == pytest.approx(33.5, rel=0.03)
        assert raised(90) / raised(0) == pytest.approx(0.77, abs=0.015)  # 0.78 with the foot

    def test_an_arm_held_out_and_what_a_hand_weight_adds(self) -> None:
        # Sum of m·g·d by hand from de Leva's male fractions and Drillis and Contini's lengths.
        by_hand = 70 * G * 1.75 * (
            0.0271 * 0.5772 * 0.186
            + 0.0162 * (0.186 + 0.4574 * 0.146)
            + 0.0061 * (0.186 + 0.146 + 0.3624 * 0.108)
        )  # fmt: skip

        def held(**more: Any) -> float:
            return load_of(
                70, 1.75, "male", sides="one", position="sitting", works="shoulder abduction",
                posture={"elbow": {"flexion": 0}}, movement=[{"shoulder": {"abduction": [0, 90]}}],
                **more,
            ).demand_nm  # fmt: skip

        assert held() == pytest.approx(by_hand, rel=1e-6)
        two_kilos = held(resistance=[{"weight": "2 kg", "at": "hand"}])
        assert two_kilos - held() == pytest.approx(
            2 * G * 1.75 * (0.186 + 0.146 + 0.0432), rel=1e-9
        )
        assert two_kilos > 2 * held()

    def test_a_shin_held_level_in_sitting(self) -> None:
        # 9.8 N·m (de Leva) to 10.9 N·m (Winter).
        for body, expected in (("male", 9.8), ("winter", 10.9)):
            load = load_of(
                70, 1.75, body, sides="one", position="sitting", works="knee extension",
                movement=[{"knee": {"flexion": [90, 0]}}],
            )  # fmt: skip
            assert load.demand_nm == pytest.approx(expected, rel=0.03)


class TestPressUps:
    # Ebben et al. 2011, J Strength Cond Res: share of body weight on the hands (numbers seen
    # second-hand, order in the abstract). Arms square to the trunk: with upright arms a static
    # model gives the same share at every height.
    published = (
        ("hands on 61 cm", 0.41), ("on the knees", 0.49), ("hands on 30 cm", 0.55),
        ("on the floor", 0.64), ("feet on 30 cm", 0.70), ("feet on 61 cm", 0.74),
    )  # fmt: skip

    def share(self, name: str) -> float:
        box = {"61 cm": "0.6096 m", "30 cm": "0.3048 m"}.get(name[-5:])
        hands = {"at": "hands", "surface": "box" if name.startswith("hands") else "floor"}
        feet = {"at": "forefeet", "surface": "box" if name.startswith("feet") else "floor"}
        for contact in (hands, feet):
            if contact["surface"] == "box" and box is not None:
                contact["height"] = box
        posture: dict[str, Any] = {"shoulder": {"flexion": 90}}
        if name == "on the knees":  # hands a little nearer, as they are put there
            posture = {"shoulder": {"flexion": 70}, "knee": {"flexion": 90}}
            feet = {"at": "knees", "surface": "floor"}
        load = load_of(
            70, 1.75, "male", position="plank", works="elbow extension", posture=posture,
            contacts=[hands, feet],
        )  # fmt: skip
        assert load.withheld is None
        return on_hands(load)

    def test_shares_stand_in_the_published_order_and_near_the_published_values(self) -> None:
        shares = [self.share(name) for name, _ in self.published]
        assert shares == sorted(shares)
        assert len(set(shares)) == len(shares)
        for computed, (_, measured) in zip(shares, self.published, strict=True):
            assert computed == pytest.approx(measured, abs=0.08)


@pytest.mark.parametrize("slope", [10, 20, 30, 45])
def test_a_sled_on_a_slope_presses_the_feet_with_the_sine_of_the_slope(slope: float) -> None:
    # Physics: without friction the share of body weight along the slope is its sine.
    load = load_of(
        position="supine", incline=slope, works="knee extension",
        posture={"hip": {"flexion": 60}, "knee": {"flexion": 60}},
        contacts=[
            {"at": "upper-back", "surface": "sled", "slides": True, "friction": 0.0},
            {"at": "pelvis", "surface": "sled", "slides": True, "friction": 0.0},
            {"at": "feet", "surface": "wall"},
        ],
    )  # fmt: skip
    # The wall stands square to the slope; across it the feet may stick as they like.
    along = np.array([-math.cos(math.radians(slope)), 0.0, math.sin(math.radians(slope))])
    feet = sum(along @ force.force_n for force in load.reactions if force.at.endswith("foot"))
    assert feet / (70 * 9.81) == pytest.approx(math.sin(math.radians(slope)), abs=1e-6)


def test_hip_abductors_in_one_leg_standing_by_hand() -> None:
    # From the floor up: the floor pushes with body weight under the centre of mass; the weight of
    # the standing leg hangs from the hip. Lever arms are read off the posture.
    load = load_of(70, 1.70, "female", sides="one", position="single-leg-standing",
                   works="hip abduction")  # fmt: skip
    assert load.skeleton is not None
    points = {name: place[0] for name, place in load.skeleton.points_m.items()}
    table = segment_table("female")
    weight_moment = 0.0
    for part, start, end in (("thigh", "hip", "knee"), ("shank", "knee", "ankle")):
        segment = SEGMENT[f"{part}_right"]
        along = -table.centre[segment, 2] / {"thigh": 0.245, "shank": 0.246}[part]
        one, two = points[f"working {start}"], points[f"working {end}"]
        centre = one + along * (two - one)
        weight_moment += 70 * G * table.mass[segment] * (centre[1] - points["working hip"][1])
    foot = SEGMENT["foot_right"]
    weight_moment += (
        70 * G * table.mass[foot] * (points["working ankle"][1] - points["working hip"][1])
    )
    floor_moment = 70 * G * (load.centre_of_mass_m[1] - points["working hip"][1])
    assert load.demand_nm == pytest.approx(floor_moment - weight_moment, rel=0.01)
    assert load.bearing == pytest.approx(1.0, abs=1e-9)
    # Common practice, no source: somewhat below 1 N·m per kg of body mass.
    assert 0.5 < load.demand_nm / 70 < 1.2


class TestHeelRaise:
    def raise_(self, legs: str, **more: Any) -> ExerciseLoad:
        one = legs == "one"
        return load_of(
            70, 1.70, "female", sides="one" if one else "both",
            position="single-leg-standing" if one else "standing", works="ankle plantarflexion",
            posture={"knee": {"flexion": 0}}, movement=[{"ankle": {"plantarflexion": [0, 30]}}],
            contacts=[{"at": "forefoot" if one else "forefeet", "surface": "floor"}], **more,
        )  # fmt: skip

    def test_the_moment_falls_as_the_heel_rises(self) -> None:
        curve = self.raise_("one").demands["ankle plantarflexion"].curve_nm
        assert np.all(np.diff(curve) < 0)

    def test_one_leg_takes_about_twice_as_much_as_each_of_two(self) -> None:
        ratio = self.raise_("one").demand_nm / self.raise_("both").demand_nm
        assert ratio == pytest.approx(2.0, abs=0.1)

    def test_one_leg_takes_about_1_2_newton_metres_per_kg(self) -> None:
        # 12 cm from the ankle to the ball: 82.4 N·m at 70 kg, 1.18 N·m/kg, the shape of the
        # textbook's man on his toes.
        load = self.raise_("one")
        assert load.demand_nm / 70 == pytest.approx(1.18, rel=0.12)

    def test_published_order_of_heel_raises(self) -> None:
        # Revak et al. 2017, J Athl Train: seated < both legs < one leg.
        seated = load_of(
            70, 1.70, "female", position="sitting", works="ankle plantarflexion",
            movement=[{"ankle": {"plantarflexion": [0, 25]}}],
            contacts=[{"at": "seat", "surface": "chair", "height": "0.45 m"},
                      {"at": "forefeet", "surface": "floor"}],
        )  # fmt: skip
        demands = [seated.demand_nm, self.raise_("both").demand_nm, self.raise_("one").demand_nm]
        assert demands == sorted(demands)


def test_a_squat_balanced_over_the_middle_of_the_feet_loads_knee_and_hip() -> None:
    # The order of size of a trial of the same rule: 68 N·m at the knee at 70 kg, 90 degrees.
    load = load_of(70, 1.75, "male", position="standing", works="knee extension",
                   movement=[{"knee": {"flexion": [0, 90]}}])  # fmt: skip
    assert load.demand_nm == pytest.approx(68, rel=0.25)
    assert load.joints["working hip flexion"].moment_nm[-1] < 0
    assert load.base_margin_m is not None
    assert load.base_margin_m > 0.05


def test_a_wall_carries_part_of_a_leaning_body() -> None:
    # Reaction of the wall over body weight = (r/L)/tan θ for a straight body at θ to the floor
    # (r: ankle to centre of mass, L: ankle to shoulder), from equilibrium about the ankles.
    load = load_of(
        70, 1.75, "male", position="standing", works="elbow extension",
        posture={"trunk": {"forward-lean": 20}, "hip": {"flexion": 0}, "knee": {"flexion": 0},
                 "lumbar": {"flexion": 0}, "shoulder": {"flexion": 90}, "elbow": {"flexion": 0}},
        contacts=[{"at": "feet", "surface": "floor"}, {"at": "hands", "surface": "wall"}],
    )  # fmt: skip
    assert load.withheld is None
    wall = [np.array(f.force_n) for f in load.reactions if f.at.endswith("hand")]
    floor = [np.array(f.force_n) for f in load.reactions if f.at.endswith("foot")]
    assert sum(f[0] for f in wall) < 0
    assert np.sum([*wall, *floor], axis=0) == pytest.approx([0, 0, 70 * G], abs=1e-6)
    assert 0.05 < on_hands(load) < 0.35
