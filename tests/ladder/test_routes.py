"""Routes, what filters leave out of them, and how long they take."""

import pytest

from builders.loads import exercise, load, measured_of
from rungbook.ladder.filters import Filters
from rungbook.ladder.question import apart, fill_command
from rungbook.ladder.routes import NoRoute, Route, route
from rungbook.model.exercise import Exercise
from rungbook.model.ladder import Ladder
from rungbook.model.quantity import After, AngleLimit


def measured(*exercises: Exercise, **nm: float):
    return measured_of(*exercises, loads={id: load(id, value) for id, value in nm.items()})


def test_the_route_takes_small_steps_even_where_it_is_longer():
    found = route(
        measured(
            exercise("a", "b", "d"), exercise("b", "c"), exercise("c", "d"), exercise("d"),
            a=10, b=14, c=20, d=28,
        ), "a", "d",
    )  # fmt: skip
    assert isinstance(found, Route)
    assert found.rungs == ("a", "b", "c", "d") and found.largest_step < 1


def test_among_routes_without_a_large_step_the_shortest_is_taken():
    found = route(
        measured(exercise("a", "b", "c"), exercise("b", "c"), exercise("c"), a=10, b=12, c=15),
        "a", "c",
    )  # fmt: skip
    assert isinstance(found, Route) and found.rungs == ("a", "c")


def test_what_is_left_out_is_gone_round_and_named_where_that_cannot_be():
    library = measured(
        exercise("a", "b", "c"), exercise("b", "d", cautions=("poor-balance",)), exercise("c", "d"),
        exercise("d"), a=10, b=12, c=12, d=15,
    )  # fmt: skip
    found = route(library, "a", "d", Filters(avoid=frozenset({"poor-balance"})))
    assert isinstance(found, Route) and found.rungs == ("a", "c", "d")
    only = measured(
        exercise("a", "b"), exercise("b", "d", position="prone"), exercise("d"), a=1, b=1, d=1
    )
    blocked = route(only, "a", "d", Filters(not_in=frozenset({"prone"})))
    assert isinstance(blocked, NoRoute)
    assert blocked.left_out == {"b": "is done in prone"}


def test_no_progressions_at_all_says_so_and_which_is_easier():
    library = measured(exercise("a", "b"), exercise("b"), a=1, b=1)
    found = route(library, "b", "a")
    assert isinstance(found, NoRoute)
    assert found.message == (
        "no progressions lead from b to a. It is the other way round: a is the easier one."
    )


def test_a_joint_limit_counts_on_what_is_written_where_nothing_is_settled():
    limit = {"shoulder": {"flexion": AngleLimit("over", 80)}}
    library = measured(exercise("a", "b"), exercise("b", "c"), exercise("c"), a=1, b=1, c=1)
    found = route(library, "a", "c", Filters(never=(limit,)))
    assert isinstance(found, NoRoute)
    assert found.message == "c itself: its shoulder flexion goes to 90°, over 80° is not allowed."


def test_sessions_become_days_by_the_rungs_own_dose():
    a = exercise("a", dose={"sets": 1, "reps": 10, "sessions": "3 per week"}, progressions=(
        {"to": "b", "after": "6 sessions"},))  # fmt: skip
    b = exercise("b", progressions=({"to": "c", "after": "10 days"},))
    found = route(measured(a, b, exercise("c"), a=1, b=1, c=1), "a", "c")
    assert isinstance(found, Route)
    assert a.progressions[0].after == After(6, "sessions")
    assert found.least_days == 14 + 10


def test_off_ladders_every_step_is_measured_by_what_the_end_demands():
    """a to b is 9 of 40 N·m: 9/10 of a step, however much it is for b itself."""
    library = measured(exercise("a", "b"), exercise("b", "c"), exercise("c"), a=0, b=9, c=40)
    found = route(library, "a", "c")
    assert isinstance(found, Route) and found.ladder is None
    assert [step.size for step in found.steps] == pytest.approx([0.9, 3.7095 - 0.9], abs=1e-4)


def two_ladders():
    rungs = exercise("a", "b"), exercise("b", "c"), exercise("c")
    both = {"works": "shoulder flexion", "entries": {"high": "a"}}
    one = Ladder.model_validate({"id": "one", "title": "One", "goal": "b", **both})
    two = Ladder.model_validate({"id": "two", "title": "Two", "goal": "c", **both})
    loads = {"a": load("a", 5.0), "b": load("b", 10.0), "c": load("c", 40.0)}
    return measured_of(*rungs, loads=loads, ladders=[one, two])


def test_of_two_ladders_the_first_measures_unless_another_is_asked_for():
    library = two_ladders()
    by_first, by_other = route(library, "a", "b"), route(library, "a", "b", ladder="two")
    assert by_first.ladder.ladder.id == "one" and by_other.ladder.ladder.id == "two"
    assert by_first.largest_step == pytest.approx(3.7095 - 2, abs=1e-4)
    assert by_other.largest_step == pytest.approx(0.5)


def test_exercises_that_no_ladder_holds_together_say_where_each_is():
    assert apart(two_ladders(), "b", "c") == ""
    library = measured(exercise("a", "b"), exercise("b"), a=1, b=1)
    assert apart(library, "a", "b") == ("No ladder holds both: a is on no ladder, b on no ladder.")


def test_a_command_is_named_only_where_it_has_something_to_try():
    rungs = [exercise("a", "b", "far", "hop", "lost"), exercise("b")]
    rungs += [exercise("far", works="knee extension"), exercise("hop", ballistic=True)]
    rungs += [exercise("lost")]
    loads = {id: load(id, 10.0) for id in ("a", "b", "hop")}
    loads["far"] = load("far", 10.0, works="knee extension")
    library = measured_of(*rungs, loads=loads)
    assert fill_command(library, "a", "b") == "rungbook fill a b"
    assert fill_command(library, "b", "a") is None  # it leads back
    assert fill_command(library, "a", "far") is None  # nothing in common
    assert fill_command(library, "a", "hop") == "rungbook fill a hop"  # on the ground first
    assert fill_command(library, "a", "lost") is None  # its load is not known


def test_the_command_names_the_ladder_where_it_is_not_the_first():
    library = two_ladders()
    assert fill_command(library, "a", "b", "one") == "rungbook fill a b"
    assert fill_command(library, "a", "b", "two") == "rungbook fill a b --ladder two"
