"""What the rules say after a session: stop, back, stay, criteria met, or that nobody can say.

Every rule is held against what was told; the more cautious wins, and where rules lead different
ways both are shown. A step on needs every criterion answered and holding in two sessions running,
the danger signs looked for, and no swelling on the rise. It shows what the rules say; it never
decides.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from rungbook.ladder.session import Session, all_of, holds
from rungbook.ladder.session_rules import COMMON, Onward, RulesFor
from rungbook.model.criterion import Criterion

Outcome = Literal["stop", "back", "stay", "criteria-met", "cannot-say"]
Leads = Literal["stop", "back", "stay", "on", ""]
LITTLE_EFFORT = 3.0  # of 10: calm and no more than this, and more may be offered
LOOK_AGAIN_WEEKS = 3.0
MISSED_WEEKS = 2.0
ABOUT_PAIN = frozenset({"pain", "next_morning", "settled", "not_settled"})


@dataclass(frozen=True, slots=True)
class Said:
    """What one rule says. `met` is whether what it names holds, None where nobody can say.

    `leads` is where it leads as things are, `to` the exercise it leads to, `key` what a criterion
    in words is answered under.
    """

    rule: str
    says: str
    met: bool | None
    leads: Leads = ""
    to: str = ""
    source: str | None = None
    key: str = ""


@dataclass(frozen=True, slots=True)
class After:
    """The outcome, where it leads, every rule, and which of them disagree."""

    exercise: str
    outcome: Outcome
    to: tuple[str, ...]
    rules: tuple[Said, ...]
    advice: str
    conflict: tuple[Said, ...] = ()


def after(rules: RulesFor, session: Session) -> After:
    """What the rules of an exercise say of a session."""
    said = list(_against(rules, session))
    steps = [_step_on(one, rules, session) for one in rules.onward]
    careful = all_of(_needed(rules, said))
    for own, (_, ready) in zip(rules.onward, steps, strict=True):
        if ready:
            said.append(Said("step on", f"the criteria for {own.title} hold", True, "on", own.to))
    said += _little_effort(session, careful)
    told = (*said, *(one for own, _ in steps for one in own))
    leads = {one.leads for one in told if one.leads}
    conflict = _conflict(told) if len(leads) > 1 else ()
    for outcome in ("stop", "back", "stay"):
        if outcome in leads:
            return _outcome(rules, outcome, told, conflict)
    if "on" in leads and careful:
        return _outcome(rules, "criteria-met", told, ())
    unknown = careful is None or any(ready is None for _, ready in steps)
    return _outcome(rules, "cannot-say" if unknown else "stay", told, ())


def _little_effort(session: Session, careful: bool | None) -> Iterator[Said]:
    if careful and session.effort is not None and session.effort <= LITTLE_EFFORT:
        says = "calm, and effort of 3 or less: more may be offered, repetitions before load"
        yield Said("little effort", says, True, source=COMMON)


def _against(rules: RulesFor, session: Session) -> Iterator[Said]:
    """Everything but the steps on, in the order in which it is looked at."""
    looked = session.red_flags is not None
    for key, title in rules.flags:
        met = key in (session.red_flags or ()) if looked else None
        yield Said("red flag", title, met, "stop" if met else "", key=key)
    way = session.giving_way
    yield Said("stop sign", "the joint gives way", way, "stop" if way else "", source=COMMON)
    if rules.order is not None:
        yield Said("order", f"{rules.exercise} {rules.order}", True, "back", rules.one_back)
    for number, one in enumerate(rules.back_off):
        yield _back_off(rules, session, one, f"back-off {number + 1}")
    yield from _flared(rules, session)
    yield from _pain(rules, session)
    if session.swelling == "more":
        yield Said("swelling", "swelling is rising: no step on", True, "stay", source=COMMON)
    if session.missed_weeks is not None and session.missed_weeks >= MISSED_WEEKS:
        says = "two weeks were missed: one rung back"
        yield Said("missed", says, True, "back", rules.one_back, COMMON)
    if session.weeks is not None and session.weeks >= LOOK_AGAIN_WEEKS:
        says = "three weeks or more on this rung: where nothing is gained, look again"
        yield Said("no gain", says, True, source=COMMON)
    if rules.quota:
        says = "the planned amount, on good days and on bad ones"
        yield Said("quota", says, True, "stay" if _not_the_amount(rules, session) else "")


def _back_off(rules: RulesFor, session: Session, one: Criterion, key: str) -> Said:
    met = holds(one, session, key)
    leads: Leads = "back" if met and not (rules.quota and _about_pain(one)) else ""
    to = rules.one_back if leads else ""
    return Said("back-off", str(one), met, leads, to, key=key if one.words is not None else "")


def _about_pain(one: Criterion) -> bool:
    return bool(one.model_fields_set & ABOUT_PAIN)


def _flared(rules: RulesFor, session: Session) -> Iterator[Said]:
    """Whether a flare-up rule holds: by how long it lasted, and how bad it was at its worst."""
    for one in rules.flare_ups:
        answers = [_over(session, one.least_h), _up_to(session, one.most_h)]
        if one.worse_than is not None:
            worst = session.worst
            answers.append(None if worst is None else worst > one.worse_than)
        elif session.worst is not None:
            answers.append(session.worst > 0)
        met = all_of(answers)
        leads: Leads = ""
        if met and not rules.quota:
            leads = "stay" if one.to == rules.exercise and one.back == "same rung" else "back"
        worse = f", worse than {one.worse_than:g} of 10" if one.worse_than is not None else ""
        says = f"{one.lasts}{worse}: {one.do}"
        yield Said("flare-up", says, met, leads, one.to if leads == "back" else "", one.source)


def _over(session: Session, hours: float) -> bool | None:
    if hours <= 0:
        return True
    found = session.settled_within(hours)
    return None if found is None else not found


def _up_to(session: Session, hours: float) -> bool | None:
    return True if hours == float("inf") else session.settled_within(hours)


def _pain(rules: RulesFor, session: Session) -> Iterator[Said]:
    limit = rules.pain
    if limit is None:
        return
    answers: list[bool | None] = []
    if limit.during is not None:
        during = session.pain_during
        answers.append(None if during is None else during <= limit.during)
    if limit.settled_h is not None:
        answers.append(session.settled_within(limit.settled_h))
    met = all_of(answers)
    leads: Leads = "stay" if met is False and not rules.quota else ""
    yield Said("pain rule", limit.says, met, leads, source=limit.source)


def _needed(rules: RulesFor, said: list[Said]) -> Iterator[bool | None]:
    """What has to be known, and well, before any step on."""
    for one in said:
        if one.rule in ("red flag", "stop sign", "back-off", "flare-up"):
            counted = not rules.quota or one.rule in ("red flag", "stop sign") or bool(one.key)
            yield (None if one.met is None else not one.met) if counted else True
        elif one.rule == "pain rule" and not rules.quota:
            yield one.met


def _step_on(
    own: Onward, rules: RulesFor, session: Session
) -> tuple[tuple[Said, ...], bool | None]:
    """What the criteria of a step on say, and whether all hold."""
    name = own.to or "goal"
    found = []
    for index, one in enumerate(own.when):
        key = f"{name} {index + 1}"
        met = holds(_without_pain(one) if rules.quota else one, session, key)
        asked = key if one.words is not None else ""
        found.append(Said("criterion", str(one), met, to=own.to, source=own.source, key=asked))
    found += _least_time(own, session)
    says = "the same the session before"
    before = _held_before(own, rules, session)
    found.append(Said("two sessions", says, before, to=own.to, source=COMMON))
    if not own.when:
        return tuple(found), False  # without criteria nobody can say that they are met
    return tuple(found), all_of(one.met for one in found)


def _held_before(own: Onward, rules: RulesFor, session: Session) -> bool | None:
    """Whether what is in figures held the session before."""
    last = session.last
    if session.held_last is not None or last is None:
        return session.held_last
    kept = [_without_pain(one) if rules.quota else one for one in own.when if one.in_figures]
    if not kept:
        return None  # words are not in a line for the notes
    return all_of(holds(one.model_copy(update={"words": None}), last, "") for one in kept)


def _without_pain(one: Criterion) -> Criterion:
    kept = {name: getattr(one, name) for name in one.model_fields_set - ABOUT_PAIN}
    return Criterion.model_construct(**kept)


def _least_time(own: Onward, session: Session) -> Iterator[Said]:
    if own.sessions is not None:
        met = None if session.sessions is None else session.sessions >= own.sessions
        yield Said("least time", f"after {own.sessions:g} sessions", met, to=own.to)
    if own.days is not None:
        met = None if session.weeks is None else 7 * session.weeks >= own.days
        yield Said("least time", f"after {own.days:g} days", met, to=own.to)


def _not_the_amount(rules: RulesFor, session: Session) -> bool:
    """Under a quota: whether no step on is due by the amount done."""
    return not any(_step_on(own, rules, session)[1] for own in rules.onward)


def _conflict(told: tuple[Said, ...]) -> tuple[Said, ...]:
    """One rule for each way that rules lead, the more cautious first."""
    ways = ("stop", "back", "stay", "on")
    first = {one.leads: one for one in reversed(told) if one.leads}
    return tuple(first[way] for way in ways if way in first)


def _outcome(
    rules: RulesFor, outcome: Outcome, told: tuple[Said, ...], conflict: tuple[Said, ...]
) -> After:
    to = _targets(rules, outcome, told)
    return After(rules.exercise, outcome, to, told, _advice(rules, outcome, to), conflict)


def _targets(rules: RulesFor, outcome: Outcome, told: tuple[Said, ...]) -> tuple[str, ...]:
    if outcome == "criteria-met":
        return tuple(one.to for one in told if one.leads == "on" and one.to)
    if outcome != "back":
        return ()
    back = [one.to for one in told if one.leads == "back"]
    farther = [to for to in back if to not in (rules.one_back, rules.exercise)]
    return ((farther or [rules.one_back])[0],)


def _advice(rules: RulesFor, outcome: Outcome, to: tuple[str, ...]) -> str:
    match outcome:
        case "stop":
            return "Stop, and examine or refer."
        case "back" if to == (rules.exercise,):
            return "Nothing easier leads to it: less of it, then call."
        case "back":
            return "Back to the easier exercise."
        case "criteria-met":
            return "The criteria hold, in two sessions running."
        case "stay":
            return "The planned amount." if rules.quota else "Stay on this exercise."
        case _:
            return "The rules cannot say: something is not answered."
