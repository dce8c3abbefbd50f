"""`rungbook intake`: from a clinic's spreadsheet to drafts that pass the check."""

from __future__ import annotations

import json
import pathlib
import shutil

import pytest
from click.testing import CliRunner

from builders.exports import DEMO
from builders.tables import csv_bytes, workbook
from rungbook.cli import main
from rungbook.reading.read import read_library

ROWS = (
    ["Exercise", "Body area", "Position", "Dose", "Weight", "Progression", "Notes"],
    ["Wall sit", "Knee and thigh", "standing", "30 s hold x 5, daily", "", "Step squat", ""],
    ["Step squat", "Knee and thigh", "standing", "3x10, 2 kg, 3/week", "2 kg", "", "slowly"],
)


@pytest.fixture
def folder(tmp_path: pathlib.Path, monkeypatch: pytest.MonkeyPatch) -> pathlib.Path:
    shutil.copytree(DEMO, tmp_path / "library")
    monkeypatch.chdir(tmp_path)
    return tmp_path


def run(*arguments: str) -> tuple[int, str]:
    result = CliRunner().invoke(main, ["intake", *arguments])
    assert "Traceback" not in result.output
    return result.exit_code, result.output


@pytest.mark.parametrize("kind", ["xlsx", "csv"])
def test_a_spreadsheet_becomes_drafts(folder: pathlib.Path, kind: str) -> None:
    data = workbook(*ROWS) if kind == "xlsx" else csv_bytes(*ROWS, delimiter=";")
    (folder / f"ours.{kind}").write_bytes(data)
    status, output = run(f"ours.{kind}")
    assert status == 0
    assert "Drafts: 2 made." in output
    library = read_library(folder / "library")
    assert library.findings == read_library(DEMO).findings
    sit, squat = library.exercises["wall-sit"], library.exercises["step-squat"]
    assert (sit.area, sit.draft, sit.may_go_on_a_sheet) == ("knee", "intake", False)
    assert sit.dose is not None and (sit.dose.hold, sit.dose.sessions) == (30.0, 7.0)
    assert [edge.to for edge in sit.progressions] == ["step-squat"]
    assert "3x10, 2 kg, 3/week" in squat.text["From the spreadsheet"]
    assert (folder / "library-intake" / "ours.yml").exists()


def test_a_dry_run_leaves_the_folder_as_it_was(folder: pathlib.Path) -> None:
    (folder / "ours.csv").write_bytes(csv_bytes(*ROWS))
    before = sorted(path.as_posix() for path in folder.rglob("*"))
    status, output = run("ours.csv", "--dry-run")
    assert status == 0
    assert "Drafts: 2 to make." in output
    assert "Nothing was written" in output
    assert sorted(path.as_posix() for path in folder.rglob("*")) == before


def test_the_report_as_json(folder: pathlib.Path) -> None:
    (folder / "ours.csv").write_bytes(csv_bytes(*ROWS))
    status, output = run("ours.csv", "--format", "json")
    found = json.loads(output)
    assert status == 0
    assert found["counts"]["made"] == 2
    assert [column["field"] for column in found["mapping"]["columns"]] == [
        "title", "area", "position", "dose", "resistance", "harder", "keep",
    ]  # fmt: skip
    assert [one["action"] for one in found["drafts"]] == ["made", "made"]
    assert json.loads(run("ours.csv", "--format", "json")[1])["counts"]["unchanged"] == 2


def test_a_mapping_can_be_named(folder: pathlib.Path) -> None:
    (folder / "ours.csv").write_bytes(csv_bytes(["A", "B"], ["Hop", "words"]))
    (folder / "m.yml").write_text(
        "header-row: 1\ncolumns:\n- {column: A, heading: A, field: title}\n"
        "- {column: B, heading: B, field: 'text: Do'}\n",
        "utf-8",
    )
    status, _ = run("ours.csv", "--mapping", "m.yml")
    assert status == 0
    assert read_library(folder / "library").exercises["hop"].text == {"Do": "words"}


BAD: dict[str, tuple[bytes, str]] = {
    "empty.csv": (b"", "empty.csv: the file is empty"),
    "binary.csv": (bytes(range(256)), "binary.csv: this is a binary file"),
    "cut.xlsx": (workbook(*ROWS)[:900], "cut.xlsx: the workbook is damaged"),
    "old.xls": (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" * 90, "old.xls: this is a workbook of the old kind"),
}  # fmt: skip


@pytest.mark.parametrize("name", BAD)
def test_a_file_that_cannot_be_read_is_told(folder: pathlib.Path, name: str) -> None:
    data, message = BAD[name]
    (folder / name).write_bytes(data)
    status, output = run(name)
    assert status == 2
    assert f"Error: {message}" in output
    assert not (folder / "library-intake").exists()


def test_a_file_that_is_not_there_is_told(folder: pathlib.Path) -> None:
    status, output = run("none.csv")
    assert status == 2
    assert "none.csv: the file cannot be read (No such file or directory)" in output
    assert run(".")[0] == 2


def test_no_library_is_told(folder: pathlib.Path) -> None:
    (folder / "ours.csv").write_bytes(csv_bytes(*ROWS))
    status, output = run("ours.csv", "--library", "nowhere")
    assert status == 2
    assert "there is no folder nowhere" in output


def test_a_long_delimiter_is_told(folder: pathlib.Path) -> None:
    (folder / "ours.csv").write_bytes(csv_bytes(*ROWS))
    status, output = run("ours.csv", "--delimiter", ";;")
    assert status == 2
    assert "--delimiter is one character" in output
