"""Columns to fields: proposed from headings and content, obeyed from a file."""

from __future__ import annotations

import pathlib

import pytest

from builders.tables import csv_bytes, proposed, small_library
from rungbook.intake.mapping import mapping_text, read_mapping
from rungbook.intake.read_table import read_table
from rungbook.intake.table import CannotRead


def fields_of(root: pathlib.Path, *rows: list[str]) -> list[str]:
    return [use.field for use in proposed(csv_bytes(*rows), root)[1].uses]


def test_headings_tell_fields(tmp_path: pathlib.Path) -> None:
    head = ["Exercise name", "Body part", "Starting position:", "SETS", "Reps.", "Rest (s)",
            "Contra-indications", "Equipment", "Easier version", "Instructions", "Comments"]  # fmt: skip
    assert fields_of(small_library(tmp_path), head, ["a"] * 11) == [
        "title", "area", "position", "dose.sets", "dose.reps", "dose.rest", "keep", "equipment",
        "easier", "text: Do", "keep",
    ]  # fmt: skip


def test_content_tells_where_headings_do_not(tmp_path: pathlib.Path) -> None:
    rows = [
        ["What", "How much", "Lying or not", "Moves", "Things"],
        ["Deep squat", "3x10", "standing", "knee extension", "firm chair"],
        ["Chair rise", "2x8, daily", "sitting", "Knee extension", "chair, band"],
        ["Heel raise", "3 sets of 12", "all fours", "ankle plantar flexion", "band"],
    ]
    assert fields_of(small_library(tmp_path), *rows) == [
        "title", "dose", "position", "works", "equipment",
    ]  # fmt: skip


def test_headings_are_found_below_a_banner(tmp_path: pathlib.Path) -> None:
    table, mapping = proposed(
        csv_bytes(["Our clinic"], [], ["Exercise", "Dose"], ["Squat", "3x10"]),
        small_library(tmp_path),
    )
    assert mapping.header_row == 3
    assert [row.number for row in table.rows] == [4]
    assert [row.cells for row in table.above] == [("Our clinic",)]


def test_a_table_without_headings_loses_no_row(tmp_path: pathlib.Path) -> None:
    table, mapping = proposed(
        csv_bytes(["Deep squat", "3x10"], ["Chair rise", "2x8"]), small_library(tmp_path)
    )
    assert len(table.rows) == 2
    assert [use.field for use in mapping.uses] == ["title", "dose"]
    assert mapping.notes[0].startswith("no headings were found")


def test_two_columns_of_the_same_name_are_told_apart(tmp_path: pathlib.Path) -> None:
    _, mapping = proposed(
        csv_bytes(["Exercise", "Dose", "Dose"], ["a", "3x10", "2x5"]), small_library(tmp_path)
    )
    assert [(u.column.letter, u.field) for u in mapping.uses] == [
        ("A", "title"), ("B", "dose"), ("C", "keep"),
    ]  # fmt: skip
    assert mapping.uses[2].because == "dose is column B (Dose) already"


def test_units_in_headings_count(tmp_path: pathlib.Path) -> None:
    head = ["Exercise", "Hold [sec]", "Frequency per week"]
    _, mapping = proposed(csv_bytes(head, ["a", "30", "3"]), small_library(tmp_path))
    assert [use.unit for use in mapping.uses] == [None, "s", "week"]


def test_a_saved_mapping_reads_as_it_was(tmp_path: pathlib.Path) -> None:
    data = csv_bytes(["Exercise", 'No: "x"', "", "Rest (s)", "#1"], ["a", "b", "c", "30", "yes"])
    table, mapping = proposed(data, small_library(tmp_path))
    text = mapping_text(table, mapping)
    again, read = read_mapping(text, "m.yml", read_table(data, "table.csv"))
    assert [(u.column, u.field, u.unit) for u in read.uses] == [
        (u.column, u.field, u.unit) for u in mapping.uses
    ]
    assert again == table
    assert read.edited


BAD = {
    "columns: [": "m.yml:1: broken YAML",
    "header-row: 1\n": "m.yml: it needs 'columns:', a list",
    "header-row: 7\ncolumns: []\n": "m.yml: 'header-row' is 7, not a row with headings",
    "header-row: 1\ncolumns: [x]\n": "m.yml: column 1 of the list: write it like {column: A",
    "header-row: 1\ncolumns:\n- {column: A, field: tittle}\n":
        "m.yml: column 1 of the list (A): there is no field 'tittle': did you mean 'title'?",
    "header-row: 1\ncolumns:\n- {column: A, field: title}\n- {column: B, field: title}\n":
        "m.yml: column A (Exercise) and column B (Dose) are both 'title'",
    "header-row: 1\ncolumns:\n- {column: B, field: dose.rest, unit: km}\n":
        "m.yml: column 1 of the list (B): the unit 'km' is not s, min, day, week",
}  # fmt: skip


@pytest.mark.parametrize("text", BAD)
def test_a_mapping_with_a_fault_is_told(text: str) -> None:
    sheet = read_table(csv_bytes(["Exercise", "Dose"], ["a", "b"]), "table.csv")
    with pytest.raises(CannotRead) as caught:
        read_mapping(text, "m.yml", sheet)
    assert str(caught.value).startswith(BAD[text])


def test_columns_that_came_and_went_are_told(tmp_path: pathlib.Path) -> None:
    text = (
        "header-row: 1\ncolumns:\n- {column: A, heading: Name, field: title}\n"
        "- {column: F, heading: Old, field: keep}\n"
    )
    sheet = read_table(csv_bytes(["Exercise", "Dose"], ["a", "b"]), "table.csv")
    _, mapping = read_mapping(text, "m.yml", sheet)
    assert mapping.notes == (
        "m.yml: column A was headed 'Name' and is now 'Exercise': look whether 'title' still fits",
        "m.yml: column F is not in the table",
        "column B (Dose) is not in m.yml: its cells are kept as text",
    )
