"""What checking a library comes to: findings and counts, without the objects they came from."""

from __future__ import annotations

import pathlib
from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from rungbook.model.finding import LEVELS, Finding, Level
from rungbook.model.place import Place, inside


def count(findings: Iterable[Finding]) -> Mapping[Level, int]:
    """How many findings there are of each level."""
    found = Counter(finding.level for finding in findings)
    return {level: found[level] for level in LEVELS}


@dataclass(frozen=True)
class Checked:
    """The findings on a library; `root` is its folder.

    `accepted` were accepted in place, each with its reason in `details["because"]`. `files` are
    the files of exercises and ladders, `unsound` those of them that could not be used.
    """

    root: pathlib.Path
    findings: tuple[Finding, ...]
    accepted: tuple[Finding, ...]
    files: tuple[str, ...]
    unsound: tuple[str, ...] = ()

    @property
    def exercises(self) -> int:
        """How many sound exercises there are."""
        return self._sound("exercises/")

    @property
    def ladders(self) -> int:
        """How many sound ladders there are."""
        return self._sound("ladders/")

    def _sound(self, folder: str) -> int:
        left_out = set(self.unsound)
        return sum(inside(one).startswith(folder) and one not in left_out for one in self.files)

    @property
    def counts(self) -> Mapping[Level, int]:
        """How many findings there are of each level."""
        return count(self.findings)

    def worst_at_least(self, level: Level) -> bool:
        """Whether any finding is at `level` or above it."""
        counted = self.counts
        return any(counted[worse] for worse in LEVELS[: LEVELS.index(level) + 1])

    def as_data(self) -> dict[str, Any]:
        """JSON-ready, without the folder and its files."""
        return {
            "findings": [_written(one) for one in self.findings],
            "accepted": [_written(one) for one in self.accepted],
            "unsound": list(self.unsound),
        }

    @classmethod
    def from_data(
        cls, data: Mapping[str, Any], root: pathlib.Path, files: Iterable[str]
    ) -> Checked:
        """From what `as_data` gave."""
        return cls(
            root,
            tuple(map(_read, data["findings"])),
            tuple(map(_read, data["accepted"])),
            tuple(files),
            tuple(data["unsound"]),
        )


def _written(finding: Finding) -> list[Any]:
    place = finding.place
    return [
        finding.check,
        finding.level,
        finding.message,
        [place.file, place.line, place.column],
        list(finding.exercises),
        finding.ladder,
        dict(finding.details),
        finding.edge and list(finding.edge),
    ]


def _read(data: Any) -> Finding:
    check, level, message, place, exercises, ladder, details, ends = data
    edge = (ends[0], ends[1]) if ends else None
    return Finding(check, level, message, Place(*place), tuple(exercises), ladder, details, edge)
