"""What every report of findings is made from."""

from __future__ import annotations

import contextlib
import datetime
import os
import pathlib
import re
from dataclasses import dataclass
from functools import cached_property

from rungbook.model.finding import LEVELS, Finding, Level
from rungbook.model.place import Place
from rungbook.pipeline.checked import Checked

# Control characters, and those that turn the direction of text or hide: they could make a
# terminal or a log show something else than what was written.
_UNSEEN = re.compile(
    "[\x00-\x08\x0b-\x1f\x7f-\x9f\u061c\u200b\u200e\u200f\u2028-\u202e\u2060-\u2069\ufeff\ufff9-\ufffb"
    "\ud800-\udfff\ufffe\uffff]"
)


def visible(text: str) -> str:
    """`text` with control characters written out, such as `\\x1b`; tabs and newlines stay."""
    return _UNSEEN.sub(lambda match: ascii(match[0])[1:-1], text)


def _is_about(finding: Finding, id: str) -> bool:
    stem = finding.place.file.rpartition("/")[2].removesuffix(".md")
    return id in finding.exercises or id in (finding.ladder, stem)


@dataclass(frozen=True)
class Report:
    """What was found, the library's folder as the caller named it, and the day it was judged on.

    `fail_on` is the least level that fails the run. Only findings of `level` or worse are shown,
    and of one exercise or ladder where `about` names it; counts are of all.
    """

    checked: Checked
    library: pathlib.Path
    today: datetime.date
    fail_on: Level = "error"
    colour: bool = False
    level: Level = "note"
    about: str | None = None

    @cached_property
    def findings(self) -> tuple[Finding, ...]:
        """Those asked for: of `level` or worse, about one exercise or ladder, or all."""
        levels = LEVELS[: LEVELS.index(self.level) + 1]
        return tuple(
            one
            for one in self.checked.findings
            if one.level in levels and (self.about is None or _is_about(one, self.about))
        )

    @cached_property
    def _folder(self) -> str:
        folder = self.library
        if folder.is_absolute():
            with contextlib.suppress(ValueError):
                folder = folder.relative_to(os.getcwd())
        return "" if folder == pathlib.Path() else f"{folder.as_posix().rstrip('/')}/"

    def path(self, place: Place) -> str:
        """The file as seen from the current folder, with forward slashes."""
        return f"{self._folder}{place.file}"
