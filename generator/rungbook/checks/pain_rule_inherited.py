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
    """One finding for each such ladder without a rule of its own (which reading wants sourced)."""
    for ladder in measured.library.ladders.values():
        rule = ladder.pain_rule
        if ladder.condition in NO_INHERITED_PAIN_RULE and not isinstance(rule, PainRule):
            yield Finding(
                name,
                level,
                f"{ladder.id} is for a {ladder.condition} condition, and it inherits the library's "
                "pain rule. Write `pain-rule` with its own thresholds and source.",
                ladder.place("condition" if rule is None else "pain-rule"),
                ladder=ladder.id,
            )
