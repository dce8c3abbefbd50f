"""What taking in a table would do to a library: which files are made, changed or left alone.

A file is written only where there is none, or where it is still exactly as an earlier run left it.
The sums of what was written are kept beside the library, in `made.json` of the intake's folder.
"""

from __future__ import annotations

import hashlib
from collections import Counter
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any, Literal

from rungbook.intake.draft import Draft
from rungbook.intake.draft_text import draft_text, file_of
from rungbook.intake.drafting import drafts_of
from rungbook.intake.mapping import Mapping as ColumnMapping
from rungbook.intake.table import Table
from rungbook.model.library import Library

Action = Literal["made", "changed", "unchanged", "edited", "there", "deleted", "too large"]
ACTIONS: tuple[Action, ...] = (
    "made", "changed", "unchanged", "edited", "there", "deleted", "too large",
)  # fmt: skip
MOST_BYTES = 900_000  # of a draft: reading refuses files that are much larger
VERSION = 1


@dataclass(frozen=True, slots=True)
class Made:
    """A draft that an earlier run wrote: where, and the sum of its text."""

    file: str
    sum: str
    source: str


@dataclass(frozen=True, slots=True)
class Outcome:
    """What becomes of one row. `text` is to be written to `file` where the action is to write."""

    draft: Draft
    action: Action
    file: str
    text: str
    moved_from: str | None = None
    says_more: bool = False  # the row says something that the edited file was not made from


@dataclass(frozen=True, slots=True)
class Intake:
    """Everything that one run does, before it is done."""

    table: Table
    mapping: ColumnMapping
    outcomes: tuple[Outcome, ...]
    record: Mapping[str, Made]
    gone: Mapping[str, str] = field(default_factory=dict)  # id -> file whose row is not there now

    @property
    def counts(self) -> Mapping[Action, int]:
        """How many rows each action has."""
        found = Counter(outcome.action for outcome in self.outcomes)
        return {action: found[action] for action in ACTIONS}

    @property
    def writes(self) -> list[Outcome]:
        """The outcomes whose file is written."""
        return [one for one in self.outcomes if one.action in ("made", "changed")]


def sum_of(text: str) -> str:
    """The sum by which a file is known again; line ends do not matter."""
    return hashlib.sha256(text.replace("\r\n", "\n").encode()).hexdigest()


def plan(
    table: Table,
    mapping: ColumnMapping,
    library: Library,
    record: Mapping[str, Made],
    existing: Callable[[str], tuple[str, str] | None],
) -> Intake:
    """What to do. `existing` gives the file of an id and its text, where there is one."""
    source = table.sheet.title
    drafts = drafts_of(table, mapping, library, record)
    outcomes = tuple(_outcome(draft, record.get(draft.id), existing(draft.id)) for draft in drafts)
    kept = dict(record)
    for one in outcomes:
        if one.action in ("made", "changed", "unchanged"):
            kept[one.draft.id] = Made(one.file, sum_of(one.text), source)
    ids = {draft.id for draft in drafts}
    gone = {
        id: made.file
        for id, made in record.items()
        if made.source == source and id not in ids and existing(id) is not None
    }
    return Intake(table, mapping, outcomes, kept, gone)


def _outcome(draft: Draft, made: Made | None, there: tuple[str, str] | None) -> Outcome:
    text, file = draft_text(draft), file_of(draft)
    if len(text.encode()) > MOST_BYTES:
        return Outcome(draft, "too large", file, text)
    if there is None:
        return Outcome(draft, "deleted" if made else "made", file, text)
    at, before = there
    if sum_of(before) == sum_of(text):
        return Outcome(draft, "unchanged", at, text)
    if made is None:
        return Outcome(draft, "there", at, text)
    if sum_of(before) != made.sum:
        return Outcome(draft, "edited", at, text, says_more=sum_of(text) != made.sum)
    return Outcome(draft, "changed", file, text, moved_from=at if at != file else None)


def record_values(record: Mapping[str, Made]) -> dict[str, Any]:
    """The record as JSON-ready values."""
    return {
        "version": VERSION,
        "made": {
            id: {"file": one.file, "sum": one.sum, "from": one.source}
            for id, one in sorted(record.items())
        },
    }


def record_of(values: Any) -> dict[str, Made]:
    """The record from such values; entries that make no sense are as if they were not there.

    A draft without an entry counts as written by hand, and is never written over.
    """
    found: dict[str, Made] = {}
    entries = values.get("made") if isinstance(values, dict) else None
    for id, entry in entries.items() if isinstance(entries, dict) else ():
        keys = ("file", "sum", "from")
        parts = [entry.get(key) if isinstance(entry, dict) else None for key in keys]
        texts = [part for part in parts if isinstance(part, str)]
        if len(texts) == len(keys):
            found[id] = Made(*texts)
    return found
