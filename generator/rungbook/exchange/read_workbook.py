"""A sheet of an XLSX workbook, read in a stream: no formula is run, nothing is fetched."""

from __future__ import annotations

import datetime
import io
import re
import warnings
import zipfile
from collections.abc import Iterator
from typing import Any

from rungbook.exchange.table import (
    MOST_COLUMNS,
    MOST_LETTERS,
    MOST_ROWS,
    CannotRead,
    Oddity,
    Row,
    Sheet,
    letter,
)

MOST_UNPACKED = 150_000_000  # bytes of all parts together
MOST_STRINGS = 60_000_000  # bytes of the one part that is kept in memory
MOST_PARTS = 5_000
LAST_ROW = 1_048_576  # that any workbook can have
MOST_NAMED = 5  # places that a note names
_MERGED = re.compile(rb'<(?:\w+:)?mergeCell\b[^>]*?\bref="([A-Z]{1,3})(\d+):([A-Z]{1,3})(\d+)"')


def read_workbook(data: bytes, file: str, wanted: str | None = None) -> Sheet:
    """The sheet named `wanted`, else the first visible one that holds anything.

    Raises:
        CannotRead: damaged, not a workbook, too large, or without such a sheet.
    """
    _look_before(data, file)
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


def _look_before(data: bytes, file: str) -> None:
    try:
        parts = zipfile.ZipFile(io.BytesIO(data)).infolist()
    except (zipfile.BadZipFile, ValueError, OSError):
        raise CannotRead(
            f"{file}: the workbook is damaged or cut off: fetch it again, or save it anew as .xlsx"
        ) from None
    names = {part.filename for part in parts}
    if any(part.flag_bits & 1 for part in parts):
        raise CannotRead(f"{file}: the file is encrypted: save it without a password")
    if "content.xml" in names:
        raise CannotRead(f"{file}: this is an OpenDocument sheet: save it as .xlsx or as CSV")
    if "xl/workbook.bin" in names:
        raise CannotRead(f"{file}: this is a binary workbook (.xlsb): save it as .xlsx")
    if "[Content_Types].xml" not in names or not any(n.startswith("xl/") for n in names):
        raise CannotRead(f"{file}: this archive is no workbook: save the sheet as .xlsx or as CSV")
    unpacked = sum(part.file_size for part in parts)
    strings = sum(part.file_size for part in parts if "sharedStrings" in part.filename)
    if len(parts) > MOST_PARTS or unpacked > MOST_UNPACKED or strings > MOST_STRINGS:
        raise CannotRead(
            f"{file}: the workbook unpacks to {unpacked / 1e6:,.0f} MB, more than is read "
            f"({MOST_UNPACKED / 1e6:.0f} MB): save the sheet alone, or as CSV"
        )


def _read(data: bytes, file: str, wanted: str | None) -> Sheet:
    from openpyxl import load_workbook

    formulas = load_workbook(io.BytesIO(data), read_only=True, data_only=False, keep_links=False)
    values = load_workbook(io.BytesIO(data), read_only=True, data_only=True, keep_links=False)
    names = [sheet.title for sheet in formulas.worksheets]
    visible = [sheet.title for sheet in formulas.worksheets if sheet.sheet_state == "visible"]
    if wanted is not None and wanted not in names:
        raise CannotRead(f"{file}: there is no sheet '{wanted}': it has {', '.join(names)}")
    for name in [wanted] if wanted is not None else visible or names:
        notes: list[str] = []
        rows = list(_rows(file, formulas[name], values[name], notes))
        if rows or wanted is not None:
            break
    else:
        return Sheet(file, None, (), "XLSX")
    rows = _merged(rows, _merges(data, formulas[name]), notes)
    notes += _beside(data, [other for other in names if other != name], values)
    shown = name if len(names) > 1 else None
    return Sheet(file, shown, tuple(rows), "XLSX", tuple(notes))


def _rows(file: str, formulas: Any, values: Any, notes: list[str]) -> Iterator[Row]:
    places: dict[str, list[str]] = {}
    found = 0
    both = zip(
        formulas.iter_rows(max_col=MOST_COLUMNS + 1),
        values.iter_rows(max_col=MOST_COLUMNS + 1),
        strict=False,
    )
    for number, (written, computed) in enumerate(both, start=1):
        if number > LAST_ROW:
            raise CannotRead(f"{file}: the sheet claims more rows than a workbook can have")
        cells: list[str] = []
        odd: dict[int, Oddity] = {}
        for index, (cell, value) in enumerate(zip(written, computed, strict=False)):
            text, oddity = _text(cell, value)
            if text and index >= MOST_COLUMNS:
                raise CannotRead(
                    f"{file}, row {number}: more than {MOST_COLUMNS} columns: remove those that "
                    "hold no exercises"
                )
            cells.append(text[:MOST_LETTERS])
            if oddity and text:
                odd[index] = oddity
                kept = places.setdefault(oddity, [])
                kept.append(f"{letter(index)}{number}")
        while cells and not cells[-1]:
            cells.pop()
        if not cells:
            continue
        found += 1
        if found > MOST_ROWS + 1:
            raise CannotRead(
                f"{file}: more than {MOST_ROWS:,} rows: split it, and take the parts in one by one"
            )
        yield Row(number, tuple(cells), odd)
    notes += [_noted(oddity, at) for oddity, at in places.items()]


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


def _text(cell: Any, value: Any) -> tuple[str, Oddity | None]:
    """A cell's text: `cell` as it was written, `value` with formulas replaced by results."""
    written = cell.value
    if written is None:
        return "", None
    if cell.data_type == "f":
        result = value.value
        if result is None:  # never computed: the formula itself is all there is
            return str(getattr(written, "text", written)), "formula"
        return _plain(value, result)[0], "formula"
    return _plain(cell, written)


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


def _merges(data: bytes, sheet: Any) -> list[tuple[int, int, int, int]]:
    """Ranges of merged cells: first column, first row, last column, last row (from 0, from 1).

    Read from the sheet's part, whose name openpyxl knows; streamed reading leaves them out.
    """
    from openpyxl.utils import column_index_from_string

    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        part = archive.read(sheet._worksheet_path.lstrip("/"))
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


def _beside(data: bytes, others: list[str], workbook: Any) -> list[str]:
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
