"""An exported table, edited as people do, back into the same library."""

from __future__ import annotations

import csv
import io
import json
import pathlib
from collections.abc import Mapping

import pytest
from click.testing import CliRunner, Result

from builders.based import CLINIC, side_by_side
from builders.findings import write_library
from rungbook.cli import main
from rungbook.reading.read import read_library

LOW = """---
# Written by hand.
title: Low   # the first
works: knee extension
dose: {sets: 3, reps: 12}  # as usual
equipment: [chair]  # firm
progressions:
  - to: high   # next
    when: [3 sets of 15]
    after: 2 weeks  # not before
back-off:
  - pain above 5 of 10  # or
  - a swollen knee
# the end
---
## Do
Stretch the knee.

## Watch for
The heel.
"""
LIBRARY = """[vocabulary/equipment.yml]
chair: Chair
band: Band
[exercises/knee/high.md]
title: High
variation-of: low
dose:
  reps: 8
  # slow
  up: 3 s
"""


@pytest.fixture
def library(tmp_path: pathlib.Path) -> pathlib.Path:
    folder = write_library(tmp_path, LIBRARY)
    (folder / "exercises" / "knee" / "low.md").write_text(LOW)
    return folder


def rows_of(library: pathlib.Path) -> dict[str, dict[str, str]]:
    out = CliRunner().invoke(main, ["export", "csv", "--library", str(library)]).stdout
    return {row["id"]: row for row in csv.DictReader(io.StringIO(out))}


def put_in(library: pathlib.Path, rows: Mapping[str, Mapping[str, str]], *arguments: str) -> Result:
    out = io.StringIO()
    writer = csv.DictWriter(out, list(next(iter(rows.values()))))
    writer.writeheader()
    writer.writerows(rows.values())
    table = library.parent / "edited.csv"
    table.write_text(out.getvalue())
    return CliRunner().invoke(main, ["edits", str(table), "--library", str(library), *arguments])


def texts(library: pathlib.Path) -> tuple[str, str]:
    folder = library / "exercises" / "knee"
    return (folder / "low.md").read_text(), (folder / "high.md").read_text()


def test_an_unchanged_table_changes_nothing(library: pathlib.Path) -> None:
    answer = put_in(library, rows_of(library), "--write")
    assert (answer.exit_code, answer.output.strip()) == (0, "No cell was changed.")


def test_the_demo_library_comes_back_without_a_change(tmp_path: pathlib.Path) -> None:
    import shutil

    copy = tmp_path / "library"
    shutil.copytree(pathlib.Path(__file__).parent.parent.parent / "library", copy)
    assert put_in(copy, rows_of(copy)).output.strip() == "No cell was changed."


def test_only_changed_cells_are_written_and_all_else_stays(library: pathlib.Path) -> None:
    rows = rows_of(library)
    rows["low"] |= {"dose.reps": "15", "title": "Lower: the first", "equipment": "chair; band"}
    rows["low"]["progressions"] = rows["low"]["progressions"].replace("2 weeks", "3 weeks")
    rows["low"]["text: Do"] = "Stretch it.\nSlowly."
    rows["high"] |= {"dose.up": "4 s", "dose.down": "4 s"}
    before = texts(library)
    shown = put_in(library, rows)
    assert texts(library) == before and "-title: Low   # the first" in shown.output
    assert "To change seven cells in two files: the same with --write." in shown.output
    answer = put_in(library, rows, "--write")
    assert answer.exit_code == 0, answer.output
    low, high = texts(library)
    assert low == (
        LOW.replace("title: Low", "title: 'Lower: the first'")
        .replace("reps: 12", "reps: 15")
        .replace("[chair]", "[chair, band]")
        .replace("2 weeks", "3 weeks")
        .replace("Stretch the knee.", "Stretch it.\nSlowly.")
    )
    assert high == before[1].replace("up: 3 s", "up: 4 s\n  down: 4 s")
    assert put_in(library, rows_of(library)).output.strip() == "No cell was changed."


def test_emptied_cells_are_taken_out(library: pathlib.Path) -> None:
    rows = rows_of(library)
    rows["low"] |= {"back-off": "", "dose.sets": "", "text: Watch for": ""}
    assert put_in(library, rows, "--write").exit_code == 0
    low, _ = texts(library)
    exercise = read_library(library).exercises["low"]
    assert exercise.back_off == () and exercise.dose is not None and exercise.dose.sets is None
    assert "dose: {reps: 12}  # as usual" in low and "# the end" in low and "Watch" not in low


@pytest.mark.parametrize(
    ("id", "cells", "told"),
    [
        ("low", {"position": "flying"}, "no position of the program's"),
        ("low", {"equipment": "trampoline"}, "not in vocabulary/equipment.yml: 'trampoline'"),
        ("low", {"progressions": '[{"to": "nowhere"}]'}, "there is no exercise 'nowhere'"),
        ("low", {"dose.reps": "many"}, "a number is expected"),
        ("low", {"reviewed.date": "2026-05-01"}, "nobody vouches by a table"),
        ("high", {"dose.sets": ""}, "it cannot be taken out here"),
        ("high", {"id": "higher"}, "there is no such exercise"),
        ("high", {"id": "low"}, "it is in the table twice"),
    ],
)
def test_what_cannot_be_is_refused_and_then_nothing_is_written(
    library: pathlib.Path, id: str, cells: dict[str, str], told: str
) -> None:
    rows, before = rows_of(library), texts(library)
    rows["low"]["purpose"] = "strength"
    rows[id] |= cells
    answer = put_in(library, rows, "--write")
    assert answer.exit_code == 1 and told in answer.output
    assert texts(library) == before


def test_a_row_whose_exercise_was_changed_since_is_refused(library: pathlib.Path) -> None:
    rows = rows_of(library)
    rows["high"]["title"] = "Higher"
    low = library / "exercises" / "knee" / "low.md"
    low.write_text(LOW.replace("sets: 3", "sets: 4"))  # which the other takes over
    answer = json.loads(put_in(library, rows, "--write", "--format", "json").stdout)
    assert not answer["written"] and [one["id"] for one in answer["refused"]] == ["high", "low"]
    assert "changed since the export" in answer["refused"][0]["why"]


def test_a_table_from_elsewhere_is_refused(library: pathlib.Path) -> None:
    answer = put_in(library, {"low": {"id": "low", "title": "New"}})
    assert answer.exit_code == 2 and "no columns 'id' and 'computed.sum'" in answer.output


def test_rows_of_a_base_are_refused_where_they_say_anything_new(tmp_path: pathlib.Path) -> None:
    clinic = side_by_side(tmp_path, CLINIC + "[exercises/calf/own.md]\ntitle: Own\n")
    rows = rows_of(clinic)
    assert put_in(clinic, rows).output.strip() == "No cell was changed."
    rows["low"]["title"] = "Ours"
    assert "belongs to the base ../national" in put_in(clinic, rows).output


@pytest.mark.parametrize("end", ["\r\n", "\n"])
def test_line_ends_stay(library: pathlib.Path, end: str) -> None:
    low = library / "exercises" / "knee" / "low.md"
    low.write_bytes(LOW.replace("\n", end).encode())
    rows = rows_of(library)
    rows["low"] |= {"text: Do": "One.\nTwo.", "purpose": "strength"}
    assert put_in(library, rows, "--write").exit_code == 0
    written = low.read_bytes().decode()
    assert written.count("\n") == written.count(end) and "One." + end + "Two." in written
