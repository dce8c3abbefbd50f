"""What fills a step, on a stand-in for the engine whose answers are known in closed form."""

from __future__ import annotations

import pytest

from builders.loads import arm_loads, exercise, load, measured_of
from rungbook.filling.result import filling_values
from rungbook.filling.search import fill
from rungbook.model.ladder import Ladder
from rungbook.model.library import Restriction, Settings, Term, Vocabulary
from rungbook.model.quantity import AngleLimit

PULLEY = Vocabulary(equipment={"pulley": Term(title="Over-door pulley", assists="set")})
TOWEL = Vocabulary(equipment={"towel": Term(title="Towel", assists="felt")})


def carried(share: int, id: str = "a", *to: str, by: str = "pulley", **values):
    return exercise(id, *to, assist=({"at": "wrist", "by": by, "share": f"{share} %"},), **values)


def shares(found) -> list[float]:
    return [one.candidate.exercise.assist[0].share for one in found.proposals]


def test_a_step_within_the_limits_needs_no_filling():
    found = fill(measured_of(carried(30), exercise("b")), "a", "b", arm_loads)
    assert found.rungs == ("a", "b") and found.proposals == () and found.computed == 0


def test_a_fully_carried_limb_is_given_back_by_quarters():
    found = fill(measured_of(carried(100), exercise("b"), vocabulary=PULLEY), "a", "b", arm_loads)
    assert shares(found) == [0.75, 0.5, 0.25]
    assert [one.step_size for one in found.proposals] == pytest.approx([1.0, 1.0, 1.0])
    # from nothing to the standard exercise is 2 + ln 2 / ln 1.5 = 3.71 steps
    assert found.step.size == pytest.approx(3.7095, abs=1e-4) and found.step.missing == 3


def test_a_draft_says_in_words_what_is_set():
    found = fill(
        measured_of(carried(50), exercise("b", title="Arm raise"), vocabulary=PULLEY),
        "a", "b", arm_loads,
    )  # fmt: skip
    (proposal,) = found.proposals
    draft = proposal.candidate.exercise
    assert draft.title == "Arm raise, an over-door pulley carrying a quarter of the arm"
    assert found.rungs == ("a", "b-pulley-25", "b")
    assert draft.draft == "computed, not reviewed" and draft.equipment == ("pulley",)


def test_the_helper_that_is_there_is_kept_from_rung_to_rung():
    both = Vocabulary(equipment={**PULLEY.equipment, "sling": Term(title="Sling", assists="set")})
    measured = measured_of(carried(100, by="sling"), exercise("b"), vocabulary=both)
    found = fill(measured, "a", "b", arm_loads)
    assert {one.candidate.exercise.assist[0].by for one in found.proposals} == {"sling"}


def test_what_is_felt_is_set_by_quarters_only():
    measured = measured_of(carried(100, by="towel"), exercise("b"), vocabulary=TOWEL)
    assert shares(fill(measured, "a", "b", arm_loads)) == [0.75, 0.5, 0.25]


STRICT = Settings(limits={"demand": 1.3})  # quarters are too far apart
BUSY = {"contacts": ({"at": "other-hand"},)}  # the other hand cannot help


def by_share(batch):
    """Only help makes an exercise lighter: neither the arc nor a bent elbow does."""
    return {one.id: load(one.id, 10 * (1 - sum(h.share for h in one.assist))) for one in batch}


def helped_by_a_towel(equipment: dict[str, Term]):
    ends = [carried(75, by="towel", **BUSY), exercise("b", **BUSY)]
    vocabulary = Vocabulary(equipment={**TOWEL.equipment, **equipment})
    measured = measured_of(*ends, vocabulary=vocabulary, settings=STRICT, loads=by_share(ends))
    return fill(measured, "a", "b", by_share)


def test_nobody_is_given_a_helper_that_the_library_has_not():
    found = helped_by_a_towel({})
    assert found.proposals == () and found.blocked_by is not None
    assert found.blocked_by.axis == "demand"
    assert found.blocked_by.add == (
        "It would work with a helper whose help can be set: add `sling: {title: Sling, assists: "
        "set}` to vocabulary/equipment.yml."
    )


def test_what_was_said_would_help_does():
    assert helped_by_a_towel({"sling": Term(title="Sling", assists="set")}).blocked_by is None


def test_exercises_of_the_library_are_preferred_to_drafts():
    measured = measured_of(carried(50), carried(28, "mine"), exercise("b"), vocabulary=PULLEY)
    assert fill(measured, "a", "b", arm_loads).rungs == ("a", "mine", "b")


def test_an_exercise_that_would_close_a_circle_is_not_used():
    measured = measured_of(
        carried(50), carried(28, "mine", "a"), exercise("b"), vocabulary=PULLEY
    )  # fmt: skip
    assert fill(measured, "a", "b", arm_loads).rungs == ("a", "b-pulley-25", "b")


def test_nothing_leads_over_a_ladder_that_nobody_asked_for():
    mine = carried(28, "mine", "goal")
    ladder = Ladder(id="l", title="L", goal="goal", entries={"high": "mine"})
    measured = measured_of(
        carried(50), mine, exercise("b"), exercise("goal"), vocabulary=PULLEY, ladders=[ladder]
    )
    assert fill(measured, "a", "b", arm_loads).rungs == ("a", "b-pulley-25", "b")


def test_nothing_leads_over_an_exercise_under_an_order_that_does_not_hold_here():
    order = {"late": Restriction(title="Late")}
    vocabulary = Vocabulary(equipment=PULLEY.equipment, restrictions=order)
    mine = carried(28, "mine", restrictions=("late",))
    measured = measured_of(carried(50), mine, exercise("b"), vocabulary=vocabulary)
    assert fill(measured, "a", "b", arm_loads).rungs == ("a", "b-pulley-25", "b")


def test_what_already_leads_back_is_refused():
    found = fill(measured_of(carried(50), exercise("b", "a")), "a", "b", arm_loads)
    assert found.blocked_by is not None
    assert found.blocked_by.message == "b already leads to a: it is the easier of the two."


@pytest.mark.parametrize("levers", [("assistance", "resistance"), ("resistance", "assistance")])
def test_where_several_levers_would_do_the_librarys_order_decides(levers):
    def even(batch):  # 10 N·m for the arm, 2 N·m a kilogram: 50 % carried is as good as 2.5 kg less
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
    (proposal,) = found.proposals
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
    assert found.blocked_by.message.endswith("to one leg; one step allows one class more.")
    assert found.blocked_by.add == (
        "Write an exercise of your own in a steadier position, or with a hand on something fixed."
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


def test_a_limb_that_gravity_carries_is_no_filling():
    """Turned so that nothing has to act, an exercise prepares for nothing."""

    def turned(batch):
        found = arm_loads(batch)
        for one in batch:
            if one.position == "side-lying":
                found[one.id] = load(one.id, 0.0)
        return found

    hard = exercise("b", resistance=({"weight": "2 kg", "at": "hand"},))
    measured = measured_of(carried(80), hard, vocabulary=PULLEY, loads=turned([carried(80), hard]))
    found = fill(measured, "a", "b", turned)
    assert found.proposals
    assert all(one.load.demand_nm > 0.5 for one in found.proposals)


def test_no_proposal_changes_more_than_two_levers():
    hard = exercise(
        "b", resistance=({"weight": "6 kg", "at": "hand"},),
        dose={"sets": 5, "reps": 15, "up": "3 s", "down": "3 s", "sessions": "7 per week"},
    )  # fmt: skip
    found = fill(measured_of(carried(80), hard, vocabulary=PULLEY), "a", "b", arm_loads)
    assert found.proposals
    assert all(len(one.candidate.settings) <= 2 for one in found.proposals)


def test_the_plain_values_have_the_keys_of_the_design():
    measured = measured_of(carried(50), exercise("b"), vocabulary=PULLEY)
    values = filling_values(fill(measured, "a", "b", arm_loads))
    assert {"from", "to", "size", "rungs", "proposals", "last_step_size", "blocked_by"} <= set(
        values
    )
    assert {"id", "title", "variation_of", "changes", "demand_nm", "step_size"} <= set(
        values["proposals"][0]
    )
    blocked = filling_values(fill(measured_of(exercise("a"), exercise("b", "a")), "a", "b"))
    assert {"axis", "from", "to", "limit"} <= set(blocked["blocked_by"])
