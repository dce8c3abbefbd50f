"""`rungbook new`: a library that is sound from the first minute."""

from __future__ import annotations

import pathlib

from click.testing import CliRunner

from rungbook.cli import main


def test_the_new_library_has_a_ladder_and_only_lacks_its_reviews(tmp_path: pathlib.Path) -> None:
    folder = tmp_path / "mine"
    run = CliRunner().invoke(main, ["new", str(folder)])
    assert run.exit_code == 0
    assert f"rungbook check --library {folder}" in run.output
    arguments = ["check", "--library", str(folder), "--no-cache", "--fail-on", "warning"]
    checked = CliRunner().invoke(main, [*arguments, "--skip", "review-overdue"])
    assert checked.exit_code == 0
    assert checked.output.endswith("3 exercises, 1 ladder: 0 errors, 0 warnings, 1 note.\n")


def test_an_empty_folder_will_do(tmp_path: pathlib.Path) -> None:
    assert CliRunner().invoke(main, ["new", str(tmp_path)]).exit_code == 0
    assert (tmp_path / "library.yml").is_file()


def test_a_folder_with_something_in_it_is_left_alone(tmp_path: pathlib.Path) -> None:
    (tmp_path / "mine.txt").write_text("mine")
    run = CliRunner().invoke(main, ["new", str(tmp_path)])
    assert run.exit_code == 2
    assert "is not empty: name a new folder, nothing here was touched." in run.output
    assert [path.name for path in tmp_path.iterdir()] == ["mine.txt"]


def test_a_file_is_no_folder(tmp_path: pathlib.Path) -> None:
    (tmp_path / "mine.txt").write_text("mine")
    run = CliRunner().invoke(main, ["new", str(tmp_path / "mine.txt")])
    assert run.exit_code == 2
    assert "is a file: name a folder that does not exist yet." in run.output
