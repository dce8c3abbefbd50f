"""What one run keeps for the next, as JSON-ready data and back."""

from __future__ import annotations

import datetime
import pathlib
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from rungbook.pipeline.checked import Checked
from rungbook.pipeline.snapshot import Snapshot


@dataclass(frozen=True)
class Settled:
    """Findings, and the part of every node that they were found in (`rungbook.pipeline.parts`)."""

    checked: Checked
    parts: Mapping[str, str]


@dataclass(frozen=True)
class Kept:
    """The findings on a library on one day, and the files they hold for."""

    today: datetime.date
    files: Snapshot
    settled: Settled

    @property
    def checked(self) -> Checked:
        """The findings, in no folder yet."""
        return self.settled.checked

    def as_data(self) -> dict[str, Any]:
        """JSON-ready."""
        return {
            "today": self.today.isoformat(),
            "files": self.files.as_data(),
            "parts": dict(self.settled.parts),
            **self.checked.as_data(),
        }

    @classmethod
    def from_data(cls, data: Mapping[str, Any] | None, today: datetime.date) -> Kept | None:
        """From what `as_data` gave on the same day; None where it did not."""
        if data is None or data.get("today") != today.isoformat():
            return None
        try:
            files = Snapshot.from_data(data["files"])
            checked = Checked.from_data(data, pathlib.Path(), files.records)
            return cls(today, files, Settled(checked, data["parts"]))
        except (KeyError, TypeError, ValueError):
            return None
