"""A ladder for a nerve, an operation or a bone stress injury that inherits the library's pain rule.

"Some pain is acceptable" was studied for tendons. For these conditions it can do harm, so the
ladder states its own rule and where it comes from.

Mend it by writing `pain-rule` with its own thresholds and source, as the surgeon or the local
protocol orders.

Fails:

    [exercises/leg/squat.md]
    title: Squat
    [ladders/leg.md]
    title: After the operation
    condition: post-operative
    goal: squat
    entries: {high: squat}

Passes:

    [exercises/leg/squat.md]
    title: Squat
    [ladders/leg.md]
    title: After the operation
    condition: post-operative
    goal: squat
    entries: {high: squat}
    pain-rule: {during: 2, source: protocol}
    [vocabulary/sources.yml]
    protocol: {title: Protocol of the ward}
"""

from __future__ import annotations

from collections.abc import Iterator

from rungbook.ladder.measured import MeasuredLibrary
from rungbook.model.finding import Finding, Level
from rungbook.model.ladder import NO_INHERITED_PAIN_RULE, PainRule

name = "pain-rule-inherited"
level: Level = "error"


def check(measured: MeasuredLibrary) -> Iterator[Finding]:
    """One finding for each such ladder without a sourced rule of its own."""
    for ladder in measured.library.ladders.values():
        if ladder.condition not in NO_INHERITED_PAIN_RULE:
            continue
        rule = ladder.pain_rule
        if isinstance(rule, PainRule) and rule.source:
            continue
        fault = (
            "its pain rule names no source"
            if isinstance(rule, PainRule)
            else "it inherits the library's pain rule"
        )
        path = ("condition",) if rule is None else ("pain-rule",)
        yield Finding(
            name,
            level,
            f"{ladder.id} is for a {ladder.condition} condition, and {fault}. "
            "Write `pain-rule` with its own thresholds and source.",
            ladder.place(*path),
            ladder=ladder.id,
        )
