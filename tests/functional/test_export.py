"""`rungbook export`: complete, documented, the same bytes every time."""

from __future__ import annotations

import json
import pathlib

import pytest
from click.testing import CliRunner

from builders.exports import DEMO, measured_library
from builders.library import library_folder
from rungbook.cli import main
from rungbook.exporting.formats import BY_NAME
from rungbook.model.exercise import Exercise
from rungbook.reading.read import read_library


def run(*arguments: str) -> str:
    result = CliRunner().invoke(main, ["export", *arguments])
    assert result.exit_code == 0, result.output
    return result.stdout


def test_the_command_knows_every_format() -> None:
    listed = run("--help")
    assert all(f"{one.name:11} {one.about}" in listed for one in BY_NAME.values())


@pytest.mark.parametrize("format", BY_NAME)
def test_the_same_library_gives_the_same_bytes(format: str) -> None:
    first = run(format, "--library", str(DEMO))
    assert first == run(format, "--library", str(DEMO))
    assert first.endswith("\n")


@pytest.mark.parametrize("format", BY_NAME)
def test_every_format_describes_itself(format: str) -> None:
    shape = run(format, "--shape")
    assert shape.startswith("# ")
    assert len(shape) > 400


def test_a_file_holds_what_would_be_printed(tmp_path: pathlib.Path) -> None:
    file = tmp_path / "out.csv"
    result = CliRunner().invoke(
        main, ["export", "csv", "--library", str(DEMO), "--output", str(file)]
    )
    assert (result.exit_code, result.stdout) == (0, "")
    printed = CliRunner().invoke(main, ["export", "csv", "--library", str(DEMO)])
    assert file.read_bytes() == printed.stdout_bytes


def test_the_json_is_complete() -> None:
    """Every file, every key and text of it, every load and step."""
    found = json.loads(run("json", "--library", str(DEMO)))
    library = read_library(DEMO)
    measured = measured_library(DEMO)
    files = {path.relative_to(DEMO).as_posix() for path in DEMO.rglob("*.md")}
    assert {one["file"] for one in (*found["exercises"], *found["ladders"])} == files
    for one in found["exercises"]:
        exercise = library.exercises[one["id"]]
        assert one["text"] == dict(exercise.text)
        for name in Exercise.model_fields:
            if getattr(exercise, name) and name not in Exercise.NOT_WRITTEN:
                default = Exercise.model_fields[name].default
                key = name.replace("_", "-")
                assert key in one["written"] or getattr(exercise, name) == default, (one["id"], key)
        if measured.loads[exercise.id].demands:
            assert one["load"]["demand"].keys() == measured.loads[exercise.id].demands.keys()
    edges = {(edge["from"], edge["to"]) for edge in found["progressions"]}
    assert edges == set(measured.graph.edges)
    assert {one["id"]: tuple(one["rungs"]) for one in found["ladders"]} == {
        id: ladder.rungs for id, ladder in measured.ladders.items()
    }
    assert found["vocabulary"]["sources"].keys() == library.vocabulary.sources.keys()


def test_exercises_with_errors_are_left_out_and_named(tmp_path: pathlib.Path) -> None:
    root = library_folder(tmp_path, {"good": {"title": "Good"}, "bad": {"titel": "Bad"}})
    result = CliRunner().invoke(main, ["export", "json", "--library", str(root)])
    assert result.exit_code == 0
    assert json.loads(result.stdout)["left_out"] == ["bad"]
    assert "Left out for errors: bad. See rungbook check." in result.stderr


def test_an_unknown_format_is_a_usage_error() -> None:
    result = CliRunner().invoke(main, ["export", "pdf"])
    assert result.exit_code == 2
    assert "'pdf' is not one of" in result.output


def test_a_folder_that_is_not_there_is_a_usage_error(tmp_path: pathlib.Path) -> None:
    output = str(tmp_path / "no" / "x.dot")
    result = CliRunner().invoke(main, ["export", "dot", "--library", str(DEMO), "--output", output])
    assert result.exit_code == 2
    assert "No such file or directory" in result.output
    result = CliRunner().invoke(main, ["export", "dot", "--library", str(tmp_path / "none")])
    assert result.exit_code == 2
    assert "there is no folder" in result.output
