"""What a check reports."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Any, Literal

from rungbook.model.place import Place

Level = Literal["error", "warning", "note"]
LEVELS: tuple[Level, ...] = ("error", "warning", "note")


@dataclass(frozen=True, slots=True)
class Finding:
    """Something wrong with the library, at the place to mend it.

    `message` is plain text in one line: what is wrong, then what to do. `exercises` are ids,
    the one concerned first; `ladder` an id where the finding belongs to one; `edge` the progression
    (from, to) that it is about, if it is about one; `details` are values a program may want
    (JSON-ready).
    """

    check: str
    level: Level
    message: str
    place: Place
    exercises: tuple[str, ...] = ()
    ladder: str | None = None
    details: Mapping[str, Any] = field(default_factory=lambda: MappingProxyType({}))
    edge: tuple[str, str] | None = None

    def sort_key(self) -> tuple[str, int, int, int, str, str]:
        """Stable order: by place, then by level, check and message."""
        return (
            self.place.file,
            self.place.line,
            self.place.column,
            LEVELS.index(self.level),
            self.check,
            self.message,
        )


def by_level(findings: Iterable[Finding]) -> list[Finding]:
    """The worst first, in stable order: as people read them."""
    return sorted(findings, key=lambda one: (LEVELS.index(one.level), one.sort_key()))
