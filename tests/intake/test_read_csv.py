"""Text tables: any delimiter and encoding; faults named with file and row."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builders.tables import csv_bytes
from rungbook.intake.read_table import read_table
from rungbook.intake.table import MOST_ROWS, CannotRead

ROWS = (["Übung", "Dosis", "Notes"], ["Kniebeuge, tief", "3x10", "für später"], ["Gehen", "", "x"])


@pytest.mark.parametrize("delimiter", [",", ";", "\t", "|"])
def test_the_delimiter_is_found(delimiter: str) -> None:
    sheet = read_table(csv_bytes(*ROWS, delimiter=delimiter), "t.csv")
    assert [list(row.cells) for row in sheet.rows] == [list(row) for row in ROWS]


def test_decimal_commas_do_not_cut_a_table_of_semicolons() -> None:
    data = b"name;kg\nfirst, and last;1,5\nsecond;2,5\nthird, too;3,5\n"
    assert read_table(data, "t.csv").rows[1].cells == ("first, and last", "1,5")


@pytest.mark.parametrize(
    "encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "cp1252", "utf-32"]
)
def test_the_encoding_is_found(encoding: str) -> None:
    sheet = read_table(csv_bytes(*ROWS, encoding=encoding), "t.csv")
    assert sheet.rows[0].cells[0] == "Übung"
    assert sheet.rows[1].cells[2] == "für später"


def test_a_guessed_encoding_is_said_so() -> None:
    assert "guessed" in read_table(csv_bytes(*ROWS, encoding="cp1252"), "t.csv").read_as


def test_a_named_encoding_and_delimiter_are_obeyed() -> None:
    data = "a^b\nœ^1\n".encode("cp1252")
    assert read_table(data, "t.csv", None, "cp1252", "^").rows[1].cells == ("œ", "1")


def test_a_line_that_names_the_separator_is_obeyed() -> None:
    sheet = read_table(b"sep=|\na;x|b\n1;2|3\n", "t.csv")
    assert sheet.rows[0].cells == ("a;x", "b")
    assert sheet.rows[0].number == 2


def test_line_breaks_in_cells_stay() -> None:
    sheet = read_table(csv_bytes(["a", "b"], ["one\ntwo", "3"]), "t.csv")
    assert sheet.rows[1].cells == ("one\ntwo", "3")


def test_blank_rows_keep_their_numbers() -> None:
    assert [row.number for row in read_table(b"a,b\n\n,\n1,2\n", "t.csv").rows] == [1, 4]


BAD = {
    "empty": (b"", "t.csv: the file is empty"),
    "blanks": (b" \r\n\t\n", "t.csv: the file is empty"),
    "only a mark": (b"\xef\xbb\xbf", "t.csv: the file is empty"),
    "only delimiters": (b",,,\n,,,\n", "t.csv: there is nothing in it"),
    "binary": (bytes(range(256)) * 8, "t.csv: this is a binary file"),
    "pdf": (b"%PDF-1.7 \x00", "t.csv: this is no table"),
    "open quote": (
        b'a,b\n1,2\n"3,4\n5,6\n',
        "t.csv: a quote is opened and never closed: look in row 3",
    ),
    "old workbook": (
        b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + b"\0" * 600,
        "t.csv: this is a workbook of the old kind",
    ),
    "too many columns": (b",".join([b"x"] * 400), "t.csv, row 1: more than 300 columns"),
    "a huge cell": (b"a,b\n1," + b"x" * 200_000, "t.csv: row 2: field larger than field limit"),
}  # fmt: skip


@pytest.mark.parametrize("name", BAD)
def test_a_bad_file_is_told_with_what_to_do(name: str) -> None:
    data, message = BAD[name]
    with pytest.raises(CannotRead) as caught:
        read_table(data, "t.csv")
    assert str(caught.value).startswith(message)


def test_a_wrong_encoding_is_told() -> None:
    with pytest.raises(CannotRead, match=r"t.csv: the text is not ascii \(byte 0\)"):
        read_table("ü".encode(), "t.csv", encoding="ascii")
    with pytest.raises(CannotRead, match="there is no encoding 'utf-9'"):
        read_table(b"a", "t.csv", encoding="utf-9")


def test_a_hundred_thousand_rows_are_refused_at_once() -> None:
    with pytest.raises(CannotRead, match=f"more than {MOST_ROWS:,} rows: split it"):
        read_table(b"title,dose\n" + b"squat,3x10\n" * 100_000, "t.csv")


def test_words_outside_quotes_are_read_and_noted() -> None:
    sheet = read_table(b'a,b\n"one" and two,3\n', "t.csv")
    assert sheet.rows[1].cells == ("one and two", "3")
    assert sheet.notes == ("row 2: words outside a cell's quotes were read as part of the cell",)


@given(st.binary(max_size=400))
@settings(max_examples=300)
def test_any_bytes_are_read_or_refused(data: bytes) -> None:
    try:
        read_table(data, "t.csv")
    except CannotRead as error:
        assert str(error).startswith("t.csv")
