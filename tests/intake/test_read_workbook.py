"""Workbooks, written by XlsxWriter: nothing is lost, odd cells are named, damage is told."""

from __future__ import annotations

import datetime
import io
import random
import zipfile
from typing import Any

import pytest

from builders.tables import workbook
from rungbook.intake.read_table import read_table
from rungbook.intake.table import MOST_ROWS, CannotRead

HEAD = ["Exercise", "Dose"]


def read(data: bytes, sheet: str | None = None) -> Any:
    return read_table(data, "t.xlsx", sheet)


def test_text_numbers_and_truth_are_read_as_shown() -> None:
    sheet = read(workbook(HEAD, ["Kniebeuge für alle", 3], ["x", 0.25], ["y", True], ["z", 1e-3]))
    assert [row.cells for row in sheet.rows[1:]] == [
        ("Kniebeuge für alle", "3"), ("x", "0.25"), ("y", "true"), ("z", "0.001"),
    ]  # fmt: skip


def test_a_share_is_read_with_its_sign() -> None:
    def share(book: Any, sheet: Any) -> None:
        sheet.write(1, 1, 0.3, book.add_format({"num_format": "0%"}))

    assert read(workbook(HEAD, ["a"], more=share)).rows[1].cells == ("a", "30 %")


def test_a_date_is_named_with_its_cell() -> None:
    """3-10 typed into a spreadsheet becomes the third of October."""

    def date(book: Any, sheet: Any) -> None:
        format = book.add_format({"num_format": "dd/mm/yyyy"})
        sheet.write_datetime(1, 1, datetime.datetime(2026, 10, 3), format)

    sheet = read(workbook(HEAD, ["a"], more=date))
    assert sheet.rows[1].cells == ("a", "2026-10-03")
    assert sheet.rows[1].odd == {1: "date"}
    assert sheet.notes == ("dates in B2: a spreadsheet turns words such as 3-10 into one",)


def test_a_formula_gives_its_last_result_and_is_not_run() -> None:
    def formulas(book: Any, sheet: Any) -> None:
        sheet.write_formula(1, 1, "=2*15", None, 30)

    sheet = read(workbook(HEAD, ["a"], more=formulas))
    assert sheet.rows[1].cells == ("a", "30")
    assert sheet.notes[0].startswith("formulas in B2: their last results were read")


def test_a_formula_that_was_never_computed_stays_as_it_is() -> None:
    import openpyxl

    book = openpyxl.Workbook()  # writes no results
    book.active.append(HEAD)
    book.active.append(["a", "=2*15"])
    out = io.BytesIO()
    book.save(out)
    sheet = read(out.getvalue())
    assert sheet.rows[1].cells == ("a", "=2*15")
    assert sheet.rows[1].odd == {1: "formula"}


def test_an_error_of_the_spreadsheet_is_named() -> None:
    def error(book: Any, sheet: Any) -> None:
        sheet.write_formula(1, 1, "=1/0", None, "#DIV/0!")

    sheet = read(workbook(HEAD, ["a"], more=error))
    assert sheet.rows[1].cells == ("a", "#DIV/0!")


def test_merged_cells_count_for_every_row_and_are_named() -> None:
    def merge(book: Any, sheet: Any) -> None:
        sheet.merge_range("B2:B4", "3x10")

    sheet = read(workbook(HEAD, ["a"], ["b"], ["c"], ["d"], more=merge))
    assert [row.cells[1:] for row in sheet.rows[1:]] == [("3x10",), ("3x10",), ("3x10",), ()]
    assert sheet.notes == ("merged cells in B2 to B4: the text counts for every row of them",)


def test_other_sheets_comments_and_pictures_are_named() -> None:
    def more(book: Any, sheet: Any) -> None:
        book.add_worksheet("Old").write(0, 0, "old")
        sheet.write_comment("A1", "ask me")

    notes = read(workbook(HEAD, ["a"], more=more)).notes
    assert notes == (
        "other sheets were not read: 'Old' (name one with --sheet)",
        "comments on cells are not read: copy them into a column",
    )


def test_a_sheet_can_be_named() -> None:
    def more(book: Any, sheet: Any) -> None:
        book.add_worksheet("Old").write(0, 0, "old")

    assert read(workbook(HEAD, more=more), "Old").rows[0].cells == ("old",)
    with pytest.raises(CannotRead, match=r"there is no sheet 'New': it has Exercises, Old"):
        read(workbook(HEAD, more=more), "New")


def test_an_encrypted_workbook_is_told() -> None:
    """A compound file with the stream `EncryptedPackage` (MS-OFFCRYPTO 2.3, from memory)."""
    data = (
        b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + b"\0" * 500 + "EncryptedPackage".encode("utf-16-le")
    )
    with pytest.raises(CannotRead, match="the workbook is encrypted: save it without a password"):
        read(data)


@pytest.mark.parametrize("keep", [5, 200, 0.5, 0.9])
def test_a_workbook_cut_off_is_told(keep: float) -> None:
    whole = workbook(HEAD, ["a", "b"])
    with pytest.raises(CannotRead, match=r"^t.xlsx: the workbook is damaged"):
        read(whole[: int(keep if keep > 1 else keep * len(whole))])


def repacked(data: bytes, **parts: bytes) -> bytes:
    """The workbook with some parts replaced, by the end of their names."""
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as old, zipfile.ZipFile(out, "w", 8) as new:
        for name in old.namelist():
            short = name.rsplit("/", 1)[-1].split(".")[0]
            new.writestr(name, parts.get(short, old.read(name)))
    return out.getvalue()


@pytest.mark.parametrize("part", ["sheet1", "workbook", "sharedStrings", "styles"])
@pytest.mark.parametrize("content", [b"", b"<a", b"\xff\xfe\x00", b"<?xml version='1.0'?><a/>"])
def test_a_damaged_part_is_told_or_does_not_matter(part: str, content: bytes) -> None:
    try:
        read(repacked(workbook(HEAD, ["a", "b"]), **{part: content}))
    except CannotRead as error:
        assert str(error).startswith("t.xlsx")


def test_damage_anywhere_is_told_or_does_not_matter() -> None:
    """Seeded: bytes turned over in a sound workbook."""
    whole, dice = workbook(HEAD, ["a", "3x10"], ["b", 5]), random.Random(9)
    for _ in range(150):
        data = bytearray(whole)
        for _ in range(dice.randrange(1, 6)):
            data[dice.randrange(len(data))] ^= 1 << dice.randrange(8)
        try:
            read(bytes(data))
        except CannotRead as error:
            assert str(error).startswith("t.xlsx")


def test_entities_that_multiply_are_refused() -> None:
    """Billion laughs: defusedxml refuses entities before they are expanded."""
    bomb = (
        b"<?xml version='1.0'?><!DOCTYPE l [<!ENTITY a 'ha'><!ENTITY b '&a;&a;&a;'>]><sst>&b;</sst>"
    )
    with pytest.raises(CannotRead, match=r"damaged \(EntitiesForbidden\)"):
        read(repacked(workbook(HEAD, ["a", "b"]), sharedStrings=bomb))


def test_a_zip_bomb_is_refused_before_it_is_unpacked() -> None:
    bomb = repacked(workbook(HEAD, ["a", "b"]), sheet1=b" " * 200_000_000)
    assert len(bomb) < 400_000
    with pytest.raises(CannotRead, match=r"unpacks to 200\.0 MB, more than is read"):
        read(bomb)


def test_a_row_far_below_costs_nothing() -> None:
    def far(book: Any, sheet: Any) -> None:
        sheet.write(1_048_575, 0, "last")

    sheet = read(workbook(HEAD, ["a", "b"], more=far))
    assert [row.number for row in sheet.rows] == [1, 2, 1_048_576]


def test_a_row_number_that_no_workbook_has_is_refused() -> None:
    xml = (
        b'<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData>'
        b'<row r="99999999999"><c r="A99999999999" t="n"><v>1</v></c></row></sheetData></worksheet>'
    )
    with pytest.raises(CannotRead):
        read(repacked(workbook(HEAD, ["a", "b"]), sheet1=xml))


def test_a_hundred_thousand_rows_are_refused() -> None:
    rows = [HEAD, *(["squat", "3x10"] for _ in range(MOST_ROWS + 500))]
    with pytest.raises(CannotRead, match=f"more than {MOST_ROWS:,} rows: split it"):
        read(workbook(*rows))


@pytest.mark.parametrize(
    ("name", "message"),
    [
        ("content.xml", "this is an OpenDocument sheet"),
        ("xl/workbook.bin", "this is a binary workbook"),
        ("readme.txt", "this archive is no workbook"),
    ],
)
def test_other_archives_are_told_apart(name: str, message: str) -> None:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        archive.writestr(name, "x")
    with pytest.raises(CannotRead, match=message):
        read(out.getvalue())
