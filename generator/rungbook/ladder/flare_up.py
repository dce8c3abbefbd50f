"""The way back after a flare-up, by how long it lasted."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass

from rungbook.ladder.filters import Filters
from rungbook.ladder.graph import regressions_of
from rungbook.ladder.measured import MeasuredLadder, MeasuredLibrary
from rungbook.ladder.question import Question, ladder_of
from rungbook.ladder.routes import NoRoute, Route, route
from rungbook.model.ladder import IRRITABILITIES
from rungbook.model.library import FlareUpRule

HOURS = {"hour": 1.0, "day": 24.0, "night": 24.0, "week": 168.0, "month": 730.5}
SEVERAL_DAYS = 72.0
DEFAULT_RULES = (
    FlareUpRule(lasts="up to 24 hours", do="Stay on this rung with half the volume until calm.",
                back="same rung", source="common practice"),
    FlareUpRule(lasts="more than 24 hours", do="Go back one rung until calm.",
                back="one rung", source="common practice"),
    FlareUpRule(lasts="more than 3 days", do="Go back to the first exercise and ask the clinician.",
                back="entry", source="common practice"),
)  # fmt: skip
BOUND = re.compile(
    r"(up to|until|within|less than|more than|over|longer than|from|at least)\s+"
    r"(\d+(?:\.\d+)?|an?|one)\s+(hour|day|night|week|month)s?"
)


@dataclass(frozen=True, slots=True)
class WayBack:
    """Where to go back to by which rule, and the route up again from there."""

    rule: FlareUpRule
    back_to: str
    up: Route | NoRoute


def parse_time(text: str) -> float:
    """`2 days` in hours.

    Raises:
        ValueError: it is no time; the message says what is expected.
    """
    found = re.fullmatch(r"\s*(\d+(?:\.\d+)?|a|an|one)\s+(hour|day|night|week|month)s?\s*", text)
    if found is None:
        raise ValueError(f"'{text}' is not a time such as '12 hours', '2 days' or '1 week'")
    return (1.0 if found[1] in ("a", "an", "one") else float(found[1])) * HOURS[found[2]]


def lasting(text: str, before: float) -> tuple[float, float]:
    """The times that a rule's `lasts` names, in hours: over the first, up to the second.

    `before` is where the rule before it ends: what `longer` is longer than.
    """
    least, most = 0.0, math.inf
    for bound, number, word in BOUND.findall(text.lower()):
        hours = (1.0 if number in ("a", "an", "one") else float(number)) * HOURS[word]
        if bound in ("up to", "until", "within", "less than"):
            most = hours
        else:
            least = hours
    if "several days" in text.lower():
        least = SEVERAL_DAYS
    if least == 0.0 and most == math.inf:
        least = before
    return least, most


def rule_for(rules: tuple[FlareUpRule, ...], hours: float) -> FlareUpRule:
    """The rule for a flare-up of so many hours: of those that fit, the one that starts latest.

    Where none fits (a gap between the rules), the next longer one, else the last.
    """
    before, spans = 0.0, []
    for number, rule in enumerate(rules):
        least, most = lasting(rule.lasts, before)
        spans.append((least, most, number))
        before = most if most < math.inf else before
    fitting = [span for span in spans if span[0] < hours <= span[1]]
    if fitting:
        return rules[max(fitting)[2]]
    later = [span for span in spans if span[0] >= hours]
    return rules[min(later)[2]] if later else rules[-1]


def way_back(
    measured: MeasuredLibrary,
    from_id: str,
    to_id: str,
    hours: float,
    filters: Filters | None = None,
    ladder_id: str | None = None,
) -> WayBack:
    """Back from the exercise that flared up by the library's rule, then up again to `to_id`.

    `ladder_id` is the ladder that measures, where not the first that holds both.
    """
    rule = rule_for(flare_up_rules(measured), hours)
    return back_by(measured, rule, from_id, to_id, filters or Filters(), ladder_id)


def flare_up_rules(measured: MeasuredLibrary) -> tuple[FlareUpRule, ...]:
    """The library's rules, or the usual ones where it writes none."""
    return measured.library.settings.flare_up or DEFAULT_RULES


def back_by(
    measured: MeasuredLibrary,
    rule: FlareUpRule,
    from_id: str,
    to_id: str,
    filters: Filters,
    ladder_id: str | None = None,
) -> WayBack:
    """Where one rule leads back to, and the way up again."""
    ladder = _ladder(measured, from_id, to_id, ladder_id)
    back_to = from_id
    if rule.back == "one rung":
        back_to = one_rung_back(measured, from_id, to_id, filters, ladder_id)
    elif rule.back == "entry" and ladder is not None:
        back_to = entry_of(ladder)
    if back_to == to_id:
        return WayBack(rule, back_to, Route(back_to, to_id, (back_to,), (), 0.0, 0, ladder))
    return WayBack(rule, back_to, route(measured, back_to, to_id, filters, ladder_id))


def _ladder(
    measured: MeasuredLibrary, from_id: str, to_id: str, ladder_id: str | None
) -> MeasuredLadder | None:
    if ladder_id is not None:
        return measured.ladders[ladder_id]
    return ladder_of(measured, from_id, to_id) or ladder_of(measured, from_id)


def one_rung_back(
    measured: MeasuredLibrary,
    from_id: str,
    to_id: str,
    filters: Filters,
    ladder_id: str | None = None,
) -> str:
    """The easier neighbour the step up from which is smallest; on the ladder if there is one.

    The exercise itself where nothing easier leads to it.
    """
    ladder = _ladder(measured, from_id, to_id, ladder_id)
    members = set(ladder.rungs) if ladder else set()
    question = Question.of(measured, from_id, to_id, ladder_id)
    easier = [
        one
        for one in regressions_of(measured.graph, from_id)
        if one != from_id
        and not filters.objection(measured.library.exercises[one], measured.loads.get(one))
    ]

    def preference(one: str) -> tuple[bool, float, str]:
        ends = [measured.profiles[id] for id in (one, from_id) if id in measured.profiles]
        size = question.step(*ends).size if len(ends) == 2 else math.inf
        return one not in members, size, one

    return min(easier, key=preference, default=from_id)


def entry_of(ladder: MeasuredLadder) -> str:
    """The entry for the most irritable, or the first rung where a ladder names no entries."""
    for word in IRRITABILITIES:
        entry = ladder.ladder.entries.get(word)
        if entry is not None and entry in ladder.rungs:
            return entry
    return ladder.rungs[0]
