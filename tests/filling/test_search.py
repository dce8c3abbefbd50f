"""Fillings on a stand-in for the engine whose answers are known in closed form."""

import pytest
from rungbook.filling.solve import fill

from builders.loads import arm_loads, exercise, load, measured_of
from rungbook.model.ladder import Ladder
from rungbook.model.library import Restriction, Settings, Term, Vocabulary
from rungbook.model.quantity import AngleLimit

PULLEY = Vocabulary(equipment={"pulley": Term(title="Over-door pulley", assists="set")})


def carried(share: int, id: str = "a", *to: str, **values):
    return exercise(
        id, *to, assist=({"at": "wrist", "by": "pulley", "share": f"{share} %"},), **values
    )


def test_a_step_within_the_limits_needs_no_filling():
    found = fill(measured_of(carried(30), exercise("b")), "a", "b", arm_loads)
    assert found.rungs == ("a", "b") and found.proposals == () and found.computed == 0


def test_a_draft_says_in_words_what_is_set():
    found = fill(
        measured_of(carried(50), exercise("b", title="Arm raise"), vocabulary=PULLEY),
        "a",
        "b",
        arm_loads,
    )
    assert [one.candidate.exercise.title for one in found.proposals] == [
        "Arm raise, with 30 % of the arm carried by the over-door pulley"
    ]
    assert found.rungs == ("a", "b-pulley-30", "b")
    assert found.proposals[0].candidate.exercise.draft == "computed, not reviewed"


def test_a_fully_carried_limb_can_be_filled_too():
    found = fill(measured_of(carried(100), exercise("b"), vocabulary=PULLEY), "a", "b", arm_loads)
    assert found.step.missing == 5  # ln 10 / ln 1.5 = 5.7 steps from the floor of a tenth
    assert len(found.proposals) >= 5 and found.blocked_by is None


def test_exercises_of_the_library_are_preferred_to_drafts():
    measured = measured_of(carried(50), carried(28, "mine"), exercise("b"), vocabulary=PULLEY)
    assert fill(measured, "a", "b", arm_loads).rungs == ("a", "mine", "b")


def test_an_exercise_that_would_close_a_circle_is_not_used():
    measured = measured_of(
        carried(50), carried(28, "mine", "a"), exercise("b"), vocabulary=PULLEY
    )  # fmt: skip
    assert fill(measured, "a", "b", arm_loads).rungs == ("a", "b-pulley-30", "b")


@pytest.mark.parametrize("levers", [("assistance", "resistance"), ("resistance", "assistance")])
def test_where_several_levers_would_do_the_librarys_order_decides(levers):
    def even(batch):  # 10 N·m for the arm, 2 N·m a kilogram: 60 % carried is as good as 3 kg less
        found = {}
        for one in batch:
            share = sum(help.share for help in one.assist)
            found[one.id] = load(
                one.id, 10 * (1 - share) + 2 * sum(r.weight for r in one.resistance)
            )
        return found

    easy = carried(20)
    hard = exercise("b", resistance=({"weight": "4 kg", "at": "hand"},))
    settings = Settings(levers=levers)
    measured = measured_of(
        easy, hard, loads=even([easy, hard]), settings=settings, vocabulary=PULLEY
    )
    found = fill(measured, "a", "b", even)
    assert found.step.size == pytest.approx(2.0)
    (proposal,) = found.proposals
    assert proposal.load.demand_nm == pytest.approx(12.0)
    assert proposal.candidate.settings[0].lever == levers[0]


def test_only_another_position_can_close_a_gap_of_classes():
    a, b = (
        exercise(id, position=position) for id, position in (("a", "supine"), ("b", "standing"))
    )
    loads = dict(arm_loads([a, b]))
    object.__setattr__(loads["b"], "stability", 3)

    def unsteady(batch):
        found = arm_loads(batch)
        for one in found.values():
            object.__setattr__(one, "stability", 3 if one.stability else 0)
        return found

    found = fill(measured_of(a, b, loads=loads), "a", "b", unsteady)
    assert found.rungs == () and found.blocked_by is not None
    assert found.blocked_by.axis == "stability"
    assert found.blocked_by.message == (
        "balance from lying, leaning back or steadied by the hands to one leg; one step allows one class more. "
        "Only another position, or another kind of exercise, could lie between."
    )


def test_exercises_without_a_common_action_are_refused_in_words():
    other = exercise("b", works="knee extension")
    found = fill(measured_of(exercise("a"), other), "a", "b", arm_loads)
    assert found.blocked_by is not None and found.blocked_by.message == (
        "a works shoulder flexion and b knee extension: "
        "no exercise lies between two without a common action."
    )


def test_the_restrictions_of_the_ladder_are_obeyed():
    limit = Restriction(title="Low", never=({"shoulder": {"flexion": AngleLimit("over", 80)}},))
    ladder = Ladder(id="l", title="L", goal="b", entries={"high": "a"}, restrictions=("low",))
    vocabulary = Vocabulary(equipment=PULLEY.equipment, restrictions={"low": limit})
    measured = measured_of(
        carried(50, "a", "b"), exercise("b"), vocabulary=vocabulary, ladders=[ladder]
    )
    found = fill(measured, "a", "b", arm_loads)
    for one in found.proposals:
        end = one.candidate.exercise.movement[0]["shoulder"]["flexion"][1]
        assert end <= 80
