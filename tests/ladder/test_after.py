"""What the rules say after a session: case by case, the more cautious first."""

import math

import pytest

from builders.loads import exercise, load, measured_of
from rungbook.ladder.after import after
from rungbook.ladder.session import Session, holds
from rungbook.ladder.session_line import read_session_line, session_line
from rungbook.ladder.session_rules import rules_for
from rungbook.model.criterion import Criterion
from rungbook.model.ladder import Ladder
from rungbook.model.library import FlareUpRule, PainRule, Settings, Term, Vocabulary

FLARE_UP = [
    {"lasts": "up to 24 hours", "worse-than": "3 of 10", "do": "Half.", "back": "same rung"},
    {"lasts": "more than 24 hours and up to 3 days", "worse-than": "3 of 10", "do": "Down.",
     "back": "one rung"},
    {"lasts": "more than 3 days", "do": "Start again.", "back": "entry"},
]  # fmt: skip
WHEN = (
    {"sets": 3, "reps": 15, "effort": "up to 4"},
    {"pain": "up to 2", "settled": "next morning"},
)
# A calm session in which everything holds, twice running.
GOOD = {
    "red_flags": frozenset(), "giving_way": False, "pain_during": 2.0, "pain_next_morning": 0.0,
    "sets": 3, "reps": 15, "effort": 4.0, "sessions": 6.0, "held_last": True,
    "answers": {"back-off 2": False},
}  # fmt: skip


def rules(on="middle", **ladder):
    steps = {"to": "top", "when": WHEN, "after": "5 sessions", "sources": ("revak",)}
    backs = ({"pain": "above 5"}, "the knee gives a jolt")
    cautions = {"progressions": ({"to": "middle", "when": ("calm",)},), "cautions": ("clot",)}
    rungs = [
        exercise("first", "low", back_off=()),
        exercise("low", back_off=(), **cautions),
        exercise("middle", progressions=(steps,), back_off=backs),
        exercise("top", back_off=()),
    ]
    settings = Settings(
        flare_up=tuple(FlareUpRule.model_validate(one) for one in FLARE_UP),
        pain_rule=PainRule(during=5, settles_within="next morning", source="silbernagel"),
    )
    given = {"id": "l", "title": "L", "goal": "top", "works": "shoulder flexion",
             "entries": {"high": "first"}, "pain-rule": "default", **ladder}  # fmt: skip
    measured = measured_of(
        *rungs,
        loads={one.id: load(one.id, 10.0 + n) for n, one in enumerate(rungs)},
        ladders=[Ladder.model_validate(given)],
        settings=settings,
        vocabulary=Vocabulary(cautions={"clot": Term(title="A clot", red_flag=True)}),
    )
    return rules_for(measured, on)


def judged(on="middle", ladder=None, **changes):
    return after(rules(on, **(ladder or {})), Session(**{**GOOD, **changes}))


def test_all_holds_twice_running_and_the_danger_signs_were_looked_for():
    found = judged()
    assert (found.outcome, found.to, found.conflict) == ("criteria-met", ("top",), ())


def test_a_danger_sign_of_any_rung_stops_whatever_else_holds():
    found = judged(red_flags=frozenset({"clot"}))
    assert found.outcome == "stop" and found.to == ()
    assert found.advice == "Stop, and examine or refer."


def test_a_joint_that_gives_way_stops():
    assert judged(giving_way=True).outcome == "stop"


@pytest.mark.parametrize(
    "unanswered",
    ["red_flags", "giving_way", "pain_during", "effort", "sets", "sessions", "held_last"],
)
def test_nobody_can_say_with_anything_unanswered(unanswered):
    found = judged(**{unanswered: None})
    assert found.outcome == "cannot-say" and found.to == ()


def test_nor_with_a_back_off_in_words_unanswered():
    assert judged(answers={}).outcome == "cannot-say"


def test_nothing_told_is_nothing_said():
    assert after(rules(), Session()).outcome == "cannot-say"


def test_one_back_off_that_holds_leads_one_rung_back():
    found = judged(answers={"back-off 2": True})
    assert (found.outcome, found.to) == ("back", ("low",))


@pytest.mark.parametrize(
    ("changes", "outcome", "to"),
    [
        ({"pain_during": 4.0, "pain_next_morning": 0.0}, "stay", ()),  # up to a day: half
        ({"pain_during": 4.0, "pain_next_morning": None, "settled_h": 48.0}, "back", ("low",)),
        ({"pain_during": 2.0, "settled_h": 100.0}, "back", ("first",)),
        ({"pain_during": 2.0, "settled_h": math.inf}, "back", ("first",)),
        ({"pain_during": 6.0, "pain_next_morning": 0.0}, "back", ("low",)),  # by the back-off
    ],
)
def test_a_flare_up_leads_as_far_back_as_it_lasted(changes, outcome, to):
    found = judged(**changes)
    assert (found.outcome, found.to) == (outcome, to)


def test_where_rules_disagree_the_more_cautious_holds_and_both_are_shown():
    """Pain of 6 that is gone the next morning: back by the back-off, stay by the flare-up rule."""
    found = judged(pain_during=6.0, pain_next_morning=0.0)
    assert found.outcome == "back"
    assert [(one.leads, one.rule) for one in found.conflict] == [
        ("back", "back-off"), ("stay", "flare-up"),
    ]  # fmt: skip


def test_criteria_that_hold_do_not_overrule_a_back_off():
    found = judged(answers={"back-off 2": True})
    assert [one.leads for one in found.conflict] == ["back", "on"]


def test_more_swelling_is_no_step_on():
    assert judged(swelling="more").outcome == "stay"


@pytest.mark.parametrize(
    "changes",
    [{"reps": 14}, {"effort": 5.0}, {"sessions": 4.0}, {"held_last": False}],
)
def test_one_criterion_short_is_to_stay(changes):
    assert judged(**changes).outcome == "stay"


def test_two_weeks_missed_are_one_rung():
    assert judged(missed_weeks=1.9).outcome == "criteria-met"
    found = judged(missed_weeks=2.0)
    assert (found.outcome, found.to) == ("back", ("low",))


def test_an_entry_has_nothing_easier_less_of_it_then_call():
    found = judged("first", answers={}, settled_h=48.0, pain_during=4.0, pain_next_morning=None)
    assert (found.outcome, found.to) == ("back", ("first",))
    assert found.advice == "Nothing easier leads to it: less of it, then call."


def test_a_calm_session_of_little_effort_says_that_more_may_be_offered():
    assert "little effort" in {one.rule for one in judged(effort=3.0, sessions=2.0).rules}
    assert "little effort" not in {one.rule for one in judged(effort=4.0).rules}


def test_three_weeks_on_a_rung_say_to_look_again():
    assert "no gain" in {one.rule for one in judged(weeks=3.0, reps=8).rules}


def test_last_time_is_read_from_the_line_for_the_notes():
    before = read_session_line("pain 2 during, 0 next morning; 3 x 15; effort 4")
    assert judged(held_last=None, last=before).outcome == "criteria-met"
    before = read_session_line("pain 3 during, 0 next morning; 3 x 15; effort 4")
    assert judged(held_last=None, last=before).outcome == "stay"


def test_a_quota_is_the_planned_amount_on_bad_days_too_and_danger_still_stops():
    quota = {"rule": "quota"}
    bad = {"pain_during": 6.0, "settled_h": 48.0, "pain_next_morning": None}
    assert judged(ladder=quota, **bad, reps=10).outcome == "stay"
    assert judged(ladder=quota, **bad).outcome == "criteria-met"  # by the amount alone
    assert judged(ladder=quota, **bad, red_flags=frozenset({"clot"})).outcome == "stop"


def test_without_criteria_nobody_steps_on():
    met = judged("low", answers={"middle 1": True})
    assert (met.outcome, met.to) == ("criteria-met", ("middle",))
    assert judged("top").outcome == "stay"


def test_every_rule_names_what_it_says_and_its_source():
    said = {one.rule: one for one in judged().rules}
    assert said["pain rule"].source == "silbernagel" and said["criterion"].source == "revak"
    assert said["stop sign"].source == "common practice"
    assert all(one.says for one in judged().rules)


@pytest.mark.parametrize(
    ("told", "hours", "answer"),
    [
        ({}, 24, None),
        ({"settled_h": 12.0}, 24, True),
        ({"settled_h": 48.0}, 24, False),
        ({"pain_during": 0.0}, 12, True),
        ({"pain_during": 4.0, "pain_next_morning": 0.0}, 24, True),
        ({"pain_during": 4.0, "pain_next_morning": 0.0}, 12, None),
        ({"pain_during": 4.0, "pain_night": 0.0}, 24, True),
        ({"pain_before": 2.0, "pain_during": 4.0, "pain_next_morning": 3.0}, 24, False),
        ({"pain_during": 4.0, "pain_next_morning": 3.0}, 24, None),  # its usual level is not told
    ],
)
def test_when_pain_has_settled(told, hours, answer):
    assert Session(**told).settled_within(hours) is answer


@pytest.mark.parametrize(
    ("figures", "told", "answer"),
    [
        ({"pain": "up to 3"}, {"pain_during": 2.0}, True),
        ({"pain": "up to 3"}, {"pain_during": 2.0, "pain_night": 4.0}, False),
        ({"pain": "up to 3"}, {"pain_night": 2.0}, None),
        ({"pain": "above 5"}, {"pain_night": 6.0}, True),
        ({"pain": "above 5"}, {"pain_night": 4.0}, None),
        ({"sets": 3, "reps": 12}, {"sets": 3}, None),
        ({"sets": 3, "reps": 12}, {"sets": 2}, False),
        ({"not-settled": "next morning"}, {"settled_h": 30.0}, True),
        ({"swelling": "none"}, {"swelling": "same"}, False),
        ({"swelling": "no more"}, {"swelling": "same"}, True),
        ({"test": "chair-stand-30s", "at-least": 12.0}, {"tests": {"chair-stand-30s": 11.0}}, False),
        ({"test": "five-chair-stands", "at-most": "15 s"},
         {"tests": {"five-chair-stands": 15.0}}, True),
        ({"words": "level", "sets": 3}, {"sets": 3}, None),
        ({"words": "level", "sets": 3}, {"sets": 3, "answers": {"k": True}}, True),
    ],
)  # fmt: skip
def test_a_criterion_against_what_happened(figures, told, answer):
    assert holds(Criterion.model_validate(figures), Session(**told), "k") is answer


def test_a_line_for_the_notes_is_read_back():
    told = Session(pain_before=1.0, pain_during=3.0, pain_night=2.5, pain_next_morning=0.0,
                   settled_h=24.0, sets=3, reps=12, effort=6.0, swelling="same", sessions=7.0)  # fmt: skip
    line = session_line(told)
    assert line == (
        "pain 1 before, 3 during, 2.5 at night, 0 next morning; settled in 24 h; 3 x 12; "
        "effort 6; swelling same; session 7"
    )
    assert read_session_line(line) == told
    assert session_line(read_session_line("2 x 30 s, not settled")) == "not settled; 2 x 30 s"


@pytest.mark.parametrize("line", ["felt fine", "pain 11 during", "effort 12"])
def test_a_line_that_tells_nothing_or_too_much_is_refused(line):
    with pytest.raises(ValueError):
        read_session_line(line)
