"""What of a library's words there is in another language: a sheet is in one language or not at all.

`home` is the library's own language; in that one nothing can be missing.
"""

from __future__ import annotations

from collections.abc import Iterator

from rungbook.model.exercise import Exercise
from rungbook.model.ladder import PainRule
from rungbook.model.library import Settings

PATIENT = "for the patient"


def home_language(settings: Settings) -> str:
    """`de` of a library in `de-AT`."""
    return settings.language.split("-")[0]


def patient_text(exercise: Exercise, language: str, home: str) -> str | None:
    """The words for the patient in a language, as they are written."""
    text = {heading.casefold(): words for heading, words in exercise.text.items() if words.strip()}
    own = text.get(f"{PATIENT} ({language})")
    return own or (text.get(PATIENT) if language == home else None)


def missing_words(exercise: Exercise, language: str, home: str) -> tuple[str, ...]:
    """The keys and sections that an exercise lacks for a sheet in a language."""
    return tuple(_missing(exercise, language, home)) if language != home else ()


def _missing(exercise: Exercise, language: str, home: str) -> Iterator[str]:
    if exercise.said("title", language, home) is None:
        yield f"title ({language})"
    if patient_text(exercise, language, home) is None:
        yield f"## For the patient ({language})"
    for one in exercise.back_off:
        if one.judged_by == "patient" and one.words and not one.said("words", language, home):
            yield f"words ({language}) of the back-off “{one.words}”"


def missing_settings(settings: Settings, language: str) -> tuple[str, ...]:
    """The keys that library.yml lacks for a sheet in a language."""
    home = home_language(settings)
    if language == home:
        return ()
    found = [
        f"{key} ({language})"
        for key in ("contact", "urgent")
        if getattr(settings, key) and not settings.said(key, language, home)
    ]
    found += [
        f"flare-up: do ({language})"
        for rule in settings.flare_up
        if rule.back is None and not rule.said("do", language, home)
    ]
    return tuple(found)


def missing_of_rule(rule: PainRule | None, language: str, home: str) -> tuple[str, ...]:
    """What a pain rule lacks for a sheet in a language; one in figures alone lacks nothing."""
    if rule is None or not rule.text or rule.said("text", language, home):
        return ()
    return (f"pain-rule: text ({language})",)


def languages_begun(exercise: Exercise) -> tuple[str, ...]:
    """The languages in which anything of an exercise is given, beside the library's own."""
    found = set(exercise.in_languages)
    for heading in exercise.text:
        plain, _, rest = heading.partition(" (")
        if plain.casefold() == PATIENT and rest.endswith(")"):
            found.add(rest[:-1])
    return tuple(sorted(found))
