"""Which pain rule holds for an exercise."""

from __future__ import annotations

from rungbook.ladder.measured import MeasuredLibrary
from rungbook.model.ladder import NO_INHERITED_PAIN_RULE, Ladder, PainRule


def pain_rule_of(ladder: Ladder, inherited: PainRule | None) -> PainRule | None:
    """The ladder's own rule, else the library's where the ladder may take it."""
    if isinstance(ladder.pain_rule, PainRule):
        return ladder.pain_rule
    return None if ladder.condition in NO_INHERITED_PAIN_RULE else inherited


def pain_rule(measured: MeasuredLibrary, exercise: str) -> PainRule | None:
    """The strictest rule of the ladders the exercise is on; off ladders, the library's.

    None: nobody but the therapist can say (no rule is written, or the ladder's condition
    never takes the library's).
    """
    inherited = measured.library.settings.pain_rule
    rules = [
        pain_rule_of(standing.ladder.ladder, inherited)
        for standing in measured.standings.get(exercise, ())
    ]
    return min(rules, key=_strictness) if rules else inherited


def _strictness(rule: PainRule | None) -> float:
    if rule is None:
        return -1.0
    return 10.0 if rule.during is None else rule.during
