"""`rungbook new`: a library that is sound from the first minute."""

from __future__ import annotations

import os
import pathlib
import subprocess
import sys

import pytest
import yaml
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


def test_the_folder_is_fit_to_be_a_repository_that_checks_itself(tmp_path: pathlib.Path) -> None:
    """Every command of the workflow is one there is; it reads as YAML; the source is pinned."""
    import re

    from rungbook import __version__

    folder = tmp_path / "clinic"
    made = CliRunner().invoke(main, ["new", str(folder)])
    assert ".github/workflows/library.yml" in made.output
    assert "/site/" in (folder / ".gitignore").read_text().splitlines()
    workflow = yaml.safe_load((folder / ".github/workflows/library.yml").read_text())
    assert workflow["env"] == {"RUNGBOOK": f"rungbook=={__version__}"}
    lines = [step["run"] for step in workflow["jobs"]["library"]["steps"] if "run" in step]
    assert lines[0] == 'pip install "$RUNGBOOK"'
    for line in lines[1:]:
        command, *rest = re.findall(r"rungbook (\S+)(.*)", line)[0]
        told = CliRunner().invoke(main, [command, "--help"])
        assert told.exit_code == 0
        assert all(option in told.output for option in re.findall(r"--[a-z-]+", rest[0]))


def test_another_source_is_pinned_where_it_is_given(tmp_path: pathlib.Path) -> None:
    source = "rungbook @ git+https://host.example/owner/name@0123abc"
    folder = tmp_path / "clinic"
    assert CliRunner().invoke(main, ["new", str(folder), "--source", source]).exit_code == 0
    assert f'RUNGBOOK: "{source}"' in (folder / ".github/workflows/library.yml").read_text()
    wrong = CliRunner().invoke(main, ["new", str(tmp_path / "b"), "--source", 'x"; rm -r .'])
    assert wrong.exit_code == 2
    assert not (tmp_path / "b").exists()


@pytest.mark.parametrize("inside", ["", "library"])
def test_the_workflow_runs_as_it_is_written_wherever_the_library_lies(
    tmp_path: pathlib.Path, inside: str
) -> None:
    """The repository is the library, or holds it in `library/`; its own shell runs each line."""
    repository = tmp_path / "ours"
    CliRunner().invoke(main, ["new", str(repository / inside)])
    text = (repository / inside / ".github/workflows/library.yml").read_text()
    runner = tmp_path / "runner"
    runner.mkdir()
    program = pathlib.Path(sys.executable).parent
    environment = {
        **os.environ,
        "PATH": f"{program}{os.pathsep}{os.environ['PATH']}",
        "RUNNER_TEMP": str(runner),
    }
    steps = yaml.safe_load(text)["jobs"]["library"]["steps"]
    for step in steps:
        line = step.get("run", "")
        if line.startswith("rungbook") and "if" not in step:
            done = subprocess.run(
                ["bash", "-e", "-c", line], cwd=repository, env=environment, capture_output=True
            )
            assert done.returncode == 0, (line, done.stderr.decode())
    assert (runner / "site" / "index.html").is_file()
    assert steps[-1]["with"]["path"] == "${{ runner.temp }}/site"
