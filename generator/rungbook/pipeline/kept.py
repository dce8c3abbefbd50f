"""What one run keeps for the next, as JSON-ready data and back."""

from __future__ import annotations

import datetime
import pathlib
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from rungbook.model.finding import Finding
from rungbook.model.place import Place
from rungbook.pipeline.checked import Checked
from rungbook.pipeline.snapshot import Snapshot


@dataclass(frozen=True)
class Kept:
    """The findings on a library on one day, the files they hold for, and the parts of these."""

    today: datetime.date
    files: Snapshot
    parts: Mapping[str, str]
    checked: Checked

    def as_data(self) -> dict[str, Any]:
        """JSON-ready."""
        return {
            "today": self.today.isoformat(),
            "files": self.files.as_data(),
            "parts": dict(self.parts),
            "findings": [_written(one) for one in self.checked.findings],
            "accepted": [_written(one) for one in self.checked.accepted],
            "unsound": list(self.checked.unsound),
        }

    @classmethod
    def from_data(cls, data: Mapping[str, Any] | None, today: datetime.date) -> Kept | None:
        """From what `as_data` gave on the same day; None where it did not."""
        if data is None or data.get("today") != today.isoformat():
            return None
        try:
            files = Snapshot.from_data(data["files"])
            checked = Checked(
                pathlib.Path(),
                tuple(map(_read, data["findings"])),
                tuple(map(_read, data["accepted"])),
                tuple(files.records),
                tuple(data["unsound"]),
            )
            return cls(today, files, data["parts"], checked)
        except (KeyError, TypeError, ValueError):
            return None


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
    ]


def _read(data: Any) -> Finding:
    check, level, message, place, exercises, ladder, details = data
    return Finding(check, level, message, Place(*place), tuple(exercises), ladder, details)
