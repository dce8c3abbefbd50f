"""Running an intake again: what the table changed changes, what a person changed stays."""

from __future__ import annotations

import pathlib

import pytest

from builders.tables import csv_bytes, small_library, take_in
from rungbook.intake.intake_files import IntakeFolder
from rungbook.intake.intake_report import report_text, report_values
from rungbook.intake.table import CannotRead

HEAD = ["Exercise", "Dose", "Equipment"]


def actions(root: pathlib.Path, *rows: list[str]) -> dict[str, str]:
    """What a run did with each row, by id."""
    intake = take_in(csv_bytes(HEAD, *rows), root)
    return {one.draft.id: one.action for one in intake.outcomes}


def test_running_again_changes_only_what_changed(tmp_path: pathlib.Path) -> None:
    root = small_library(tmp_path)
    assert actions(root, ["Hop", "3x10", ""], ["Jump", "2x5", ""]) == {
        "hop": "made",
        "jump": "made",
    }
    before = (root / "exercises/jump.md").stat().st_mtime_ns
    again = actions(root, ["Hop", "3x12", ""], ["Jump", "2x5", ""], ["Skip", "", ""])
    assert again == {"hop": "changed", "jump": "unchanged", "skip": "made"}
    assert "reps: 12" in (root / "exercises/hop.md").read_text("utf-8")
    assert (root / "exercises/jump.md").stat().st_mtime_ns == before


def test_rows_in_another_order_change_nothing(tmp_path: pathlib.Path) -> None:
    root = small_library(tmp_path)
    actions(root, ["Hop", "till tired", ""], ["Jump", "2x5", ""])
    again = actions(root, ["Jump", "2x5", ""], ["", "", ""], ["Hop", "till tired", ""])
    assert set(again.values()) == {"unchanged"}


def test_an_edited_file_is_never_written_over(tmp_path: pathlib.Path) -> None:
    root = small_library(tmp_path)
    actions(root, ["Hop", "3x10", ""])
    file = root / "exercises/hop.md"
    edited = file.read_text("utf-8").replace("reps: 10", "reps: 11")
    file.write_text(edited, "utf-8")
    intake = take_in(csv_bytes(HEAD, ["Hop", "3x15", ""]), root)
    assert [(one.action, one.says_more) for one in intake.outcomes] == [("edited", True)]
    assert file.read_text("utf-8") == edited
    assert "Edited by hand while the table says something new" in report_text(
        intake, pathlib.Path("m.yml"), False
    )


def test_other_line_ends_are_no_edit(tmp_path: pathlib.Path) -> None:
    root = small_library(tmp_path)
    actions(root, ["Hop", "3x10", ""])
    file = root / "exercises/hop.md"
    file.write_bytes(file.read_bytes().replace(b"\n", b"\r\n"))
    assert actions(root, ["Hop", "3x10", ""]) == {"hop": "unchanged"}


def test_an_exercise_of_the_library_is_left(tmp_path: pathlib.Path) -> None:
    root = small_library(tmp_path)
    before = (root / "exercises/knee/squat.md").read_bytes()
    assert actions(root, ["Squat", "3x10", ""]) == {"squat": "there"}
    assert (root / "exercises/knee/squat.md").read_bytes() == before


def test_a_draft_whose_record_is_lost_counts_as_written_by_hand(tmp_path: pathlib.Path) -> None:
    root = small_library(tmp_path)
    actions(root, ["Hop", "3x10", ""])
    (IntakeFolder(root).beside / "made.json").unlink()
    assert actions(root, ["Hop", "3x15", ""]) == {"hop": "there"}


def test_a_damaged_record_is_told(tmp_path: pathlib.Path) -> None:
    root = small_library(tmp_path)
    actions(root, ["Hop", "3x10", ""])
    (IntakeFolder(root).beside / "made.json").write_text("{", "utf-8")
    with pytest.raises(CannotRead, match=r"made.json cannot be read .*: mend it, or delete it"):
        actions(root, ["Hop", "3x15", ""])


def test_a_deleted_draft_stays_deleted(tmp_path: pathlib.Path) -> None:
    root = small_library(tmp_path)
    actions(root, ["Hop", "3x10", ""])
    (root / "exercises/hop.md").unlink()
    assert actions(root, ["Hop", "3x10", ""]) == {"hop": "deleted"}


def test_a_row_that_is_gone_is_told_and_its_file_left(tmp_path: pathlib.Path) -> None:
    root = small_library(tmp_path)
    actions(root, ["Hop", "3x10", ""], ["Jump", "2x5", ""])
    intake = take_in(csv_bytes(HEAD, ["Jump", "2x5", ""]), root)
    assert intake.gone == {"hop": "exercises/hop.md"}
    assert (root / "exercises/hop.md").exists()


def test_a_word_added_to_the_vocabulary_is_taken_up(tmp_path: pathlib.Path) -> None:
    root = small_library(tmp_path)
    actions(root, ["Hop", "3x10", "Rope"])
    file = root / "vocabulary/equipment.yml"
    file.write_text(file.read_text("utf-8") + "rope: {title: Rope}\n", "utf-8")
    assert actions(root, ["Hop", "3x10", "Rope"]) == {"hop": "changed"}
    assert "equipment: [rope]" in (root / "exercises/hop.md").read_text("utf-8")


def test_an_edited_mapping_is_obeyed_and_left_as_it_is(tmp_path: pathlib.Path) -> None:
    root = small_library(tmp_path)
    take_in(csv_bytes(["Exercise", "Who"], ["Hop", "runners"]), root)
    mapping = IntakeFolder(root).beside / "table.yml"
    text = mapping.read_text("utf-8").replace("field: keep", "field: purpose") + "# mine\n"
    mapping.write_text(text, "utf-8")
    take_in(csv_bytes(["Exercise", "Who"], ["Hop", "runners"]), root)
    assert "purpose: [runners]" in (root / "exercises/hop.md").read_text("utf-8")
    assert mapping.read_text("utf-8") == text


def test_a_draft_moves_with_its_area(tmp_path: pathlib.Path) -> None:
    root = small_library(tmp_path)
    take_in(csv_bytes(["Exercise", "Area"], ["Hop", "knee"]), root)
    take_in(csv_bytes(["Exercise", "Area"], ["Hop", "calf"]), root)
    found = [path.relative_to(root).as_posix() for path in root.rglob("hop.md")]
    assert found == ["exercises/calf/hop.md"]


def test_a_folder_that_leads_out_of_the_library_is_not_written_to(tmp_path: pathlib.Path) -> None:
    root = small_library(tmp_path)
    outside = tmp_path / "outside"
    outside.mkdir()
    (root / "exercises/calf").symlink_to(outside)
    with pytest.raises(CannotRead, match="leads out of the library"):
        take_in(csv_bytes(["Exercise", "Area"], ["Hop", "calf"]), root)
    assert list(outside.iterdir()) == []


def test_a_dry_run_writes_nothing_and_reports_the_same(tmp_path: pathlib.Path) -> None:
    root = small_library(tmp_path)
    dry = take_in(csv_bytes(HEAD, ["Hop", "till tired", ""]), root, dry=True)
    assert not (root / "exercises/hop.md").exists()
    assert not IntakeFolder(root).beside.exists()
    wet = take_in(csv_bytes(HEAD, ["Hop", "till tired", ""]), root)
    at = pathlib.Path("m.yml")
    assert report_values(dry, at, False) == report_values(wet, at, False)


def test_the_report_says_what_needs_a_person(tmp_path: pathlib.Path) -> None:
    intake = take_in(csv_bytes(HEAD, ["Hop", "3x10, 2 kg", "Rope"]), small_library(tmp_path))
    values = report_values(intake, pathlib.Path("m.yml"), False)
    assert values["counts"]["made"] == 1
    assert values["drafts"][0]["kept"] == [
        {"column": "B", "heading": "Dose", "text": "3x10, 2 kg", "why": "not certain: '2 kg'"},
        {"column": "C", "heading": "Equipment", "text": "Rope",
         "why": "not in vocabulary/equipment.yml: 'Rope'"},
    ]  # fmt: skip
    assert values["drafts"][0]["still_to_write"] == ["position", "works", "movement"]
    text = report_text(intake, pathlib.Path("m.yml"), False)
    assert "Needs a person (1):\n  exercises/hop.md (row 2)\n" in text
    assert "column B (Dose): not certain: '2 kg': 3x10, 2 kg\n" in text
