"""The rules that are held against a session: an exercise's, its ladder's, the library's.

All that judging needs of a library, as plain values: `rungbook.ladder.after` judges by it, and so
does the browser.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from rungbook.ladder.filters import Filters, ordered_for
from rungbook.ladder.flare_up import (
    entry_of,
    flare_up_rules,
    lasting,
    one_rung_back,
    parse_time,
)
from rungbook.ladder.measured import MeasuredLadder, MeasuredLibrary
from rungbook.ladder.pain import pain_rule_of
from rungbook.ladder.question import ladder_of
from rungbook.model.criterion import SETTLED_HOURS, Criteria
from rungbook.model.exercise import Exercise
from rungbook.model.library import FlareUpRule

COMMON = "common practice"
Back = Literal["same rung", "one rung", "entry"]


@dataclass(frozen=True, slots=True)
class FlareUp:
    """A flare-up rule: over `least_h` and up to `most_h` hours, pain above `worse_than` of 10."""

    lasts: str
    least_h: float
    most_h: float
    worse_than: float | None
    do: str
    back: Back | None
    to: str
    source: str | None


@dataclass(frozen=True, slots=True)
class PainLimit:
    """How much pain is allowed during the exercise, and in how many hours it has to settle."""

    during: float | None
    settled_h: float | None
    says: str
    source: str | None


@dataclass(frozen=True, slots=True)
class Onward:
    """A step on: to an exercise, or to the end of the ladder where `to` is empty."""

    to: str
    title: str
    when: Criteria
    sessions: float | None = None
    days: float | None = None
    source: str | None = None


@dataclass(frozen=True, slots=True)
class RulesFor:
    """Everything a session of one exercise is held against, on one ladder or none.

    `flags` are danger signs (key, title); `order` says how the exercise breaks an order in force.
    """

    exercise: str
    title: str
    ladder: str | None
    flags: tuple[tuple[str, str], ...]
    order: str | None
    back_off: Criteria
    one_back: str
    entry: bool
    flare_ups: tuple[FlareUp, ...]
    pain: PainLimit | None
    onward: tuple[Onward, ...]
    quota: bool


def rules_for(
    measured: MeasuredLibrary,
    exercise_id: str,
    ladder: str | None = None,
    weeks: float | None = None,
) -> RulesFor:
    """The rules of a known exercise; `ladder` is one that holds it, the first by id without it."""
    exercise = measured.library.exercises[exercise_id]
    one = measured.ladders[ladder] if ladder else ladder_of(measured, exercise_id)
    goal = one.ladder.goal if one else exercise_id
    orders = Filters(restrictions=ordered_for(measured, exercise_id), weeks=weeks)
    back = one_rung_back(measured, exercise_id, goal, Filters(), one.ladder.id if one else None)
    return RulesFor(
        exercise_id,
        exercise.title,
        one.ladder.id if one else None,
        tuple(_flags(measured, exercise, one)),
        orders.objection(exercise, measured.loads.get(exercise_id)),
        exercise.back_off,
        back,
        back == exercise_id,
        tuple(_flare_ups(measured, exercise_id, goal, one)),
        _pain(measured, one),
        tuple(_onward(measured, exercise, one)),
        one is not None and one.ladder.rule == "quota",
    )


def _flags(
    measured: MeasuredLibrary, exercise: Exercise, ladder: MeasuredLadder | None
) -> Iterator[tuple[str, str]]:
    """The danger signs of the exercise, then of the other rungs of its ladder."""
    exercises, terms = measured.library.exercises, measured.library.vocabulary.cautions
    on_ladder = [exercises[rung] for rung in ladder.rungs] if ladder else []
    for key in dict.fromkeys(key for one in (exercise, *on_ladder) for key in one.cautions):
        if key in terms and terms[key].red_flag:
            yield key, terms[key].title


def _flare_ups(
    measured: MeasuredLibrary, exercise: str, goal: str, ladder: MeasuredLadder | None
) -> Iterator[FlareUp]:
    before = 0.0
    for rule in flare_up_rules(measured):
        least, most = lasting(rule.lasts, before)
        before = most if most != float("inf") else before
        to = _back_to(measured, rule, exercise, goal, ladder)
        worse = pain_of(rule.worse_than)
        yield FlareUp(rule.lasts, least, most, worse, rule.do, rule.back, to, rule.source)


def _back_to(
    measured: MeasuredLibrary,
    rule: FlareUpRule,
    exercise: str,
    goal: str,
    ladder: MeasuredLadder | None,
) -> str:
    if rule.back == "entry" and ladder is not None:
        return entry_of(ladder)
    if rule.back == "one rung":
        id = ladder.ladder.id if ladder else None
        return one_rung_back(measured, exercise, goal, Filters(), id)
    return exercise


def pain_of(text: str | None) -> float | None:
    """The pain of 10 that a text such as `5 of 10` names."""
    found = re.search(r"\d+(?:\.\d+)?", text or "")
    return float(found[0]) if found and float(found[0]) <= 10 else None


def settle_hours(text: str | None) -> float | None:
    """`next morning`, `that night`, `24 hours` in hours; None where it is no time."""
    plain = (text or "").strip().removeprefix("the ")
    for word, hours in SETTLED_HOURS.items():
        if plain == word:
            return hours
    try:
        return parse_time(plain)
    except ValueError:
        return None


def _pain(measured: MeasuredLibrary, ladder: MeasuredLadder | None) -> PainLimit | None:
    inherited = measured.library.settings.pain_rule
    rule = pain_rule_of(ladder.ladder, inherited) if ladder else inherited
    if rule is None or (rule.during is None and rule.settles_within is None):
        return None
    says = [
        f"pain up to {rule.during:g} of 10" if rule.during is not None else "",
        f"settled by {rule.settles_within}" if rule.settles_within else "",
    ]
    hours = settle_hours(rule.settles_within)
    return PainLimit(rule.during, hours, ", ".join(filter(None, says)), rule.source)


def _onward(
    measured: MeasuredLibrary, exercise: Exercise, ladder: MeasuredLadder | None
) -> Iterator[Onward]:
    exercises = measured.library.exercises
    for one in exercise.ways:
        if one.to not in exercises:
            continue
        after = one.after
        count = after.count if after else None
        of_sessions = after is not None and after.unit == "sessions"
        yield Onward(
            one.to,
            exercises[one.to].title,
            one.when,
            count if of_sessions else None,
            None if of_sessions else count,
            next(iter(one.sources), None),
        )
    if ladder is not None and ladder.ladder.goal == exercise.id and ladder.ladder.goal_met:
        yield Onward("", "the goal", ladder.ladder.goal_met)


def word_keys(rules: RulesFor) -> dict[str, list[str]]:
    """The keys of the criteria in words, by the list they stand in."""
    lists = [("back-off", rules.back_off)]
    lists += [(one.to or "goal", one.when) for one in rules.onward]
    return {
        name: [f"{name} {number}" for number, one in enumerate(criteria, 1) if one.words]
        for name, criteria in lists
    }
