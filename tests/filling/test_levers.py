"""The settings that are tried: what a clinic can make, with what the library has."""

from __future__ import annotations

import pytest

from builders.exercises import exercise
from builders.loads import arm_loads, library_of
from builders.loads import exercise as arm
from builders.poses import load_of
from rungbook.filling import levers
from rungbook.filling.carrying import assistance, hands, other_foot
from rungbook.filling.dosing import doses
from rungbook.filling.levers import candidates, is_free, settings_between
from rungbook.filling.moving import ranges
from rungbook.filling.placing import heights, lever_arms
from rungbook.filling.resisting import resistance
from rungbook.filling.setting import graded, laid_on
from rungbook.model.library import Term, Vocabulary

EQUIPMENT = {
    "pulley": Term(title="Over-door pulley", assists="set"),
    "towel": Term(title="Towel", assists="felt"),
    "counter": Term(title="Kitchen counter"),
}
LIBRARY = library_of(vocabulary=Vocabulary(equipment=EQUIPMENT))
SQUAT = exercise(
    id="squat", title="Squat to a seat", position="standing", works="knee extension",
    movement=[{"knee": {"flexion": [90, 0]}, "hip": {"flexion": [90, 0]}}],
    contacts=[
        {"at": "feet", "surface": "floor"},
        {"at": "seat", "surface": "chair", "height": "0.45 m", "during": "start"},
    ],
)  # fmt: skip


def shares(by: str, library=LIBRARY, **values) -> list[float]:
    found = assistance(arm("b", **values), arm("b", **values), library, free=True)
    usual = sorted(found, key=lambda one: one.fine)
    made = [laid_on(arm("b", **values), (one,)).exercise.assist[0] for one in usual]
    return [one.share for one in made if one.by == by]


def test_help_that_is_set_comes_by_quarters_first_then_by_tenths_and_twentieths() -> None:
    assert shares("pulley")[:3] == [0.75, 0.5, 0.25]
    assert set(shares("pulley")) == {round(0.05 * n, 2) for n in range(1, 20)}


def test_help_that_is_felt_comes_by_quarters_only() -> None:
    assert sorted(shares("towel")) == [0.25, 0.5, 0.75]


def test_the_other_hand_helps_only_where_it_is_free() -> None:
    assert sorted(shares("other-arm")) == [0.25, 0.5, 0.75]
    assert shares("other-arm", contacts=({"at": "other-hand", "surface": "counter"},)) == []


def test_what_the_library_lacks_is_marked() -> None:
    bare = library_of(vocabulary=Vocabulary(equipment={"towel": EQUIPMENT["towel"]}))
    needs = {one.by: one.needs for one in assistance(arm("b"), arm("b"), bare, free=True)}
    assert needs["towel"] == "" and needs["sling"] == "a helper whose help can be set"


@pytest.mark.parametrize(
    ("steps", "expected"),
    [
        ((0.5, 0.25), {0.5: 0, 1.0: 0, 1.5: 0, 0.25: 1, 0.75: 1, 1.25: 1, 1.75: 1}),
        ((1.0,), {1.0: 0}),
    ],
)
def test_a_value_is_given_once_on_the_coarsest_grid(steps, expected) -> None:
    assert {value: fine for fine, value in graded(0.0, 2.0, steps)} == expected


@pytest.mark.parametrize(
    ("most", "usual", "finest"), [(2, 0.25, 0.1), (5, 0.5, 0.25), (20, 2.0, 1.0), (60, 5.0, 2.0)]
)
def test_weights_are_those_a_clinic_has(most: float, usual: float, finest: float) -> None:
    held = arm("b", resistance=({"weight": f"{most} kg", "at": "hand"},))
    found = [one for one in resistance(held, held, LIBRARY, harder=True) if "kg" in one.key]
    kilos = {one: laid_on(held, (one,)).exercise.resistance[0].weight for one in found}
    assert min(kilos[one] for one in found if one.fine == 0) == usual
    assert min(kilos.values()) == finest
    assert len(found) <= 40


def test_a_seat_moves_with_the_angles_of_what_sits_down_on_it() -> None:
    made = [laid_on(SQUAT, (one,)).exercise for one in heights(SQUAT, SQUAT, LIBRARY)]
    bent = {one.contacts[1].height: one.movement[0]["knee"]["flexion"][0] for one in made}
    # a thigh of 0.245 of 1.70 m, level at 0.45 m: asin(0.10 / 0.4165) = 13.9° steeper at 0.55 m
    assert bent[0.55] == pytest.approx(90 - 13.9, abs=0.5)
    assert bent[0.35] == pytest.approx(90 + 13.9, abs=0.5)


def test_between_two_seats_every_angle_goes_in_proportion() -> None:
    high = exercise(
        id="high", title="High", position="standing", works="knee extension",
        movement=[{"knee": {"flexion": [50, 0]}, "hip": {"flexion": [60, 0]}}],
        contacts=[
            {"at": "feet", "surface": "floor"},
            {"at": "seat", "surface": "plinth", "height": "0.65 m", "during": "start"},
        ],
    )  # fmt: skip
    made = [laid_on(SQUAT, (one,)).exercise for one in heights(SQUAT, high, LIBRARY)]
    half = next(one for one in made if one.contacts[1].height == 0.55)
    assert half.movement[0] == {"knee": {"flexion": (70.0, 0.0)}, "hip": {"flexion": (75.0, 0.0)}}


def test_hands_go_on_something_and_may_be_taken_off() -> None:
    raised = exercise(
        title="Heel raise", position="standing", works="ankle plantarflexion",
        movement=[{"ankle": {"plantarflexion": [0, 30]}}],
    )  # fmt: skip
    keys = [one.key for one in hands(raised, raised, LIBRARY, free=False, harder=True)]
    assert keys[0] == "fingertips" and "hands-25" in keys and "no-hands" not in keys
    leaning = laid_on(raised, (next(iter(hands(raised, raised, LIBRARY, False, True))),)).exercise
    assert leaning.contacts[-1].surface == "counter" and leaning.equipment == ("counter",)
    back = {one.key for one in hands(leaning, raised, LIBRARY, free=False, harder=False)}
    assert "no-hands" in back


def test_from_both_legs_to_one_the_other_foot_carries_less_and_less() -> None:
    both = exercise(title="Bridge, both legs", position="hook-lying", works="hip extension",
                    contacts=[{"at": "upper-back"}, {"at": "feet", "surface": "floor"}])  # fmt: skip
    one = both.model_copy(update={"sides": "one"})
    found = [laid_on(both, (each,)).exercise for each in other_foot(both, one)]
    assert {each.sides for each in found} == {"one"}
    assert next([c.at for c in each.contacts] for each in found) == [
        "upper-back",
        "foot",
        "other-foot",
    ]
    assert list(other_foot(both, both)) == []


def test_a_hold_grows_by_seconds_and_nothing_else() -> None:
    short = exercise(title="Hold", dose={"sets": 3, "hold": "10 s", "sessions": "3 per week"})
    long = exercise(title="Hold", dose={"sets": 3, "hold": "60 s", "sessions": "3 per week"})
    found = [laid_on(long, (one,)).exercise.dose for one in doses(long, short)]
    assert {one.hold for one in found} == {10, 15, 20, 30, 45}
    assert {(one.sets, one.sessions) for one in found} == {(3, 3.0)}


def test_between_a_hold_and_repetitions_there_is_no_dose() -> None:
    held = exercise(title="Hold", dose={"sets": 3, "hold": "10 s", "sessions": "3 per week"})
    assert list(doses(held, arm("b"))) == []


def test_no_exercise_starts_later_where_something_is_left_at_the_start() -> None:
    assert not [one for one in ranges(SQUAT, SQUAT, harder=True) if one.key.startswith("from-")]


def test_only_a_limb_in_the_air_has_its_lever_shortened() -> None:
    assert list(lever_arms(SQUAT, free=False)) == []
    assert next(one.key for one in lever_arms(arm("b"), free=True)) == "elbow-90"


def test_a_limb_that_carries_weight_is_not_free() -> None:
    squat = load_of(position="standing", works="knee extension",
                    movement=[{"knee": {"flexion": [0, 60]}}])  # fmt: skip
    assert not is_free(SQUAT, squat)
    assert is_free(arm("b"), arm_loads([arm("b")])["b"])


def test_a_cap_is_kept_and_said(monkeypatch: pytest.MonkeyPatch) -> None:
    base = arm("b", resistance=({"weight": "4 kg", "at": "hand"},))
    settings = settings_between(base, arm("a"), LIBRARY, arm_loads([base])["b"], harder=True)
    whole = candidates([(base, settings)], {"demand"}, {"demand", "range"})
    assert whole.left_out == 0
    monkeypatch.setattr(levers, "MOST_CANDIDATES", 60)
    capped = candidates([(base, settings)], {"demand"}, {"demand", "range"})
    assert len(capped.candidates) <= 60 < len(whole.candidates) and capped.left_out > 0


def test_two_levers_at_most_are_set_at_once() -> None:
    base = arm("b", resistance=({"weight": "4 kg", "at": "hand"},))
    settings = settings_between(base, arm("a"), LIBRARY, arm_loads([base])["b"], harder=True)
    batch = candidates([(base, settings)], {"demand", "range"}, {"demand", "range"})
    assert {len(one.settings) for one in batch.candidates} == {1, 2}
    assert all(
        len({setting.handle for setting in one.settings}) == len(one.settings)
        for one in batch.candidates
    )
