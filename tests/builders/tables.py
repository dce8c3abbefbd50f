"""Tables as people have them: CSV bytes, and workbooks by an independent writer (XlsxWriter)."""

from __future__ import annotations

import csv
import io
import pathlib
from collections.abc import Callable, Sequence
from typing import Any

import xlsxwriter

from builders.library import library_folder
from rungbook.intake.draft import Draft
from rungbook.intake.drafting import drafts_of
from rungbook.intake.intake import Intake, plan
from rungbook.intake.intake_files import IntakeFolder, carry_out
from rungbook.intake.mapping import Mapping, propose, read_mapping
from rungbook.intake.read_table import read_table
from rungbook.intake.table import Table
from rungbook.intake.words import Words
from rungbook.reading.read import read_library
from rungbook.reports.writing import write

VOCABULARY: dict[str, dict[str, Any]] = {
    "areas": {"knee": {"title": "Knee and thigh"}, "calf": {"title": "Calf"}},
    "equipment": {"chair": {"title": "Firm chair"}, "band": {"title": "Elastic band"}},
    "cautions": {"hot-calf": {"title": "Hot, swollen calf"}},
    "sources": {"somebody-2020": {"title": "A study"}},
    "restrictions": {"bed-rest": {"title": "Bed rest"}},
}


def csv_bytes(*rows: Sequence[object], delimiter: str = ",", encoding: str = "utf-8") -> bytes:
    """Rows as a CSV file by the standard library."""
    text = io.StringIO()
    csv.writer(text, delimiter=delimiter).writerows(rows)
    return text.getvalue().encode(encoding)


def workbook(*rows: Sequence[object], more: Callable[[Any, Any], None] | None = None) -> bytes:
    """Rows as the first sheet of a workbook; `more(workbook, sheet)` adds what else it needs."""
    out = io.BytesIO()
    book = xlsxwriter.Workbook(out, {"in_memory": True, "strings_to_formulas": False})
    sheet = book.add_worksheet("Exercises")
    for number, row in enumerate(rows):
        for column, value in enumerate(row):
            if value not in (None, ""):
                sheet.write(number, column, value)
    if more is not None:
        more(book, sheet)
    book.close()
    return out.getvalue()


def small_library(
    root: pathlib.Path, exercises: dict[str, Any] | None = None, settings: str = ""
) -> pathlib.Path:
    """A library with a vocabulary and, unless told otherwise, one exercise."""
    known = {"knee/squat": {"title": "Squat", "works": "knee extension"}}
    return library_folder(
        root, known if exercises is None else exercises, settings=settings, vocabulary=VOCABULARY
    )


def proposed(data: bytes, root: pathlib.Path, file: str = "table.csv") -> tuple[Table, Mapping]:
    """The table and the mapping that would be proposed for it."""
    return propose(read_table(data, file), Words(read_library(root)))


def drafts(data: bytes, root: pathlib.Path, file: str = "table.csv") -> list[Draft]:
    """The drafts that a table's rows become."""
    table, mapping = proposed(data, root, file)
    return drafts_of(table, mapping, read_library(root))


def take_in(data: bytes, root: pathlib.Path, file: str = "table.csv", dry: bool = False) -> Intake:
    """A whole run: proposed or saved mapping, drafts written, record kept."""
    library, folder = read_library(root), IntakeFolder(root)
    sheet = read_table(data, file)
    at = folder.mapping_file(sheet.file, sheet.name)
    if at.exists():
        table, mapping = read_mapping(at.read_text("utf-8"), str(at), sheet)
    else:
        table, mapping = propose(sheet, Words(library))
    intake = plan(table, mapping, library, folder.record(), folder.finder())
    if not dry:
        carry_out(intake, folder, at, write)
    return intake
