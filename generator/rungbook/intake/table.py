"""A table as it came in: headings, rows of text, and what was noticed in reading it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

MOST_BYTES = 20_000_000
MOST_ROWS = 10_000
MOST_COLUMNS = 300
MOST_CELLS = 200_000  # of a sheet
MOST_LETTERS = 100_000  # of one cell
Oddity = Literal["date", "time", "formula", "error"]


class CannotRead(Exception):
    """The file cannot be taken in; the message names the file, the place and what to do."""


@dataclass(frozen=True, slots=True)
class Column:
    """A column by its letter, with its heading, which may be empty or there twice."""

    letter: str
    heading: str

    @property
    def name(self) -> str:
        """The column in a message."""
        return f"column {self.letter} ({self.heading})" if self.heading else f"column {self.letter}"


@dataclass(frozen=True, slots=True)
class Row:
    """A row by its number in the sheet. `odd` says which cells were not plain text or numbers."""

    number: int
    cells: tuple[str, ...]
    odd: Mapping[int, Oddity] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Sheet:
    """All rows of a sheet that hold anything, headings included."""

    file: str
    name: str | None
    rows: tuple[Row, ...]
    read_as: str
    notes: tuple[str, ...] = ()

    @property
    def title(self) -> str:
        """The file, and the sheet where it has several."""
        return f"{self.file}, sheet '{self.name}'" if self.name else self.file


@dataclass(frozen=True, slots=True)
class Table:
    """A sheet in two: its columns and the rows below the headings."""

    sheet: Sheet
    columns: tuple[Column, ...]
    rows: tuple[Row, ...]
    header_row: int  # 0 where there are no headings
    above: tuple[Row, ...] = ()

    def cell(self, row: Row, index: int) -> str:
        """The text at a column, which a short row may not reach."""
        return row.cells[index] if index < len(row.cells) else ""


def letter(index: int) -> str:
    """0 -> A, 26 -> AA."""
    name = ""
    index += 1
    while index:
        index, rest = divmod(index - 1, 26)
        name = chr(ord("A") + rest) + name
    return name


def table_of(sheet: Sheet, header_row: int) -> Table:
    """The sheet with the row `header_row` as headings; 0 for none."""
    width = max((len(row.cells) for row in sheet.rows), default=0)
    header = next((row for row in sheet.rows if row.number == header_row), None)
    cells = header.cells if header else ()
    columns = tuple(
        Column(letter(n), " ".join(cells[n].split()) if n < len(cells) else "")
        for n in range(width)
    )
    below = tuple(row for row in sheet.rows if row.number > header_row)
    above = tuple(row for row in sheet.rows if row.number < header_row)
    used = {n for row in below for n, text in enumerate(row.cells) if text}
    kept = max((n for n in range(width) if n in used or columns[n].heading), default=-1) + 1
    return Table(sheet, columns[:kept], below, header_row, above)
