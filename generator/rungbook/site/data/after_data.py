"""What a session is held against in the browser: the rules of one exercise, one set a ladder.

`scripts/after.js` judges by it as `rungbook.ladder.after` does. Nothing of it is about a patient.
"""

from __future__ import annotations

import math
from typing import Any

from rungbook.ladder.filters import ordered_for
from rungbook.ladder.measured import MeasuredLibrary
from rungbook.ladder.question import ladders_of
from rungbook.ladder.session_rules import FlareUp, Onward, PainLimit, RulesFor, rules_for
from rungbook.model.criterion import SETTLED_HOURS, Criterion, NumberBound, amount
from rungbook.model.exercise import Exercise
from rungbook.reading.functional_tests import functional_tests
from rungbook.site.data.limits_data import orders_record

Record = dict[str, Any]


def after_record(measured: MeasuredLibrary, exercise: Exercise) -> Record:
    """The rules on every ladder with the exercise, and the tests that some criterion asks for."""
    ladders = [one.ladder for one in ladders_of(measured, exercise.id)]
    rules = [rules_for(measured, exercise.id, one.id) for one in ladders]
    rules = rules or [rules_for(measured, exercise.id)]
    titles = [one.title for one in ladders] or [""]
    asked = {
        one.test
        for found in rules
        for criteria in (found.back_off, *(own.when for own in found.onward))
        for one in criteria
        if one.test
    }
    tests = functional_tests()
    return {
        "rules": [
            _rules(measured, exercise, one, title) for one, title in zip(rules, titles, strict=True)
        ],
        "tests": [[key, tests[key].title, tests[key].unit] for key in sorted(asked)],
    }


def _rules(measured: MeasuredLibrary, exercise: Exercise, rules: RulesFor, title: str) -> Record:
    load = measured.loads.get(exercise.id)
    to = {one.to for one in rules.flare_ups} | {one.to for one in rules.onward}
    to = (to | {rules.one_back}) - {""}
    return {
        "ladder": rules.ladder,
        "ladderTitle": title,
        "exercise": rules.exercise,
        "flags": [list(flag) for flag in rules.flags],
        "orders": list(orders_record(exercise, load, ordered_for(measured, exercise.id))),
        "backOff": [_criterion(one) for one in rules.back_off],
        "oneBack": rules.one_back,
        "flareUps": [_flare_up(one) for one in rules.flare_ups],
        "pain": None if rules.pain is None else _pain(rules.pain),
        "onward": [_onward(one) for one in rules.onward],
        "quota": rules.quota,
        "titles": [[id, measured.library.exercises[id].title] for id in sorted(to)],
    }


def _flare_up(one: FlareUp) -> Record:
    most = None if math.isinf(one.most_h) else one.most_h
    return {
        "lasts": one.lasts, "least": one.least_h, "most": most, "worseThan": one.worse_than,
        "do": one.do, "back": one.back, "to": one.to, "source": one.source,
    }  # fmt: skip


def _pain(one: PainLimit) -> Record:
    return {
        "during": one.during,
        "settled": one.settled_h,
        "says": one.says,
        "source": one.source,
    }


def _onward(one: Onward) -> Record:
    return {
        "to": one.to,
        "title": one.title,
        "when": [_criterion(each) for each in one.when],
        "sessions": one.sessions,
        "days": one.days,
        "source": one.source,
    }


def _criterion(one: Criterion) -> Record:
    """What is asked, each in its own unit; what is not is left out."""
    found: Record = {
        "says": str(one),
        "words": one.words,
        "sets": one.sets,
        "reps": one.reps,
        "hold": one.hold,
        "effort": _bound(one.effort),
        "nextMorning": _bound(one.next_morning),
        "pain": _bound(one.pain),
        "settled": SETTLED_HOURS[one.settled] if one.settled else None,
        "notSettled": SETTLED_HOURS[one.not_settled] if one.not_settled else None,
        "swelling": one.swelling,
    }
    if one.test:
        unit = functional_tests()[one.test].unit
        at = [None if each is None else amount(each, unit) for each in (one.at_least, one.at_most)]
        found |= {"test": one.test, "atLeast": at[0], "atMost": at[1]}
    return {key: value for key, value in found.items() if value is not None}


def _bound(one: NumberBound | None) -> list[Any] | None:
    return None if one is None else [one.relation, one.value]
