"""Which pain rule a patient's sheet may print for which exercise."""

from __future__ import annotations

from dataclasses import dataclass

from rungbook.ladder.measured import MeasuredLibrary
from rungbook.model.ladder import PainRule
from rungbook.site.sheet.messages import Messages
from rungbook.site.sheet.time_words import settles


@dataclass(frozen=True, slots=True)
class PainWords:
    """A pain rule as printed. `lines` are in `language`; `note` says so where it is another."""

    lines: tuple[str, ...]
    language: str
    note: str | None = None


def pain_words(rule: PainRule | None, measured: MeasuredLibrary, say: Messages) -> PainWords:
    """The rule in the language of `say`, from its numbers where its own text is in another."""
    settings = measured.library.settings
    if rule is None or (rule.during is None and not rule.text):
        return PainWords((say("pain.ask"),), say.language)
    home = say.language == settings.language.split("-")[0]
    if rule.text and (home or rule.during is None):
        note = None if home else fallback_note(settings.language, say)
        return PainWords((rule.text,), settings.language, note)
    lines = [say("pain.during", during=say.number(rule.during or 0.0))]
    if rule.settles_within:
        lines.append(settles(rule.settles_within, say))
    return PainWords((" ".join(lines),), say.language)


def fallback_note(original: str, say: Messages) -> str:
    """`Not yet available in German: shown in English.`"""
    return say(
        "fallback.note",
        language=say.language_name(say.language),
        original=say.language_name(original.split("-")[0]),
    )
