"""A table that was exported from a library and edited, back into the same library.

Only cells that differ from what the export would say now are applied, each in its own place in
its exercise's file. A row whose exercise says something else now than when it was exported is
refused: its cells may be old. Nobody vouches for anything by a table.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field

from rungbook.exporting.exercise_table import (
    COMPUTED,
    INNER,
    SUM,
    TEXT,
    row_sum,
    written_row,
)
from rungbook.filling.front import CannotEdit, Front
from rungbook.intake.cell_values import NotUnderstood, value_of
from rungbook.intake.draft import VOUCHING
from rungbook.intake.splice import with_section, with_value
from rungbook.intake.table import CannotRead, Row, Table
from rungbook.intake.target import is_field
from rungbook.intake.words import Words
from rungbook.model.exercise import Exercise
from rungbook.model.library import Library
from rungbook.model.place import base_of


@dataclass(frozen=True, slots=True)
class Edit:
    """A cell that was changed."""

    id: str
    column: str
    old: str
    new: str


@dataclass(frozen=True, slots=True)
class Refused:
    """A row or cell that is not applied, and why."""

    row: int
    id: str
    column: str
    why: str


@dataclass(frozen=True)
class Bulk:
    """What a table changes: cells, and files by path as they were and will be; what it does not."""

    edits: list[Edit] = field(default_factory=list)
    refused: list[Refused] = field(default_factory=list)
    before: dict[str, bytes] = field(default_factory=dict)
    after: dict[str, bytes] = field(default_factory=dict)


def bulk_edits(table: Table, library: Library, read: Callable[[str], bytes]) -> Bulk:
    """What the table would change; `read` gives a file's bytes.

    Raises:
        CannotRead: it is no table that was exported from here.
    """
    columns = {column.heading: number for number, column in enumerate(table.columns)}
    if "id" not in columns or SUM not in columns:
        raise CannotRead(
            f"{table.sheet.title}: no columns 'id' and '{SUM}': edit the table that rungbook "
            "export csv writes, and leave these two as they are"
        )
    bulk, seen, words = Bulk(), set[str](), Words(library)
    for row in table.rows:
        id = table.cell(row, columns["id"])
        exercise = library.exercises.get(id)
        changed = list(_changed(row, table, columns, written_row(exercise))) if exercise else []
        why = _why_not(exercise, bool(changed), table.cell(row, columns[SUM]), id in seen)
        seen.add(id)
        if why:
            bulk.refused.append(Refused(row.number, id, "", why))
        elif exercise is not None and changed:
            _row(bulk, row, exercise, changed, words, read)
    return bulk


def _why_not(exercise: Exercise | None, changed: bool, told: str, twice: bool) -> str:
    """Why a row is not applied; nothing where it is, or where there is nothing to apply."""
    if twice:
        return "it is in the table twice: keep one of the rows"
    if exercise is None:
        return "there is no such exercise: rungbook rename changes an id, intake makes new ones"
    if not changed:
        return ""
    if base := base_of(exercise.file):
        return f"it belongs to the base {base}, which is never written to"
    if told != row_sum(exercise):
        return "it was changed since the export: export it anew and edit that"
    return ""


def _row(
    bulk: Bulk,
    row: Row,
    exercise: Exercise,
    changed: list[tuple[str, str, str]],
    words: Words,
    read: Callable[[str], bytes],
) -> None:
    path = exercise.file
    front = Front.of(bulk.after.get(path) or read(path), path)
    bulk.before.setdefault(path, front.content())
    for column, old, new in changed:
        try:
            front = _edited(front, exercise, column, old, new, words)
        except (CannotEdit, NotUnderstood) as fault:
            bulk.refused.append(Refused(row.number, exercise.id, column, str(fault)))
        else:
            bulk.edits.append(Edit(exercise.id, column, old, new))
            bulk.after[path] = front.content()


def _changed(
    row: Row, table: Table, columns: dict[str, int], now: dict[str, str]
) -> Iterator[tuple[str, str, str]]:
    for column, number in columns.items():
        if column == "id" or column.startswith(COMPUTED) or not is_field(column):
            continue
        old, new = _tidy(now.get(column, "")), _tidy(table.cell(row, number))
        if old != new:
            yield column, old, new


def _tidy(text: str) -> str:
    return text.replace("\r\n", "\n").replace("\r", "\n").strip()


def _edited(
    front: Front, exercise: Exercise, column: str, old: str, new: str, words: Words
) -> Front:
    outer, _, inner = column.partition(".")
    if outer in VOUCHING:
        raise CannotEdit("nobody vouches by a table: do that in the library")
    if column.startswith(TEXT):
        heading = column.removeprefix(TEXT).strip()
        own = re.search(rf"^## +{re.escape(heading)}[ \t]*\r?$", front.after, re.MULTILINE)
        return with_section(front, heading, exercise.text.get(heading, "") if own else "", new)
    path = [outer, inner] if outer in INNER and inner else [column]
    value = value_of(column, new, None, words) if new else None
    try:
        was = value_of(column, old, None, words) if old else None
    except NotUnderstood:
        was = None
    return with_value(front, path, was, value)
