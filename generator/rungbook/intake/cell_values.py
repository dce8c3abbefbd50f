"""A cell to a field's value as YAML would read it; or why it cannot be one."""

from __future__ import annotations

import re
from typing import Any

from rungbook.exporting.cells import SENTENCES
from rungbook.exporting.cells import words as items
from rungbook.intake.dose_text import read_count, read_effort, read_frequency, read_time
from rungbook.intake.target import BOOLEANS, LISTS, STRUCTURES, TIMES, VOCABULARY
from rungbook.intake.words import Words
from rungbook.reading.core_schema import core_scalar
from rungbook.reading.yaml_values import read_yaml

MOST_NODES = 5_000
_TRUE = frozenset({"true", "yes", "y", "x", "1", "ja", "oui"})
_FALSE = frozenset({"false", "no", "n", "0", "nein", "non", "-"})
_EXAMPLES = {
    "resistance": "[{weight: 2 kg, at: hand}]: a weight needs the point of the body it acts on",
    "assist": "[{at: wrist, by: other-arm, share: 50 %}]",
    "movement": "[{knee: {flexion: [90, 0]}}]",
    "contacts": "[{at: feet, surface: floor}]",
    "posture": "{knee: {flexion: 90}}",
}


class NotUnderstood(Exception):
    """The cell is no value of the field; `left` are those of its words that are."""

    def __init__(self, why: str, part: Any = None) -> None:
        super().__init__(why)
        self.why = why
        self.part = part


def value_of(field: str, text: str, unit: str | None, words: Words) -> Any:
    """The value of a field.

    Raises:
        NotUnderstood: with the reason; and with the part that was understood, if any was.
    """
    if field.startswith("dose."):
        return _dose_value(field, text, unit)
    if field == "measured" and text.casefold() == "none":
        return "none"
    if field in STRUCTURES:
        return structured(text, field)
    if field in LISTS:
        return _list(field, text, words)
    if field in BOOLEANS:
        return _boolean(text)
    if field == "incline":
        number = core_scalar(re.sub(r"\s*(?:\u00b0|deg(?:rees)?)$", "", text))
        if isinstance(number, (int, float)) and not isinstance(number, bool):
            return number
        raise NotUnderstood("an incline is a number of degrees")
    return _word(field, text, words)


def _word(field: str, text: str, words: Words) -> Any:
    if field == "position":
        return words.position(text) or _unknown("no position of the program's")
    if field == "sides":
        return words.sides(text) or _unknown("'both' or 'one' is expected")
    return text


def _unknown(why: str) -> Any:
    raise NotUnderstood(why)


def _boolean(text: str) -> bool:
    plain = text.casefold()
    if plain in _TRUE or plain in _FALSE:
        return plain in _TRUE
    raise NotUnderstood("'true' or 'false' is expected")


def structured(text: str, field: str) -> Any:
    """A value with keys or items, as YAML or JSON."""
    if text[:1] in "[{":
        value, faults = read_yaml(text, MOST_NODES)
        if not faults and isinstance(value, (dict, tuple)):
            return value
    example = _EXAMPLES.get(field, "a list in YAML or JSON")
    raise NotUnderstood(f"write it like {example}")


def _dose_value(field: str, text: str, unit: str | None) -> Any:
    found: Any = None
    if field in TIMES:
        found = read_time(text, unit)
        why = "a time with its unit is expected, such as 30 s"
    elif field == "dose.sessions":
        found = read_frequency(text, unit)
        why = "how often is expected, such as '3 per week'"
    elif field == "dose.effort":
        found = read_effort(text)
        why = "an effort on a scale of ten is expected, such as '4-6 of 10'"
    else:
        found = read_count(text)
        why = "a number is expected, such as 10 or 8-12"
        if field == "dose.sets" and isinstance(found, str):
            found, why = None, "one number of sets is expected"
    if found is None:
        raise NotUnderstood(why)
    return found


def listed(text: str, sentences: bool) -> list[Any]:
    """The items of a list: in JSON, else split at semicolons, line breaks and (words) commas."""
    if text.startswith("["):
        value, faults = read_yaml(text, MOST_NODES)
        wanted = str | dict if sentences else str  # a criterion may be written in figures
        if not faults and isinstance(value, tuple) and all(isinstance(v, wanted) for v in value):
            return list(value)
    found = items(text)
    if not sentences:
        found = [word for item in found for part in item.split(",") if (word := part.strip())]
    return found


def _list(field: str, text: str, words: Words) -> Any:
    found = listed(text, field in SENTENCES)
    if not found:
        return ()
    if field == "works":
        actions = [words.action(item) for item in found]
        if None in actions:
            raise NotUnderstood("an action is expected, such as 'knee extension'")
        return tuple(str(action) for action in actions)
    if field not in VOCABULARY:
        return tuple(found)
    if words.key(field, text):  # a title may hold a comma
        return (words.key(field, text),)
    keys = [(item, words.key(field, item)) for item in found]
    known = tuple(key for _, key in keys if key)
    unknown = [item for item, key in keys if key is None]
    if unknown:
        named = ", ".join(f"'{item[:60]}'" for item in unknown[:3])
        raise NotUnderstood(f"not in vocabulary/{field}.yml: {named}", known or None)
    return known
