"""Sizes of steps, worked out by hand from the formulas."""

import math

import pytest

from builders.loads import exercise, load
from builders.loads import step_of as stepping
from rungbook.ladder.limits import limits_for
from rungbook.ladder.profile import profile
from rungbook.ladder.ruler import Ruler
from rungbook.ladder.steps import missing_rungs, step_between
from rungbook.model.ladder import Ladder
from rungbook.model.library import Settings
from rungbook.model.quantity import parse_action

ARM = {"shoulder flexion": 40.0}  # the standard exercise's load, N·m


def test_above_half_the_standard_a_step_is_half_as_much_again():
    one = stepping(load("a", 20.0), load("b", 30.0), ARM)
    assert one.axes["demand"].size == pytest.approx(1.0) and one.missing == 0
    two = stepping(load("a", 20.0), load("b", 45.0), ARM)
    assert two.size == pytest.approx(2.0) and two.missing == 1 and two.worst == "demand"


def test_below_half_the_standard_a_step_is_a_quarter_of_it():
    found = stepping(load("a", 2.0), load("b", 12.0), ARM)
    assert found.axes["demand"].size == pytest.approx(1.0)


def test_from_nothing_to_the_standard_exercise_is_3_7_steps_and_three_rungs_are_missing():
    found = stepping(load("a", 0.0), load("b", 40.0), ARM)
    assert found.axes["demand"].size == pytest.approx(2 + math.log(2) / math.log(1.5), abs=1e-9)
    assert found.size == pytest.approx(3.7095, abs=1e-4) and found.missing == 3


def test_a_harder_goal_changes_no_step_of_load():
    steps = [stepping(load("a", 3.0), load("b", 14.0), ARM, goal=load("g", nm)) for nm in (40, 400)]
    assert steps[0].axes["demand"] == steps[1].axes["demand"]


def test_off_ladders_the_harder_end_is_the_standard():
    found = stepping(load("a", 10.0), load("b", 30.0)).axes["demand"]
    assert found.size == pytest.approx(2 + math.log(2) / math.log(1.5) - 10 / 7.5, abs=1e-9)


def test_what_rungs_below_have_prepared_is_no_step():
    found = stepping(load("a", 0.0), load("b", 30.0), ARM, prepared={"shoulder flexion": 20.0})
    demand = found.axes["demand"]
    assert (demand.from_value, demand.prepared, demand.to_value) == (0.0, 20.0, 30.0)
    assert demand.size == pytest.approx(1.0)


def test_of_several_actions_the_one_with_the_largest_step_counts_not_the_greatest_load():
    both = {"works": ["hip flexion", "hip extension"], "movement": ()}
    a = load("a", {"hip flexion": 0.0, "hip extension": 40.0})
    b = load("b", {"hip flexion": 30.0, "hip extension": 20.0})
    found = stepping(a, b, {"hip flexion": 30.0, "hip extension": 40.0}, **both).axes["demand"]
    assert found.works == "hip flexion" and (found.from_value, found.to_value) == (0.0, 30.0)
    assert found.size == pytest.approx(3.7095, abs=1e-4)


def test_an_action_without_a_usable_standard_is_left_out():
    assert "demand" not in stepping(load("a", 0.0), load("b", 40.0), {}).axes


def test_a_tenth_of_where_a_step_starts_from_is_still_nothing():
    assert stepping(load("a", 0.0), load("b", 2.0), ARM).risen == ()  # a tenth of half the standard
    assert stepping(load("a", 0.0), load("b", 2.1), ARM).risen == ("load",)
    assert stepping(load("a", 30.0), load("b", 33.0), ARM).risen == ()
    assert stepping(load("a", 30.0), load("b", 33.1), ARM).risen == ("load",)


@pytest.mark.parametrize(
    ("field", "a", "b", "axis", "size"),
    [
        ("bearing", 0.2, 0.5, "bearing", 1.0),
        ("stability", 1, 3, "stability", 2.0),
        ("impact", "none", "one foot", "impact", 2.0),
        ("range_deg", 60.0, 105.0, "range", 1.5),
        ("lengthening_deg", 0.0, 30.0, "lengthening", 1.5),
        ("peak_speed_deg_s", 45.0, 180.0, "speed", 1.0),
        ("time_under_tension_week_s", 200.0, 450.0, "volume", 2.0),
    ],
)
def test_every_axis_by_its_own_limit(field, a, b, axis, size):
    found = stepping(load("a", **{field: a}), load("b", **{field: b}))
    assert found.axes[axis].size == pytest.approx(size, abs=1e-9)
    assert found.worst == axis and found.size == found.axes[axis].size


def test_the_ankle_and_the_arm_have_half_the_limits():
    ankle = {
        "works": "ankle plantarflexion",
        "movement": ({"ankle": {"plantarflexion": (0.0, 30.0)}},),
    }
    a, b = (
        load(i, works="ankle plantarflexion", range_deg=r) for i, r in (("a", 0.0), ("b", 30.0))
    )
    assert stepping(a, b, **ankle).axes["range"].size == 2.0
    a, b = (load(i, bearing=v, bearing_limb="arm") for i, v in (("a", 0.1), ("b", 0.4)))
    assert stepping(a, b).axes["bearing"].size == 2.0


def test_lengthening_is_not_counted_twice_where_it_is_the_range():
    stretch = {"works": "shoulder extension"}  # raising the arm lengthens its extensors
    a, b = (
        load(i, works="shoulder extension", lengthening_deg=v, range_deg=v)
        for i, v in (("a", 60.0), ("b", 90.0))
    )
    assert "lengthening" not in stepping(a, b, **stretch).axes


def test_falling_axes_have_no_size():
    assert stepping(load("a", 20.0, stability=3), load("b", 10.0)).size == 0.0


def test_an_unknown_demand_is_left_out_not_taken_for_nothing():
    assert "demand" not in stepping(load("a", None), load("b", 10.0)).axes


def test_groups_that_rise_are_counted_and_do_not_set_the_size():
    a = load("a", 10.0, range_deg=60.0, time_under_tension_week_s=300.0)
    b = load("b", 12.0, range_deg=75.0, time_under_tension_week_s=400.0)
    found = stepping(a, b)
    assert found.risen == ("load", "motion", "dose")
    assert found.axes["changes"].size == 1.5 and found.size < 1.0


def test_a_little_more_is_no_change():
    a = load("a", 10.0, range_deg=60.0, bearing=0.1, time_under_tension_week_s=300.0)
    b = load("b", 11.0, range_deg=70.0, bearing=0.2, time_under_tension_week_s=330.0)
    assert stepping(a, b).risen == ()


def test_the_largest_rise_elsewhere_is_named():
    a = load(
        "a",
        joints={
            "working elbow flexion": 2.0,
            "lumbar flexion": 20.0,
            "working shoulder flexion": 10.0,
        },
    )
    b = load(
        "b",
        joints={
            "working elbow flexion": 3.0,
            "lumbar flexion": 45.0,
            "working shoulder flexion": 99.0,
        },
    )
    found = stepping(a, b)
    assert found.elsewhere == "lumbar flexion" and found.axes["elsewhere"].size == pytest.approx(
        2.0
    )


def test_a_joint_that_does_not_work_hard_is_no_load_elsewhere():
    """Twice as much of little: 9 N·m of trunk flexion is under a tenth of what it can do."""
    a, b = (load(id, joints={"lumbar flexion": peak}) for id, peak in (("a", 4.0), ("b", 9.0)))
    assert stepping(a, b).elsewhere is None


def test_weight_that_comes_onto_a_hand_is_a_rise_elsewhere():
    found = stepping(
        load("a", joints={"neck flexion": 1.0}),
        load("b", joints={"neck flexion": 1.0}, on={"hand": 0.3}),
    )
    assert found.elsewhere == "weight on the hand"


@pytest.mark.parametrize(
    ("size", "missing"),
    [(0.0, 0), (1.0, 0), (1.0000009, 0), (1.01, 1), (2.0, 1), (2.0000001, 1), (2.1, 2), (3.0, 2)],
)
def test_missing_rungs_are_the_steps_less_one(size, missing):
    assert missing_rungs(size) == missing


def test_the_ladders_limits_stand_over_the_librarys():
    settings = Settings.model_validate({"limits": {"demand": 1.4, "speed": "off"}})
    ladder = Ladder(id="l", title="L", goal="g", limits={"demand": 2.0, "range": 20.0})
    limits = limits_for(settings, ladder)
    assert limits.of("demand") == 2.0 and limits.of("speed") is None
    assert limits.of("range") == 20.0 and limits.of("range", narrow=True) == 10.0
    assert "speed" not in stepping(load("a"), load("b"), limits=limits).axes


def test_a_rung_counts_by_what_its_ladder_works_not_by_what_it_names():
    joints = {"working knee flexion": 38.0, "working hip flexion": -28.0}
    rung = profile(
        exercise("rise", works="knee extension"),
        load("rise", 38.0, works="knee extension", joints=joints),
    )
    assert rung.demand([parse_action("hip extension")]) == pytest.approx(28.0)
    assert rung.demand([parse_action("elbow flexion")]) == pytest.approx(38.0)  # not known: its own


def test_an_axis_that_is_switched_off_is_no_change_either():
    a, b = load("a", 10.0, stability=1), load("b", 15.0, peak_speed_deg_s=170.0, stability=2)
    assert stepping(a, b).risen == ("load", "motion", "position")
    off = limits_for(Settings.model_validate({"limits": {"speed": "off"}}))
    assert stepping(a, b, limits=off).risen == ("load", "position")
    assert stepping(a, b, limits=off).axes["changes"].size == pytest.approx(1.0)


def test_off_ladders_what_the_harder_exercise_works_is_looked_at_first():
    knee, hip = "knee extension", "hip extension"
    a, b = exercise("a", works=hip, movement=()), exercise("b", works=knee, movement=())
    joints = {"working knee flexion": -10.0, "working hip flexion": -40.0}
    low = profile(a, load("a", 40.0, works=hip, joints=joints))
    joints = {"working knee flexion": -20.0, "working hip flexion": -60.0}
    high = profile(b, load("b", 20.0, works=knee, joints=joints))
    found = step_between(low, high, Ruler(limits_for(Settings()))).axes["demand"]
    assert (found.works, found.from_value, found.to_value) == (knee, 10.0, 20.0)
    found = step_between(high, low, Ruler(limits_for(Settings()))).axes["demand"]
    assert (found.works, found.from_value, found.to_value) == (hip, 60.0, 40.0)


def test_weight_on_a_leg_is_no_preparation_for_weight_on_an_arm():
    a = load("a", bearing=0.5, bearing_limb="leg")
    found = stepping(a, load("b", bearing=0.6, bearing_limb="arm")).axes["bearing"]
    assert (found.from_value, found.to_value, found.size) == (0.0, 0.6, pytest.approx(4.0))
    found = stepping(a, load("b", bearing=0.6, bearing_limb="leg")).axes["bearing"]
    assert found.from_value == 0.5 and found.size == pytest.approx(1 / 3)
