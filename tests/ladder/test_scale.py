"""Heights on the scale of demand, worked out by hand from its formula.

Quarters as grades of a partial load: common practice, no source. No published scale of steps is
known to check against; the formula is held to what it promises.
"""

import itertools
import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builders.loads import exercise, load, measured_of
from rungbook.ladder.profile import profile
from rungbook.ladder.scale import Scale, prepared, scale_of
from rungbook.model.exercise import Measured
from rungbook.model.ladder import Ladder
from rungbook.model.quantity import parse_action

FLEXION, EXTENSION = parse_action("hip flexion"), parse_action("hip extension")
SCALE = Scale({FLEXION: 40.0}, 1.5)
loads = st.floats(0, 400)
ratios = st.floats(1.05, 2.5)


def height(nm: float, standard: float = 40.0, ratio: float = 1.5) -> float:
    found = Scale({FLEXION: standard}, ratio).height(FLEXION, nm)
    assert found is not None
    return found


def test_heights_by_hand():
    assert [height(nm) for nm in (0, 10, 20)] == [0, 1, 2]
    assert height(30) == pytest.approx(3)
    assert height(40) == pytest.approx(2 + math.log(2) / math.log(1.5))  # 3.7: the standard
    assert height(67.5) == pytest.approx(5)


def test_a_limb_carried_by_quarters_is_four_permitted_steps():
    """Carried whole, by three quarters, half, a quarter, and not at all."""
    heights = [height(40 * share) for share in (0, 0.25, 0.5, 0.75, 1)]
    steps = [b - a for a, b in itertools.pairwise(heights)]
    assert steps == pytest.approx([1, 1, 1, 0.7095], abs=1e-4)


@settings(deadline=None)
@given(loads, loads, ratios)
def test_more_load_is_higher_and_heights_add_up(a, b, ratio):
    low, high = sorted((a, b))
    middle = (low + high) / 2
    one, two = height(middle, ratio=ratio) - height(low, ratio=ratio), height(high, ratio=ratio)
    assert one >= 0 and two >= height(middle, ratio=ratio)
    assert one + (two - height(middle, ratio=ratio)) == pytest.approx(
        two - height(low, ratio=ratio), abs=1e-9
    )


@given(loads, ratios)
def test_a_height_read_the_other_way_is_the_load(nm, ratio):
    scale = Scale({FLEXION: 40.0}, ratio)
    assert scale.load_at(FLEXION, scale.height(FLEXION, nm) or 0.0) == pytest.approx(nm, rel=1e-9)


@given(ratios)
def test_the_two_halves_meet_at_half_the_standard(ratio):
    assert height(20, ratio=ratio) == pytest.approx(1 / (ratio - 1))
    assert height(20 * (1 + 1e-9), ratio=ratio) == pytest.approx(height(20, ratio=ratio), abs=1e-6)


def test_the_same_share_of_the_standard_is_the_same_height_for_everybody():
    assert height(25, standard=100) == pytest.approx(height(10, standard=40))


def test_an_action_off_the_scale_or_a_load_unknown_has_no_height():
    assert SCALE.height(EXTENSION, 10.0) is None and SCALE.height(FLEXION, None) is None


def scale_on(standard, *loads_of, works=("hip flexion",)):
    ladder = Ladder.model_validate(
        {"id": "l", "title": "L", "goal": "goal", "works": works, "standard": standard}
    )
    profiles = {
        one.id: profile(exercise(one.id, works=list(one.demands) or list(works)), one)
        for one in loads_of
    }
    return scale_of(ladder, profiles, 1.5)


def test_the_goal_is_the_standard_where_none_is_written():
    assert scale_on(None, load("goal", 60.0, works="hip flexion")).standards == {FLEXION: 60.0}


def test_one_standard_serves_every_action_or_each_has_its_own():
    both = ("hip flexion", "hip extension")
    march = load("march", {"hip flexion": 30.0, "hip extension": 5.0})
    rise = load("rise", {"hip flexion": 2.0, "hip extension": 28.0})
    assert scale_on("march", march, works=both).standards == {FLEXION: 30.0, EXTENSION: 5.0}
    named = {"hip flexion": "march", "hip extension": "rise"}
    assert scale_on(named, march, rise, works=both).standards == {FLEXION: 30.0, EXTENSION: 28.0}


@pytest.mark.parametrize("nm", [0.0, 0.99, None])
def test_a_standard_without_a_load_to_measure_by_leaves_the_action_out(nm):
    assert scale_on(None, load("goal", nm, works="hip flexion")).standards == {}


def test_what_is_prepared_is_the_larger_of_a_rungs_own_and_the_least_below():
    below = {"start": [], "up": ["start"], "side": ["start"], "down": ["up", "side"], "high": []}
    own = {"start": 5.0, "up": 30.0, "side": 20.0, "down": 0.0, "high": 8.0}
    moments = {rung: {FLEXION: nm} for rung, nm in own.items()}
    found = prepared(below, below, {"start", "high"}, moments)
    assert {rung: one[FLEXION] for rung, one in found.items()} == {
        "start": 5.0, "up": 30.0, "side": 20.0, "down": 20.0, "high": 8.0,
    }  # fmt: skip


def test_nothing_is_prepared_where_a_patient_may_start():
    moments = {"a": {FLEXION: 30.0}, "b": {FLEXION: 4.0}}
    below = {"a": [], "b": ["a"]}
    assert prepared(["a", "b"], below, {"a"}, moments)["b"] == {FLEXION: 30.0}
    assert prepared(["a", "b"], below, {"a", "b"}, moments)["b"] == {FLEXION: 4.0}


def test_a_rung_whose_load_is_not_known_has_what_those_below_prepared():
    below = {"a": [], "b": ["a"], "c": ["b"]}
    found = prepared(below, below, {"a"}, {"a": {FLEXION: 30.0}, "c": {FLEXION: 31.0}})
    assert found["b"] == {FLEXION: 30.0} and found["c"] == {FLEXION: 31.0}


def hip_ladder(**values):
    """A chair is risen from, then a thigh is lifted standing: two actions by turns."""
    works = ["hip flexion", "hip extension"]
    both = {"works": works, "movement": ()}
    rungs = [exercise("slide", "rise", **both), exercise("rise", "march", **both)]
    rungs += [exercise("march", "climb", **both), exercise("climb", **both)]
    given = {
        "slide": {"hip flexion": 8.0, "hip extension": 2.0},
        "rise": {"hip flexion": 0.0, "hip extension": 28.0},
        "march": {"hip flexion": 30.0, "hip extension": 2.0},
        "climb": {"hip flexion": 0.0, "hip extension": 42.0},
    }
    ladder = Ladder.model_validate(
        {"id": "hip", "title": "Hip", "goal": "climb", "works": works, "entries": {"high": "slide"},
         "standard": {"hip flexion": "march", "hip extension": "rise"}, **values}
    )  # fmt: skip
    loads = {id: load(id, nm) for id, nm in given.items()}
    return measured_of(*rungs, loads=loads, ladders=[ladder]).ladders["hip"]


def test_a_strong_action_never_hides_the_step_of_a_weak_one():
    """28 N·m of extension, then 30 of flexion: on one greatest load a step of nothing."""
    steps = {(one.from_id, one.to_id): one for one in hip_ladder().steps}
    march = steps["rise", "march"].axes["demand"]
    assert march.works == "hip flexion" and (march.from_value, march.prepared) == (0.0, 8.0)
    assert march.size == pytest.approx(3.7095 - 8 / 7.5, abs=1e-4)  # 2.6 steps
    climb = steps["march", "climb"].axes["demand"]  # what the rise prepared is not lost
    assert climb.works == "hip extension" and climb.prepared == 28.0
    assert climb.size == pytest.approx(1.0)


def test_a_rung_is_as_high_as_its_highest_action_and_each_is_told():
    found = hip_ladder()
    assert found.height("slide") == pytest.approx(8 / 7.5)
    assert found.heights["march"][FLEXION] == pytest.approx(3.7095, abs=1e-4)
    assert found.heights["march"][EXTENSION] == pytest.approx(2 / 7)


def test_demand_switched_off_leaves_no_axis_and_no_heights():
    found = hip_ladder(limits={"demand": "off"})
    assert all("demand" not in step.axes for step in found.steps)
    assert found.height("march") is None


def test_an_effort_without_a_known_maximum_is_not_on_the_scale():
    held = exercise("e", works="knee extension", resistance=({"effort": "30 %", "at": "ankle"},))
    joints = {"working knee flexion": -2.0}
    unknown = load("e", None, works="knee extension", joints=joints, withheld="give the maximum")
    assert profile(held, unknown).moment(parse_action("knee extension")) is None


def test_a_hop_stands_on_the_scale_by_its_measured_figure_alone():
    figure = Measured.model_validate(
        {"works": "ankle plantarflexion", "value": "175 Nm", "source": "s"}
    )
    hop = exercise("hop", works="ankle plantarflexion", ballistic=True, measured=(figure,))
    joints = {"working ankle dorsiflexion": -60.0, "working knee flexion": -90.0}
    measured = load("hop", 175.0, works="ankle plantarflexion", joints=joints, withheld="a hop")
    found = profile(hop, measured)
    assert found.moment(parse_action("ankle plantarflexion")) == 175.0
    assert found.moment(parse_action("knee extension")) is None


def test_a_joint_that_is_moved_for_the_patient_needs_no_muscle():
    """The stretch names what is lengthened; the ladder, what will have to lift later."""
    carried = exercise("c", works="shoulder extension", passive=True)
    joints = {"working shoulder flexion": 9.0, "working elbow flexion": 2.0}
    found = profile(carried, load("c", 0.0, works="shoulder extension", joints=joints))
    assert found.moment(parse_action("shoulder flexion")) == 0.0
    assert found.moment(parse_action("elbow flexion")) == 2.0
