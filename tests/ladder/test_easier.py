"""What to give instead: by reason, by kind, nearest first, with what rises."""

import pytest

from builders.loads import arm_loads, exercise, load, measured_of
from rungbook.ladder.easier import easier
from rungbook.ladder.filters import Filters
from rungbook.ladder.less_of_the_same import Relief, less_of_the_same
from rungbook.ladder.option import Easier
from rungbook.model.ladder import Ladder
from rungbook.model.library import Restriction, Vocabulary
from rungbook.model.quantity import AngleLimit


def half(share: str, id: str, *to: str, **values):
    return exercise(id, *to, assist=({"at": "wrist", "by": "pulley", "share": share},), **values)


def ids(found: Easier) -> list[tuple[str, str]]:
    return [(option.kind, option.exercise.id) for option in found.options]


def test_neighbours_come_before_the_library_and_the_nearest_first():
    measured = measured_of(
        half("70 %", "a", "c"), half("30 %", "b", "c"), exercise("c"), half("50 %", "x"),
        half("10 %", "near"),
    )  # fmt: skip
    assert ids(easier(measured, "c")) == [
        ("neighbour", "b"), ("neighbour", "a"), ("library", "x"), ("library", "near"),
    ]  # fmt: skip


def test_an_option_tells_its_share_of_the_load_and_the_step_back_up():
    found = easier(measured_of(half("50 %", "a", "c"), exercise("c")), "c").options[0]
    assert found.demand_nm == pytest.approx(5.0) and found.ratio == pytest.approx(0.5)
    assert found.step_size == pytest.approx(1.7095, abs=1e-4)  # ln 2 / ln 1.5


def test_what_asks_for_more_elsewhere_is_named():
    loads = {
        "a": load("a", 5.0, joints={"lumbar flexion": 30.0}, bearing=0.25),
        "b": load("b", 10.0, joints={"lumbar flexion": 10.0}),
    }
    measured = measured_of(exercise("a"), exercise("b"), loads=loads)
    assert easier(measured, "b").options[0].rises == ("bearing", "lumbar flexion")


@pytest.mark.parametrize(
    ("reason", "fields"),
    [
        ("range", {"range_deg": 80.0}),
        ("lengthening", {"lengthening_deg": 30.0}),
        ("bearing", {"bearing": 0.4}),
        ("speed", {"peak_speed_deg_s": 48.0}),
        ("volume", {"time_under_tension_week_s": 400.0}),
        ("impact", {"impact": "both feet"}),
        ("position", {"stability": 0}),
        ("next day", {"volume_nms": 80.0}),
    ],
)
def test_every_reason_has_its_own_measure(reason, fields):
    hard = {
        "range_deg": 90.0, "lengthening_deg": 40.0, "bearing": 0.5, "peak_speed_deg_s": 60.0,
        "time_under_tension_week_s": 500.0, "impact": "one foot", "stability": 1,
        "volume_nms": 100.0,
    }  # fmt: skip
    loads = {"a": load("a", **{**hard, **fields}), "b": load("b", **hard), "c": load("c", **hard)}
    measured = measured_of(exercise("a"), exercise("b"), exercise("c"), loads=loads)
    assert ids(easier(measured, "b", (reason,))) == [("library", "a")]


def test_a_hold_helps_where_lifting_hurts():
    hold = load("a", 10.0)
    action, whole = next(iter(hold.demands.items()))
    object.__setattr__(whole, "contraction", {"concentric": 0.0, "eccentric": 0.0, "held": 1.0})
    measured = measured_of(exercise("a"), exercise("b"), loads={"a": hold, "b": load("b", 10.0)})
    assert ids(easier(measured, "b", ("lifting",))) == [("library", "a")]
    assert ids(easier(measured, "a", ("holding",))) == [("library", "b")]
    assert ids(easier(measured, "b", ("holding",))) == [] and action == "shoulder flexion"


def test_several_reasons_must_all_be_met():
    measured = measured_of(
        half("50 %", "a"), half("50 %", "b", movement=({"shoulder": {"flexion": (0.0, 60.0)}},)),
        exercise("c"),
    )  # fmt: skip
    assert ids(easier(measured, "c", ("load", "range"))) == [("library", "b")]


def test_what_a_filter_leaves_out_is_told_with_why():
    measured = measured_of(half("50 %", "a", equipment=("pulley",)), exercise("c"))
    found = easier(measured, "c", filters=Filters(without=frozenset({"pulley"})))
    assert found.options == () and found.left_out == {"a": "needs pulley"}


LOW = "breaks low: its shoulder flexion goes to 90°, over 70° is not allowed"


def test_the_restrictions_of_its_ladders_are_obeyed_unasked():
    limit = Restriction(title="Arm low", never=({"shoulder": {"flexion": AngleLimit("over", 70)}},))
    ladder = Ladder(id="l", title="L", goal="c", entries={"high": "a"}, restrictions=("low",))
    measured = measured_of(
        half("50 %", "a", "c"), exercise("c"), ladders=[ladder],
        vocabulary=Vocabulary(restrictions={"low": limit}),
    )  # fmt: skip
    found = easier(measured, "c")
    assert found.left_out == {"a": LOW}


def test_the_same_with_less_comes_first():
    c = exercise("c")
    measured = measured_of(half("50 %", "a", "c"), c)
    variants = less_of_the_same(c)
    loads = arm_loads(variant.exercise for variant in variants)
    relief = Relief(same=tuple((one, loads[one.exercise.id]) for one in variants))
    found = easier(measured, "c", ("volume",), relief=relief)
    assert ids(found)[0] == ("same", "c--fewer-sessions")
    assert {kind for kind, _ in ids(found)} == {"same"}


def test_ways_to_do_less_are_named_in_words():
    c = exercise("c", title="Arm raise")
    assert [one.exercise.title for one in less_of_the_same(c)] == [
        "Arm raise, 1 set instead of 3",
        "Arm raise, 5 repetitions instead of 10",
        "Arm raise, 2 times a week instead of 3",
        "Arm raise, at half the speed, 5 repetitions",
        "Arm raise, only to 70° instead of 90°",
        "Arm raise, from 20° instead of 0°",
        "Arm raise, only to 45° instead of 90°",
        "Arm raise, from 45° instead of 0°",
        "Arm raise, held at 45° for 30 s",
    ]


def test_nothing_is_offered_that_is_a_step_too_large_elsewhere():
    loads = {
        "a": load("a", 5.0, impact="one foot"),
        "b": load("b", 10.0),
        "c": load("c", 5.0, stability=2),
    }
    measured = measured_of(exercise("a"), exercise("b"), exercise("c"), loads=loads)
    assert ids(easier(measured, "b")) == [("library", "c")]


def test_nothing_is_easier_than_no_load():
    measured = measured_of(half("100 %", "a"), half("100 %", "b"))
    assert easier(measured, "b").options == ()
