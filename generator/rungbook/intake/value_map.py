"""What words of a table mean, as the mapping file says it: by field, and abbreviations in texts."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from rungbook.exporting.exercise_table import TEXT
from rungbook.intake.table import CannotRead
from rungbook.intake.target import LISTS, fields
from rungbook.intake.words import folded
from rungbook.reading.words import did_you_mean

if TYPE_CHECKING:
    from rungbook.intake.intake import Intake

# Fields whose cells are words with one meaning each.
WORDY = frozenset({"position", "sides", "works", "equipment", "cautions", "restrictions",
                   "sources", "resistance", "assist"})  # fmt: skip
LONGEST_WORD, MOST_WORDS = 80, 200


@dataclass(frozen=True, slots=True)
class ValueMap:
    """By field what a word, folded, means; and abbreviations as they are written out in texts."""

    by_field: Mapping[str, Mapping[str, str]] = field(default_factory=dict)
    abbreviations: Mapping[str, str] = field(default_factory=dict)

    def meant(self, name: str, text: str) -> str:
        """A cell with its words exchanged: the whole cell, else each item of a list."""
        if name.startswith(TEXT):
            return self._written_out(text)
        words = self.by_field.get(name)
        if not words or not text:
            return text
        whole = words.get(folded(text))
        if whole is not None or name not in LISTS or text[:1] in "[{":
            return text if whole is None else whole
        parts = re.split(r"(\s*[;,\n]\s*)", text)
        return "".join(words.get(folded(part), part) for part in parts)

    def _written_out(self, text: str) -> str:
        """Longest first, and only where no letter or digit stands beside."""
        if not self.abbreviations:
            return text
        longest = sorted(self.abbreviations, key=len, reverse=True)
        pattern = "|".join(map(re.escape, longest))
        found = re.compile(rf"(?<![^\W_])(?:{pattern})(?![^\W_])")
        return found.sub(lambda match: self.abbreviations[match[0]], text)


def read_values(values: Mapping[str, Any], file: str) -> ValueMap:
    """`values` and `abbreviations` of a mapping file.

    Raises:
        CannotRead: they are not as they have to be.
    """
    said: dict[str, dict[str, str]] = {}
    for name, words in _mapping(values, "values", file).items():
        if name not in fields():
            hint = did_you_mean(name, fields(), "the fields are listed at the top of the file")
            raise CannotRead(f"{file}: 'values' has no field '{name}': {hint}")
        said[name] = {
            folded(word): _text(meaning)
            for word, meaning in _mapping({name: words}, name, file).items()
            if meaning is not None
        }
    short = _mapping(values, "abbreviations", file)
    wrong = next((word for word, long in short.items() if not isinstance(long, str)), None)
    if wrong is not None:
        raise CannotRead(f"{file}: 'abbreviations' has no words for '{wrong}'")
    return ValueMap(said, short)


def _mapping(values: Mapping[str, Any], key: str, file: str) -> dict[str, Any]:
    found = values.get(key)
    if found is None:
        return {}
    if not isinstance(found, dict) or not all(isinstance(word, str) and word for word in found):
        raise CannotRead(f"{file}: '{key}' is a list of words with their meaning: 'Sitz: sitting'")
    return found


def _text(meaning: Any) -> str:
    """As a cell would say it."""
    if isinstance(meaning, str):
        return meaning
    return json.dumps([meaning] if isinstance(meaning, dict) else meaning, ensure_ascii=False)


def unknown_words(intake: Intake) -> dict[str, dict[str, None]]:
    """Cells of wordy fields that were not understood, by field, each once in their order."""
    field_of = {use.column: use.field for use in intake.mapping.uses}
    found: dict[str, dict[str, None]] = {}
    for outcome in intake.outcomes:
        for kept in outcome.draft.kept:
            name, text = field_of[kept.column], kept.text
            if name in WORDY and text.isprintable() and len(text) <= LONGEST_WORD:
                words = found.setdefault(name, {})
                if len(words) < MOST_WORDS:
                    words.setdefault(text)
    return found
