"""Which column becomes what: proposed from headings and content, and as a file to edit."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from typing import Any

from rungbook.exporting.exercise_table import COMPUTED
from rungbook.intake.dose_text import read_dose
from rungbook.intake.table import CannotRead, Column, Sheet, Table, table_of
from rungbook.intake.target import (
    DOSE,
    EASIER,
    HARDER,
    KEEP,
    LEAVE_OUT,
    field_of,
    fields,
    is_field,
    unit_of,
)
from rungbook.intake.value_map import ValueMap, read_values
from rungbook.intake.words import Words
from rungbook.intake.yaml_text import yaml_line, yaml_text
from rungbook.reading.words import did_you_mean
from rungbook.reading.yaml_values import read_yaml

MOST_ABOVE = 15  # rows among which the headings are looked for
MOST_LOOKED_AT = 200
ENOUGH = 0.6  # share of a column's cells that must fit
SEVERAL = frozenset({KEEP, LEAVE_OUT, HARDER, EASIER})
MOST_NODES = 5_000


@dataclass(frozen=True, slots=True)
class Use:
    """What becomes of one column, and why."""

    column: Column
    field: str
    because: str
    unit: str | None = None


@dataclass(frozen=True, slots=True)
class Mapping:
    """What becomes of every column. `edited` where it was read from a file."""

    header_row: int
    uses: tuple[Use, ...]
    edited: bool = False
    notes: tuple[str, ...] = ()
    values: ValueMap = field(default_factory=ValueMap)

    def columns(self, field: str) -> list[int]:
        """The columns that become `field`."""
        return [index for index, use in enumerate(self.uses) if use.field == field]


def propose(sheet: Sheet, words: Words) -> tuple[Table, Mapping]:
    """The table with the headings found, and what its columns may become."""
    row, notes = _header_row(sheet)
    table = table_of(sheet, row)
    uses = list(
        _once_each(
            [
                _by_heading(column) or _by_content(table, index, words)
                for index, column in enumerate(table.columns)
            ]
        )
    )
    if not any(use.field in ("title", "id") for use in uses):
        uses = _some_title(table, uses)
    return table, Mapping(row, tuple(uses), notes=tuple(notes))


def _header_row(sheet: Sheet) -> tuple[int, list[str]]:
    """The row with most headings that are known; the first one where none is."""
    looked = sheet.rows[:MOST_ABOVE]
    scores = [sum(field_of(" ".join(c.split())) is not None for c in r.cells) for r in looked]
    best = max(scores, default=0)
    if best:
        return looked[scores.index(best)].number, []
    first = looked[0]
    if any(read_dose(cell).fields or re.fullmatch(r"[\d.,]+", cell) for cell in first.cells):
        words = "no headings were found: the first row was read as an exercise"
        return 0, [f"{words} (set header-row in the mapping where that is wrong)"]
    return first.number, [f"row {first.number} was read as headings, none of which is known"]


def _by_heading(column: Column) -> Use | None:
    field = field_of(column.heading) if column.heading else None
    if field is None:
        return None
    return Use(column, field, "by its heading", unit_of(column.heading))


def _by_content(table: Table, index: int, words: Words) -> Use:
    column = table.columns[index]
    cells = [text for row in table.rows[:MOST_LOOKED_AT] if (text := table.cell(row, index))]
    if len(cells) >= 2:
        for field, fits in words.tests():
            if sum(map(fits, cells)) >= ENOUGH * len(cells):
                return Use(column, field, "by its content", unit_of(column.heading))
        if sum(bool(read_dose(cell).fields) for cell in cells) >= ENOUGH * len(cells):
            return Use(column, DOSE, "by its content")
    return Use(column, KEEP, "not known")


def _once_each(uses: Sequence[Use]) -> Iterator[Use]:
    """Headings before content; what a second column of the same meaning holds is kept as text."""
    order = sorted(range(len(uses)), key=lambda n: (uses[n].because == "by its content", n))
    taken: dict[str, Column] = {}
    for number in order:
        use = uses[number]
        if use.field not in SEVERAL and not use.field.startswith(COMPUTED):
            taken.setdefault(use.field, use.column)
    for use in uses:
        first = taken.get(use.field, use.column)
        if first is use.column:
            yield use
        else:
            yield Use(use.column, KEEP, f"{use.field} is {first.name} already")


def _some_title(table: Table, uses: list[Use]) -> list[Use]:
    """The first column of unknown meaning whose cells are short, and mostly not the same."""
    for number, use in enumerate(uses):
        cells = [text for row in table.rows if (text := table.cell(row, number))]
        short = [c for c in cells if len(c) <= 120 and "\n" not in c and re.search(r"[^\W\d_]", c)]
        if use.field != KEEP or not cells or len(short) < 0.9 * len(cells):
            continue
        if len(set(cells)) >= 0.8 * len(cells):
            return [
                *uses[:number],
                Use(use.column, "title", "by its content: short and never the same"),
                *uses[number + 1 :],
            ]
    return uses


HEAD = """\
# How the columns of a table become exercises. Edit the fields and run the intake again.
{fields}
# A section of text is 'text: Set up', 'text: Do', 'text: Watch for', 'text: For the patient', or
# any other heading. 'keep' leaves the cell in the draft as it is; 'leave-out' does not take it in.
# 'unit' is s or min for times, 'per' day or week for frequencies, where cells are bare numbers.
# 'values' says by field what words of the table mean; 'abbreviations' are written out in texts:
#   values:
#     position: {Sitz: sitting}
#     resistance: {red band: {band: {start: 15 N, end: 25 N}, at: ankle, pulls: backward}}
#   abbreviations: {Pat.: patient}
"""


def mapping_text(
    table: Table, mapping: Mapping, unknown: dict[str, dict[str, None]] | None = None
) -> str:
    """The mapping as a file to edit; `unknown` words, by field, wait there for their meaning."""
    import textwrap

    listed = "\n".join(
        textwrap.wrap(
            f"# Fields: {', '.join(fields())}.",
            100,
            subsequent_indent="#   ",
            break_on_hyphens=False,
            break_long_words=False,
        )
    )
    values: dict[str, Any] = {"file": table.sheet.file}
    if table.sheet.name:
        values["sheet"] = table.sheet.name
    values["header-row"] = mapping.header_row
    lines = [HEAD.replace("{fields}", listed), yaml_text(values), "columns:\n"]
    for use in mapping.uses:
        entry = {"column": use.column.letter, "heading": use.column.heading, "field": use.field}
        if use.unit:
            entry["per" if use.unit in ("day", "week") else "unit"] = use.unit
        lines.append(f"  - {yaml_line(entry)}\n")
    if unknown:
        lines.append("# Not understood: write in place of each null what the word means.\n")
        lines.append(yaml_text({"values": unknown}))
    return "".join(lines)


def read_mapping(text: str, file: str, sheet: Sheet) -> tuple[Table, Mapping]:
    """The mapping of a file, for a sheet.

    Raises:
        CannotRead: what is wrong with it, with the line where known.
    """
    values, faults = read_yaml(text, MOST_NODES)
    if faults:
        raise CannotRead(f"{file}:{faults[0].line + 1}: {faults[0].message}")
    if not isinstance(values, dict) or not isinstance(values.get("columns"), tuple):
        raise CannotRead(f"{file}: it needs 'columns:', a list: delete it for a new proposal")
    row = values.get("header-row", 0)
    numbers = {r.number for r in sheet.rows}
    if not isinstance(row, int) or (row != 0 and row not in numbers):
        raise CannotRead(f"{file}: 'header-row' is {row!r}, not a row with headings, or 0 for none")
    table = table_of(sheet, row)
    known = {column.letter: column for column in table.columns}
    given: dict[str, Use] = {}
    notes = []
    for number, entry in enumerate(values["columns"], start=1):
        use = _use(entry, known, f"{file}: column {number} of the list")
        if use is None:
            notes.append(f"{file}: column {entry['column']} is not in the table")
            continue
        heading = entry.get("heading")
        if isinstance(heading, str) and heading != use.column.heading:
            notes.append(
                f"{file}: column {use.column.letter} was headed '{heading}' and is now "
                f"'{use.column.heading}': look whether '{use.field}' still fits"
            )
        given[use.column.letter] = use
    uses = []
    for column in table.columns:
        if column.letter not in given:
            notes.append(f"{column.name} is not in {file}: its cells are kept as text")
        uses.append(given.get(column.letter) or Use(column, KEEP, "not in the mapping"))
    _no_double(uses, file)
    said = read_values(values, file)
    return table, Mapping(row, tuple(uses), edited=True, notes=tuple(notes), values=said)


def _use(entry: Any, known: dict[str, Column], where: str) -> Use | None:
    if not isinstance(entry, dict) or not isinstance(entry.get("column"), str):
        raise CannotRead(f"{where}: write it like {{column: A, heading: Name, field: title}}")
    field = entry.get("field")
    if not isinstance(field, str) or not is_field(field):
        hint = did_you_mean(str(field), fields(), "the fields are listed at the top of the file")
        raise CannotRead(f"{where} ({entry['column']}): there is no field '{field}': {hint}")
    unit = entry.get("unit") or entry.get("per")
    if unit is not None and unit not in ("s", "min", "day", "week", "kg", "lb"):
        raise CannotRead(f"{where} ({entry['column']}): the unit '{unit}' is not s, min, day, week")
    column = known.get(entry["column"])
    return Use(column, field, "as the mapping says", unit) if column is not None else None


def _no_double(uses: list[Use], file: str) -> None:
    first: dict[str, Use] = {}
    for use in uses:
        if use.field in SEVERAL or use.field.startswith(COMPUTED):
            continue
        if use.field in first:
            raise CannotRead(
                f"{file}: {first[use.field].column.name} and {use.column.name} are both "
                f"'{use.field}': make one of them 'keep'"
            )
        first[use.field] = use
