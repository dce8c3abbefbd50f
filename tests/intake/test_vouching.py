"""A table is mailed and anybody can write into it: nothing in it vouches for anything."""

from __future__ import annotations

import csv
import hashlib
import io
import json
import pathlib

import pytest
from click.testing import CliRunner

from builders.tables import csv_bytes, small_library, take_in
from rungbook.cli import main
from rungbook.exporting.exercise_table import exercise_table
from rungbook.ladder.measure import measure
from rungbook.reading.read import read_library

FORGED = {
    "id": "nice-squat",
    "title": "Nice squat",
    "position": "standing",
    "sides": "both",
    "text: For the patient": "30 times 100. Ignore the pain.",
    "reviewed.date": "2026-05-01",
    "reviewed.by": "Dr Trusted",
}
SAID = "its review does not come in by a table: read the draft, then rungbook review"


def sum_as_it_was(row: dict[str, str]) -> str:
    """The sum by which an earlier version knew a row again: anybody could compute it."""
    text = json.dumps({key: value for key, value in row.items() if value}, sort_keys=True,
                      ensure_ascii=False)  # fmt: skip
    return hashlib.sha256(text.encode()).hexdigest()[:16]


@pytest.mark.parametrize(
    "more",
    [
        {},
        {"computed.fingerprint": sum_as_it_was(FORGED)},
        {"reviewed.seal": "0" * 32},
        {"words-checked": "true"},
        {"draft": ""},
        {"draft": "<b>no</b>"},
        {"draft": "3"},
        {"draft": "false"},
        {"draft": "null"},
        {"variation-of": "squat"},
    ],
    ids=str,
)
def test_a_forged_review_reaches_no_patient(tmp_path: pathlib.Path, more: dict[str, str]) -> None:
    root = small_library(tmp_path)
    row = {**FORGED, **more}
    intake = take_in(csv_bytes(list(row), list(row.values())), root)
    (outcome,) = intake.outcomes
    assert SAID in outcome.draft.questions
    exercise = read_library(root).exercises["nice-squat"]
    assert exercise.reviewed is None and exercise.draft == "intake"
    assert not exercise.words_checked and not exercise.may_go_on_a_sheet
    call = ["sheet", "nice-squat", "--library", str(root), "--output", "-"]
    result = CliRunner().invoke(main, call)
    assert result.exit_code == 2
    assert "nice-squat goes to no patient: it is a draft (intake), never reviewed" in result.stderr


def test_even_a_row_that_the_library_exported_comes_in_unreviewed(tmp_path: pathlib.Path) -> None:
    root = small_library(tmp_path / "old")
    file = next(root.rglob("squat.md"))
    file.write_text(
        file.read_text().replace("---\n", "---\nreviewed: {date: 2026-05-01, by: Me}\n", 1)
    )
    table = exercise_table(measure(read_library(root), {}))
    new = small_library(tmp_path / "new")
    next(new.rglob("squat.md")).unlink()
    take_in(table.encode(), new)
    assert read_library(new).exercises["squat"].standing == "never reviewed"


def test_no_column_of_the_export_says_whether_a_row_was_changed(tmp_path: pathlib.Path) -> None:
    table = exercise_table(measure(read_library(small_library(tmp_path)), {}))
    (heading, *_) = csv.reader(io.StringIO(table, newline=""))
    assert not any("fingerprint" in column for column in heading)


def test_a_table_accepts_no_finding(tmp_path: pathlib.Path) -> None:
    root = small_library(tmp_path)
    accepts = '[{"check": "restriction-broken", "because": "fine", "until": "2030-01-01"}]'
    intake = take_in(csv_bytes(["title", "accepts"], ["Nice squat", accepts]), root)
    (outcome,) = intake.outcomes
    assert [kept.why for kept in outcome.draft.kept] == [
        "what check finds is accepted in the library, not by a table"
    ]
    assert read_library(root).exercises["nice-squat"].accepts == ()


def test_a_mapping_cannot_turn_another_column_into_a_review(tmp_path: pathlib.Path) -> None:
    root = small_library(tmp_path)
    file = tmp_path / "table.csv"
    file.write_bytes(
        csv_bytes(["Exercise", "Who", "When"], ["Nice squat", "Dr Trusted", "2026-05-01"])
    )
    call = ["intake", str(file), "--library", str(root)]
    assert CliRunner().invoke(main, [*call, "--dry-run"]).exit_code == 0
    mapping = tmp_path / "library-intake" / "table.yml"
    assert CliRunner().invoke(main, call).exit_code == 0
    written = mapping.read_text()
    for column, field in (("Who", "reviewed.by"), ("When", "reviewed.date")):
        before, _, after = written.partition(column)
        written = f"{before}{column}{after.replace('keep', field, 1)}"
    assert "reviewed.by" in written and "reviewed.date" in written
    mapping.write_text(written)
    result = CliRunner().invoke(main, call)
    assert result.exit_code == 0 and SAID in result.output
    assert read_library(root).exercises["nice-squat"].reviewed is None
