"""What happened in a session and after it, and whether a criterion holds then.

Nothing here is kept: a session is what a clinician says of today, and of last time where she does.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Literal

from rungbook.model.criterion import SETTLED_HOURS, Criterion, NumberBound, amount
from rungbook.reading.functional_tests import functional_tests

NOT_YET = math.inf
Swelling = Literal["none", "less", "same", "more"]
SWELLINGS: tuple[Swelling, ...] = ("none", "less", "same", "more")
# Effort is this less the repetitions in reserve (Zourdos 2016, from memory).
EFFORT_OF_NONE_LEFT = 10.0


@dataclass(frozen=True, slots=True)
class Session:
    """Pain and effort of 10, times in hours and weeks; None is what nobody said.

    `red_flags` are those that hold, or None where nobody looked; `settled_h` is how long pain took
    to be back at its level, `NOT_YET` where it has not. `answers` are the criteria in words that
    hold (True) or do not, by key; `last` is the session before, `held_last` whether the criteria
    held then, where that is told instead.
    """

    red_flags: frozenset[str] | None = None
    giving_way: bool | None = None
    pain_before: float | None = None
    pain_during: float | None = None
    pain_night: float | None = None
    pain_next_morning: float | None = None
    settled_h: float | None = None
    swelling: Swelling | None = None
    sets: int | None = None
    reps: int | None = None
    hold_s: float | None = None
    effort: float | None = None
    sessions: float | None = None
    weeks: float | None = None
    missed_weeks: float | None = None
    held_last: bool | None = None
    last: Session | None = None
    answers: Mapping[str, bool] = field(default_factory=dict)
    tests: Mapping[str, float] = field(default_factory=dict)

    @property
    def worst(self) -> float | None:
        """The worst pain that is told of."""
        told = (self.pain_during, self.pain_night, self.pain_next_morning)
        return max((one for one in told if one is not None), default=None)

    def settled_within(self, hours: float) -> bool | None:
        """Whether pain was back at its level in so many hours; None where nobody can say."""
        if self.settled_h is not None:
            return self.settled_h <= hours
        if self.worst == 0 and self.pain_during == 0:
            return True  # nothing had to settle
        usual = self.pain_before or 0.0
        looked = {
            SETTLED_HOURS["that night"]: self.pain_night,
            SETTLED_HOURS["next morning"]: self.pain_next_morning,
        }
        if any(at <= hours and pain is not None and pain <= usual for at, pain in looked.items()):
            return True
        known = looked.get(hours) is not None and self.pain_before is not None
        return False if known else None


def all_of(answers: Iterable[bool | None]) -> bool | None:
    """False where any is; None where any is not known; else True."""
    found = list(answers)
    if any(one is False for one in found):
        return False
    return None if any(one is None for one in found) else True


def holds(criterion: Criterion, session: Session, key: str) -> bool | None:
    """Whether a criterion holds; `key` is what its words are answered under."""
    return all_of(_parts(criterion, session, key))


def _parts(one: Criterion, session: Session, key: str) -> Iterator[bool | None]:
    """An answer for everything the criterion asks."""
    for asked, done in ((one.sets, session.sets), (one.reps, session.reps),
                        (one.hold, session.hold_s)):  # fmt: skip
        if asked is not None:
            yield None if done is None else done >= asked
    for bound, told in (
        (one.effort, session.effort),
        (one.next_morning, session.pain_next_morning),
    ):
        if bound is not None:
            yield None if told is None else bound.holds(told)
    if one.pain is not None:
        yield _pain(session, one.pain)
    if one.settled is not None:
        yield session.settled_within(SETTLED_HOURS[one.settled])
    if one.not_settled is not None:
        settled = session.settled_within(SETTLED_HOURS[one.not_settled])
        yield None if settled is None else not settled
    if one.swelling is not None:
        yield _swelling(session.swelling, one.swelling)
    if one.test is not None:
        yield _test(session.tests.get(one.test), one)
    if one.words is not None:
        yield session.answers.get(key)


def _pain(session: Session, bound: NumberBound) -> bool | None:
    """The worst that is told of: any of it may break a bound, the session itself has to keep it."""
    worst = session.worst
    if worst is None:
        return None
    upward = bound.relation in ("above", "at least")
    settled = bound.holds(worst) == upward or session.pain_during is not None
    return bound.holds(worst) if settled else None


def _swelling(told: Swelling | None, asked: str) -> bool | None:
    if told is None:
        return None
    if asked == "none":
        return told == "none"
    return (told == "more") == (asked == "more")


def _test(result: float | None, criterion: Criterion) -> bool | None:
    if result is None or criterion.test is None:
        return None
    unit = functional_tests()[criterion.test].unit
    if criterion.at_least is not None:
        return result >= amount(criterion.at_least, unit)
    return criterion.at_most is None or result <= amount(criterion.at_most, unit)
