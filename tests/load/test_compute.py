"""Properties that the load of any exercise has to keep."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from builders.exercises import exercise
from builders.poses import library_for, load_of
from rungbook.load.compute import compute_loads
from rungbook.load.person import Person
from rungbook.load.result import ExerciseLoad
from rungbook.load.scaling import JOINT_NAMES, WayCoefficients
from rungbook.model.movement import Action

G = 9.81
SQUAT: dict[str, Any] = {
    "position": "standing", "works": "knee extension", "movement": [{"knee": {"flexion": [0, 80]}}],
}  # fmt: skip
LEG_RAISE: dict[str, Any] = {
    "sides": "one", "position": "supine", "works": "hip flexion",
    "posture": {"knee": {"flexion": 20}}, "movement": [{"hip": {"flexion": [0, 50]}}],
}  # fmt: skip
STANDING: tuple[dict[str, Any], ...] = (
    SQUAT,
    {"position": "quadruped", "works": "hip extension", "sides": "one",
     "movement": [{"hip": {"flexion": [80, 20]}}]},
    {"position": "plank", "works": "elbow extension",
     "movement": [{"elbow": {"flexion": [0, 60]}}]},
    {"position": "single-leg-standing", "works": "hip abduction", "sides": "one"},
    {"position": "split-stance", "works": "knee extension", "sides": "one",
     "movement": [{"knee": {"flexion": [10, 60]}}]},
    {"position": "side-plank", "works": "hip abduction", "sides": "one"},
    {"position": "half-kneeling", "works": "knee extension", "sides": "one"},
    {"position": "bent-forward", "works": "hip extension"},
    {"position": "tall-kneeling", "works": "hip extension"},
)  # fmt: skip


@pytest.mark.parametrize("written", STANDING, ids=lambda written: written["position"])
def test_forces_of_the_contacts_sum_to_the_weight(written: dict[str, Any]) -> None:
    load = load_of(**written)
    assert load.withheld is None
    total = np.sum([force.force_n for force in load.reactions], axis=0)
    assert total == pytest.approx([0, 0, 70 * G], abs=1e-6)


def test_forces_of_the_contacts_carry_held_weights_too() -> None:
    load = load_of(**SQUAT, resistance=[{"weight": "5 kg", "at": "hand"}])
    total = np.sum([force.force_n for force in load.reactions], axis=0)
    assert total == pytest.approx([0, 0, 80 * G], abs=1e-6)  # one in each hand


def test_an_exercise_of_both_sides_is_the_same_on_both_to_the_last_digit() -> None:
    for written in (SQUAT, STANDING[2], STANDING[7]):
        load = load_of(**written)
        for name, curve in load.joints.items():
            if name.startswith("working "):
                other = load.joints[name.replace("working ", "other ")]
                assert np.array_equal(curve.moment_nm, other.moment_nm), name
                assert np.array_equal(curve.angle_deg, other.angle_deg), name


def test_the_mirror_image_of_an_exercise_has_the_mirror_image_of_its_load() -> None:
    right = load_of(
        sides="one", position="standing", works="hip abduction", stands_on="other",
        movement=[{"hip": {"abduction": [0, 30]}}],
    )  # fmt: skip
    left = load_of(
        sides="one", position="standing", works="other-hip abduction", stands_on="working",
        movement=[{"other-hip": {"abduction": [0, 30]}}],
    )  # fmt: skip
    assert left.demand_nm == pytest.approx(right.demand_nm, rel=1e-6)
    for name, curve in right.joints.items():
        swap = {"working ": "other ", "other ": "working "}
        mirrored = next((b + name[len(a) :] for a, b in swap.items() if name.startswith(a)), name)
        sign = (
            -1.0
            if name in ("lumbar side-bend", "lumbar rotation", "neck side-bend", "neck rotation")
            else 1.0
        )
        assert left.joints[mirrored].moment_nm == pytest.approx(sign * curve.moment_nm, abs=2e-3), (
            name
        )


def test_pulls_to_the_front_and_back_cancel_in_sum() -> None:
    forward, backward, free = (
        load_of(**LEG_RAISE, resistance=[{"push": "20 N", "at": "ankle", "pulls": way}])
        .joints["working hip flexion"]
        .moment_nm
        if way
        else load_of(**LEG_RAISE).joints["working hip flexion"].moment_nm
        for way in ("forward", "backward", "")
    )
    assert forward + backward == pytest.approx(2 * free, abs=1e-9)


@pytest.mark.parametrize("share", ["25 %", "50 %", "75 %"])
def test_a_share_of_help_takes_away_that_share_of_what_full_help_does(share: str) -> None:
    def hip(help: str | None) -> np.ndarray:
        assist = [{"at": "ankle", "by": "strap", "share": help}] if help else []
        return load_of(**LEG_RAISE, assist=assist).joints["working hip flexion"].moment_nm

    none, full, part = hip(None), hip("100 %"), hip(share)
    # To the nine digits that coefficients have.
    assert none - part == pytest.approx(float(share[:-2]) / 100 * (none - full), abs=2e-7)


def test_a_straight_limb_fully_carried_has_no_demand() -> None:
    written = LEG_RAISE | {"posture": {"knee": {"flexion": 0}}}
    load = load_of(**written, assist=[{"at": "ankle", "by": "strap", "share": "100 %"}])
    hip = load.joints["working hip flexion"].moment_nm
    assert hip == pytest.approx(np.zeros(11), abs=1e-9)


def test_help_too_near_the_joint_carries_nothing_and_says_so() -> None:
    load = load_of(**LEG_RAISE, assist=[{"at": "hip", "by": "strap", "share": "100 %"}])
    assert load.demand_nm == pytest.approx(load_of(**LEG_RAISE).demand_nm)
    assert [fault.check for fault in load.faults] == ["statics-doubtful"]


@settings(max_examples=12, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(
    mass=st.floats(35, 150), stature=st.floats(1.4, 2.1), which=st.integers(0, 2),
    body=st.sampled_from(["female", "male", "winter"]), kilos=st.floats(0, 20),
)  # fmt: skip
def test_coefficients_rescale_exactly(
    mass: float, stature: float, body: str, which: int, kilos: float
) -> None:
    written = (SQUAT, LEG_RAISE, STANDING[2])[which]
    weights = [{"weight": f"{kilos:.3f} kg", "at": "hand"}]
    person = Person(mass, stature, body)
    reference = load_of(**written, resistance=weights)
    for_person = load_of(person=person, **written, resistance=weights)
    way = reference.coefficients["both"]
    assert isinstance(way, WayCoefficients)
    scaled = dict(zip(JOINT_NAMES, way.moments(body, mass, stature), strict=True))
    for name, curve in for_person.joints.items():
        assert curve.moment_nm == pytest.approx(scaled[name], rel=1e-9, abs=1e-8)


def test_the_engine_run_for_a_heavier_person_gives_the_scaled_numbers() -> None:
    # The engine run with that person as the reference, same posture and no weights: M ~ m·H.
    one = load_of(60, 1.60, "female", **LEG_RAISE)
    two = load_of(90, 1.80, "female", **LEG_RAISE)
    assert two.demand_nm / one.demand_nm == pytest.approx(90 * 1.80 / (60 * 1.60), rel=1e-9)


def test_moments_rise_with_held_weight_in_proportion() -> None:
    def hip(kilos: float) -> float:
        return load_of(**LEG_RAISE, resistance=[{"weight": f"{kilos} kg", "at": "ankle"}]).demand_nm

    assert hip(2) - hip(1) == pytest.approx(hip(1) - hip(0), rel=1e-7)


def test_an_exercise_has_the_same_digits_in_any_company() -> None:
    # So a part of a library, or one exercise after an edit, is computed to what all of it is.
    several = [exercise(id=f"e{n}", **written) for n, written in enumerate((*STANDING, LEG_RAISE))]
    library = library_for()
    together = compute_loads(several, library)
    for one in several:
        alone = compute_loads([one], library)[one.id]
        for curve, same in zip(
            together[one.id].joints.values(), alone.joints.values(), strict=True
        ):
            assert np.array_equal(curve.angle_deg, same.angle_deg), one.position
            assert np.array_equal(curve.moment_nm, same.moment_nm), one.position


@pytest.mark.parametrize(
    ("position", "joint", "low"),
    [("standing", "knee", 0), ("split-stance", "knee", 10), ("plank", "elbow", 0)],
)
def test_a_posture_on_the_way_does_not_depend_on_how_far_the_way_goes(
    position: str, joint: str, low: int
) -> None:
    def going(by: int) -> ExerciseLoad:
        sides = "one" if position == "split-stance" else "both"
        arc = [{joint: {"flexion": [low, low + by]}}]
        return load_of(position=position, sides=sides, works=f"{joint} extension", movement=arc)

    near, far = going(20), going(40)
    for name, curve in near.joints.items():
        met = far.joints[name].angle_deg[1:5]
        assert curve.angle_deg[[2, 4, 6, 8]] == pytest.approx(met, abs=1e-4), name


class TestDoseAndContraction:
    def dosed(self, **dose: Any) -> ExerciseLoad:
        return load_of(**LEG_RAISE, dose=dose)

    def test_time_under_tension(self) -> None:
        load = self.dosed(sets=3, reps=12, up="2 s", pause="1 s", down="3 s", sessions="3 per week")
        assert load.time_under_tension_s == 3 * 12 * 6
        assert load.time_under_tension_week_s == 3 * 3 * 12 * 6

    def test_a_hold_alone_is_one_repetition(self) -> None:
        load = load_of(
            **LEG_RAISE | {"movement": [{"hip": {"flexion": [20, 20]}}]},
            dose={"sets": 4, "hold": "30 s", "sessions": "1 per day"},
        )  # fmt: skip
        assert load.time_under_tension_s == 120
        demand = load.demands["hip flexion"]
        assert demand.contraction["held"] == pytest.approx(1.0)
        assert demand.impulse_per_rep_nms == pytest.approx(30 * demand.peak_nm)
        assert load.peak_speed_deg_s == 0

    def test_a_duration_is_filled_at_the_tempo(self) -> None:
        load = self.dosed(sets=2, duration="60 s", up="2 s", down="2 s")
        assert load.time_under_tension_s == pytest.approx(120)

    def test_lifting_is_concentric_and_lowering_eccentric(self) -> None:
        shares = (
            self.dosed(reps=10, up="2 s", pause="1 s", down="3 s")
            .demands["hip flexion"]
            .contraction
        )
        assert shares["concentric"] == pytest.approx(2 / 6)
        assert shares["eccentric"] == pytest.approx(3 / 6)
        assert shares["held"] == pytest.approx(1 / 6)

    def test_a_slower_tempo_has_less_inertia_and_speed(self) -> None:
        slow = self.dosed(reps=10, up="4 s", down="4 s")
        fast = self.dosed(reps=10, up="1 s", down="1 s")
        assert fast.peak_speed_deg_s == pytest.approx(1.875 * 50)
        assert fast.inertial_share == pytest.approx(16 * slow.inertial_share)


class TestSaysWhatToChange:
    def test_a_hand_that_cannot_reach(self) -> None:
        load = load_of(**SQUAT, contacts=[
            {"at": "feet", "surface": "floor"},
            {"at": "hands", "surface": "bar", "height": "3 m", "touch": True},
        ])  # fmt: skip
        off = [fault for fault in load.faults if fault.check == "contact-off-surface"]
        assert off[0].path == ("contacts", 1)
        assert "it fits at a height of" in off[0].message
        assert load.demands == {}
        assert load.withheld == off[0].message

    def test_a_band_without_tension(self) -> None:
        load = load_of(**LEG_RAISE, resistance=[
            {"band": {"start": "0 N", "end": "0 N"}, "at": "ankle", "pulls": "down"}])  # fmt: skip
        assert any("no tension" in fault.message for fault in load.faults)

    def test_a_position_nobody_knows(self) -> None:
        load = load_of(position="hanging", works="elbow flexion")
        assert load.withheld is not None
        assert "choose one of" in load.withheld

    def test_a_push_without_a_direction(self) -> None:
        load = load_of(**LEG_RAISE, resistance=[{"push": "20 N", "at": "ankle"}])
        assert any("say where the push pulls" in fault.message for fault in load.faults)

    def test_effort_without_a_maximum(self) -> None:
        written = {"sides": "one", "position": "sitting", "works": "knee extension",
                   "posture": {"knee": {"flexion": 60}},
                   "resistance": [{"effort": "30 %"}]}  # fmt: skip
        load = load_of(**written)
        assert load.withheld is not None
        assert "maximum" in load.withheld
        known = load_of(capacities={Action("knee", "extension"): 100.0}, **written)
        assert known.withheld is None
        assert known.demand_nm == pytest.approx(
            30 + load_of(**written | {"resistance": []}).demand_nm, abs=1e-9
        )

    def test_a_ballistic_exercise_takes_its_published_figure(self) -> None:
        load = load_of(
            position="standing", works="ankle plantarflexion", ballistic=True,
            movement=[{"ankle": {"plantarflexion": [0, 30]}}],
            measured=[{"works": "ankle plantarflexion", "value": "1.8 Nm/kg", "source": "lab"}],
        )  # fmt: skip
        demand = load.demands["ankle plantarflexion"]
        assert demand.basis == "measured"
        assert demand.peak_nm == pytest.approx(1.8 * 70)
        assert load.withheld == "statics does not apply to a ballistic exercise"


def test_every_joint_axis_has_one_name() -> None:
    assert len(set(JOINT_NAMES)) == len(JOINT_NAMES) == 34
    assert all(
        isinstance(way, WayCoefficients)
        for name, way in load_of(**SQUAT).coefficients.items()
        if name == "both"
    )
