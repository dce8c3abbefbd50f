"""Which pain rule a patient's sheet prints for which exercise."""

from __future__ import annotations

from rungbook.model.ladder import PainRule
from rungbook.site.sheet.messages import Messages
from rungbook.site.sheet.time_words import settles


def pain_words(rule: PainRule | None, home: str, say: Messages) -> str:
    """The rule in the language of `say`, from its numbers where it has no text of its own."""
    if rule is None or (rule.during is None and not rule.text):
        return say("pain.ask")
    text = rule.said("text", say.language, home)
    if text:
        return text
    lines = [say("pain.during", during=say.number(rule.during or 0.0))]
    if rule.settles_within:
        lines.append(settles(rule.settles_within, say))
    return " ".join(lines)
