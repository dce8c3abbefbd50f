"""Words of the files that may stand beside in other languages: `title (de): Fersenheben`."""

from __future__ import annotations

import re
from typing import Any, ClassVar

from pydantic import Field, model_validator

from rungbook.model.record import Record

_KEY = re.compile(r"([a-z-]+) \(([a-z]{2,3})\)")


def own_key(key: str) -> str:
    """The key itself, without the language: `title` of `title (de)`."""
    found = _KEY.fullmatch(key)
    return found[1] if found else key


class Translated(Record):
    """A mapping some of whose words, those of `TRANSLATED`, may be given in other languages."""

    NOT_WRITTEN = frozenset({"in_languages"})
    TRANSLATED: ClassVar[frozenset[str]] = frozenset()

    in_languages: dict[str, dict[str, str]] = Field(
        default_factory=dict
    )  # language -> key -> words

    @model_validator(mode="before")
    @classmethod
    def _by_language(cls, values: Any) -> Any:
        if not isinstance(values, dict) or not any(" (" in str(key) for key in values):
            return values
        found: dict[str, dict[str, str]] = {}
        rest: dict[Any, Any] = {}
        for key, value in values.items():
            match = _KEY.fullmatch(str(key))
            if match and match[1] in cls.TRANSLATED and isinstance(value, str) and value.strip():
                found.setdefault(match[2], {})[match[1]] = value
            else:
                rest[key] = value
        return {**rest, "in-languages": found} if found else rest

    def said(self, key: str, language: str, home: str) -> str | None:
        """The words of `key` in a language, `home` the library's own; None where not given."""
        if language == home:
            own: str | None = getattr(self, key)
            return own
        return self.in_languages.get(language, {}).get(key)

    def translations(self) -> dict[str, str]:
        """What the file says in other languages, by its keys."""
        return {
            f"{key} ({language})": words
            for language, said in sorted(self.in_languages.items())
            for key, words in said.items()
        }
