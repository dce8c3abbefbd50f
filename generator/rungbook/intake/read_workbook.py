"""A sheet of an XLSX workbook, read in a stream: no formula is run, nothing is fetched."""

from __future__ import annotations

import datetime
import io
import re
import warnings
import zipfile
from collections.abc import Iterator, Mapping
from typing import Any

from rungbook.intake.archive import few_cells, look_before
from rungbook.intake.table import (
    MOST_COLUMNS,
    MOST_LETTERS,
    MOST_ROWS,
    CannotRead,
    Oddity,
    Row,
    Sheet,
    letter,
)

Cells = dict[int, Any]  # column -> openpyxl's cell
LAST_ROW = 1_048_576  # that any workbook can have
MOST_NAMED = 5  # places that a note names
_MERGED = re.compile(rb'<(?:\w+:)?mergeCell\b[^>]*?\bref="([A-Z]{1,3})(\d+):([A-Z]{1,3})(\d+)"')


def read_workbook(data: bytes, file: str, wanted: str | None = None) -> Sheet:
    """The sheet named `wanted`, else the first visible one that holds anything.

    Raises:
        CannotRead: damaged, not a workbook, too large, or without such a sheet.
    """
    look_before(data, file)
    # openpyxl reports a damaged workbook by whatever exception the damage leads it to.
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            return _read(data, file, wanted)
    except CannotRead:
        raise
    except Exception as error:
        raise CannotRead(
            f"{file}: the workbook is damaged ({_cause(error)}): open it in a spreadsheet "
            "program, save it again as .xlsx, or save the sheet as CSV"
        ) from None


def _cause(error: BaseException) -> str:
    """The kind of the exception at the bottom of it."""
    while error.__cause__ is not None:
        error = error.__cause__
    return type(error).__name__


def _read(data: bytes, file: str, wanted: str | None) -> Sheet:
    from openpyxl import load_workbook

    book = load_workbook(io.BytesIO(data), read_only=True, keep_links=False)
    names = [sheet.title for sheet in book.worksheets]
    visible = [sheet.title for sheet in book.worksheets if sheet.sheet_state == "visible"]
    if wanted is not None and wanted not in names:
        raise CannotRead(f"{file}: there is no sheet '{wanted}': it has {', '.join(names)}")
    for name in [wanted] if wanted is not None else visible or names:
        part = _part(data, book[name])
        few_cells(part, file)
        cells = dict(_cells(book[name], file))
        if cells or wanted is not None:
            break
    else:
        return Sheet(file, None, (), "XLSX")
    with_formulas = {
        number
        for number, row in cells.items()
        if any(cell.data_type == "f" for cell in row.values())
    }
    results: dict[int, Cells] = {}
    if with_formulas:  # a second reading gives results in place of formulas
        again = load_workbook(io.BytesIO(data), read_only=True, data_only=True, keep_links=False)
        results = {n: row for n, row in _cells(again[name], file) if n in with_formulas}
    notes: list[str] = []
    rows = _rows(cells, results, notes)
    rows = _merged(rows, _merges(part), notes)
    notes += _beside(data, [other for other in names if other != name])
    shown = name if len(names) > 1 else None
    return Sheet(file, shown, tuple(rows), "XLSX", tuple(notes))


def _cells(sheet: Any, file: str) -> Iterator[tuple[int, Cells]]:
    """Rows that hold anything, as cells by column; gaps between rows cost next to nothing."""
    blank: object = None
    found = 0
    for number, row in enumerate(sheet.iter_rows(max_col=MOST_COLUMNS + 1), start=1):
        if number > LAST_ROW:
            raise CannotRead(f"{file}: the sheet claims more rows than a workbook can have")
        if row is blank:  # openpyxl fills a gap with one and the same row
            continue
        cells = {index: cell for index, cell in enumerate(row) if cell.value is not None}
        if not cells:
            blank = row
            continue
        if MOST_COLUMNS in cells:
            raise CannotRead(
                f"{file}, row {number}: more than {MOST_COLUMNS} columns: remove those that "
                "hold no exercises"
            )
        found += 1
        if found > MOST_ROWS + 1:
            raise CannotRead(
                f"{file}: more than {MOST_ROWS:,} rows: split it, and take the parts in one by one"
            )
        yield number, cells


def _rows(cells: Mapping[int, Cells], results: Mapping[int, Cells], notes: list[str]) -> list[Row]:
    places: dict[str, list[str]] = {}
    rows = []
    for number, row in cells.items():
        texts = [""] * (max(row) + 1)
        odd: dict[int, Oddity] = {}
        for index, cell in row.items():
            text, oddity = _text(cell, results.get(number, {}).get(index))
            texts[index] = text[:MOST_LETTERS]
            if oddity and text:
                odd[index] = oddity
                places.setdefault(oddity, []).append(f"{letter(index)}{number}")
        if any(texts):
            rows.append(Row(number, tuple(texts), odd))
    notes += [_noted(oddity, at) for oddity, at in places.items()]
    return rows


_WORDS = {
    "date": ("dates", "a spreadsheet turns words such as 3-10 into one"),
    "time": ("times of day", "a spreadsheet turns words such as 0:30 into one"),
    "formula": ("formulas", "their last results were read, the formulas were not run"),
    "error": ("errors of the spreadsheet's own", "they stay as text"),
}


def _noted(oddity: str, places: list[str]) -> str:
    more = f" and {len(places) - MOST_NAMED} more" if len(places) > MOST_NAMED else ""
    what, about = _WORDS[oddity]
    return f"{what} in {', '.join(places[:MOST_NAMED])}{more}: {about}"


def _text(cell: Any, result: Any) -> tuple[str, Oddity | None]:
    """A cell's text; of a formula its `result`, a cell too, where it was ever computed."""
    if cell.data_type != "f":
        return _plain(cell, cell.value)
    if result is None or result.value is None:  # the formula itself is all there is
        return str(getattr(cell.value, "text", cell.value)), "formula"
    return _plain(result, result.value)[0], "formula"


def _plain(cell: Any, value: Any) -> tuple[str, Oddity | None]:
    if isinstance(value, bool):
        return ("true" if value else "false"), None
    if isinstance(value, (int, float)):
        if "%" in (cell.number_format or ""):
            return f"{value * 100:.12g} %", None
        return f"{value:.15g}", None
    if isinstance(value, datetime.datetime):
        midnight = value.time() == datetime.time()
        return (value.date().isoformat() if midnight else value.isoformat(" ")), "date"
    if isinstance(value, datetime.date):
        return value.isoformat(), "date"
    if isinstance(value, (datetime.time, datetime.timedelta)):
        return str(value), "time"
    text = str(value).replace("\r\n", "\n").replace("\r", "\n").strip()
    return text, "error" if cell.data_type == "e" else None


def _part(data: bytes, sheet: Any) -> bytes:
    """The text of a sheet's part, whose name openpyxl knows."""
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        return archive.read(sheet._worksheet_path.lstrip("/"))


def _merges(part: bytes) -> list[tuple[int, int, int, int]]:
    """Ranges of merged cells: first column, first row, last column, last row (from 0, from 1).

    Streamed reading leaves them out.
    """
    from openpyxl.utils import column_index_from_string

    found = []
    for first, top, last, bottom in _MERGED.findall(part):
        columns = [column_index_from_string(name.decode()) - 1 for name in (first, last)]
        found.append((columns[0], int(top), columns[1], int(bottom)))
    return found


def _merged(
    rows: list[Row], merges: list[tuple[int, int, int, int]], notes: list[str]
) -> list[Row]:
    """Rows in which a cell merged over several rows counts for each of them."""
    by_number = {row.number: row for row in rows}
    filled = []
    for left, top, _, bottom in merges[:MOST_ROWS]:
        source = by_number.get(top)
        if source is None or left >= len(source.cells) or bottom == top:
            continue
        below = [number for number in range(top + 1, min(bottom, top + MOST_ROWS) + 1)]
        for number in below:
            row = by_number.get(number)
            if row is not None:
                cells = [*row.cells, *[""] * (left + 1 - len(row.cells))]
                cells[left] = cells[left] or source.cells[left]
                by_number[number] = Row(number, tuple(cells), row.odd)
        filled.append(f"{letter(left)}{top} to {letter(left)}{bottom}")
    if filled:
        more = f" and {len(filled) - MOST_NAMED} more" if len(filled) > MOST_NAMED else ""
        about = "the text counts for every row of them"
        notes.append(f"merged cells in {', '.join(filled[:MOST_NAMED])}{more}: {about}")
    return [by_number[row.number] for row in rows]


def _beside(data: bytes, others: list[str]) -> list[str]:
    """What the workbook holds and this does not take in."""
    notes = []
    if others:
        listed = ", ".join(f"'{name}'" for name in others[:MOST_NAMED])
        notes.append(f"other sheets were not read: {listed} (name one with --sheet)")
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        names = archive.namelist()
    if any("comments" in name.lower() and name.startswith("xl/") for name in names):
        notes.append("comments on cells are not read: copy them into a column")
    if any(name.startswith("xl/media/") for name in names):
        notes.append("pictures in the workbook are not taken over: put them into pictures/")
    return notes
