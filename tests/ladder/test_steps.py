"""Sizes of steps, worked out by hand from the formulas."""

import math

import pytest

from builders.loads import exercise, load
from rungbook.ladder.limits import limits_for
from rungbook.ladder.profile import profile
from rungbook.ladder.step import Step
from rungbook.ladder.steps import missing_rungs, step
from rungbook.load.result import ExerciseLoad
from rungbook.model.ladder import Ladder
from rungbook.model.library import Settings
from rungbook.model.quantity import parse_action

LIMITS = limits_for(Settings())


def stepping(easier: ExerciseLoad, harder: ExerciseLoad, goal=None, limits=LIMITS, **both) -> Step:
    a, b = exercise(easier.id, **both), exercise(harder.id, **both)
    return step(a, b, {easier.id: easier, harder.id: harder}, limits, goal)


def test_demand_is_measured_in_steps_of_half_as_much_again():
    one = stepping(load("a", 10.0), load("b", 15.0))
    assert one.axes["demand"].size == pytest.approx(1.0) and one.missing == 0
    two = stepping(load("a", 10.0), load("b", 22.5))
    assert two.size == pytest.approx(2.0) and two.missing == 1 and two.worst == "demand"


def test_three_times_the_demand_is_2_7_steps_and_two_rungs_are_missing():
    found = stepping(load("a", 10.0), load("b", 30.0))
    assert found.size == pytest.approx(math.log(3) / math.log(1.5), abs=1e-9)
    assert found.missing == 2


def test_a_step_up_from_nothing_is_taken_from_a_tenth_of_the_goal():
    found = stepping(load("a", 0.0), load("b", 40.0), goal=load("g", 80.0))
    assert found.axes["demand"].size == pytest.approx(math.log(40 / 8) / math.log(1.5), abs=1e-9)
    assert found.axes["demand"].from_value == 0.0


def test_the_floor_is_never_below_one_newton_metre():
    found = stepping(load("a", 0.1), load("b", 2.0))
    assert found.axes["demand"].size == pytest.approx(math.log(2) / math.log(1.5), abs=1e-9)


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
            "lumbar flexion": 10.0,
            "working shoulder flexion": 10.0,
        },
    )
    b = load(
        "b",
        joints={
            "working elbow flexion": 3.0,
            "lumbar flexion": 22.5,
            "working shoulder flexion": 99.0,
        },
    )
    found = stepping(a, b)
    assert found.elsewhere == "lumbar flexion" and found.axes["elsewhere"].size == pytest.approx(
        2.0
    )


def test_weight_that_comes_onto_a_hand_is_a_rise_elsewhere():
    found = stepping(
        load("a", joints={"neck flexion": 1.0}),
        load("b", joints={"neck flexion": 1.0}, on={"hand": 0.3}),
    )
    assert found.elsewhere == "weight on the hand"


def test_a_list_of_actions_counts_its_worst():
    both = {"works": ["knee extension", "hip extension"], "movement": ()}
    a = load("a", {"knee extension": 40.0, "hip extension": 20.0})
    b = load("b", {"knee extension": 40.0, "hip extension": 60.0})
    found = stepping(a, b, **both).axes["demand"]
    assert (found.from_value, found.to_value) == (40.0, 60.0)


def test_the_ladder_says_which_action_counts():
    both = {"works": ["knee extension", "hip extension"], "movement": ()}
    a, b = exercise("a", **both), exercise("b", **both)
    loads = {
        "a": load("a", {"knee extension": 40.0, "hip extension": 20.0}),
        "b": load("b", {"knee extension": 40.0, "hip extension": 60.0}),
    }
    found = step(a, b, loads, LIMITS, works=[parse_action("hip extension")]).axes["demand"]
    assert (found.from_value, found.to_value) == (20.0, 60.0)


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


def test_irritability_sets_how_far_the_load_may_rise():
    found = [
        limits_for(Settings(), None, word).of("demand") for word in ("high", "moderate", "low")
    ]
    assert found == [1.25, 1.5, 2.0]


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
