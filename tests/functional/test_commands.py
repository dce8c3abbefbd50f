"""The program as a whole: its commands are found by listing their folder, and it starts at once."""

from __future__ import annotations

import pathlib
import re
import subprocess
import sys

import click
import pytest
from click.testing import CliRunner

import rungbook.cli
from rungbook import __version__
from rungbook.cli import main
from rungbook.pipeline.workers import WorkerEnded

COMMANDS = main.list_commands(click.Context(main))  # type: ignore[attr-defined]


def test_the_version() -> None:
    assert CliRunner().invoke(main, ["--version"]).output == f"rungbook, version {__version__}\n"


def test_help_lists_every_command_with_a_line_about_it() -> None:
    output = CliRunner().invoke(main, ["--help"]).output
    listed = re.findall(r"^  ([a-z]+)  +[A-Z].", output[output.index("Commands:") :], re.M)
    assert listed == COMMANDS
    assert {"check", "compare", "new"} <= set(listed)


@pytest.mark.parametrize("name", COMMANDS)
def test_every_command_has_help_with_an_example(name: str) -> None:
    result = CliRunner().invoke(main, [name, "--help"])
    assert result.exit_code == 0
    assert "Example" in result.output
    assert f"rungbook {name}" in result.output


def test_starting_imports_nothing_heavy() -> None:
    code = (
        "import sys, rungbook.cli\n"
        "print(*sorted({name.split('.')[0] for name in sys.modules}"
        " & {'numpy', 'pydantic', 'yaml', 'networkx', 'mkdocs', 'jinja2', 'pint'}))"
    )
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert run.stdout == "\n"


def test_listing_commands_imports_none() -> None:
    code = (
        "import sys\nfrom click.testing import CliRunner\nfrom rungbook.cli import main\n"
        "assert CliRunner().invoke(main, ['--help']).exit_code == 0\n"
        "print(*(name for name in sys.modules if name.startswith('rungbook.cli.')))"
    )
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert run.stdout == "\n"


def test_a_misspelt_command_is_told_with_the_nearest_one() -> None:
    result = CliRunner().invoke(main, ["chekc"])
    assert result.exit_code == 2
    assert "No such command 'chekc'. Did you mean 'check'?" in result.output


def test_a_fault_of_ours_is_told_in_a_few_lines(monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(*arguments: object, **more: object) -> None:
        raise RuntimeError("the sky fell")

    monkeypatch.setattr("rungbook.pipeline.starting.start", broken)
    result = CliRunner().invoke(main, ["new", "somewhere"])
    assert result.exit_code == 2
    assert "met a fault of its own: RuntimeError: the sky fell (test_commands.py:" in result.output
    assert "Please report it" in result.output
    assert "Traceback" not in result.output


def test_a_full_disk_is_told_as_such(monkeypatch: pytest.MonkeyPatch) -> None:
    def full(folder: pathlib.Path, source: str) -> None:
        raise OSError(28, "No space left on device", str(folder))

    monkeypatch.setattr("rungbook.pipeline.starting.start", full)
    result = CliRunner().invoke(main, ["new", "somewhere"])
    assert (result.exit_code, result.output) == (2, "Error: somewhere: No space left on device\n")


def test_every_module_of_the_folder_is_a_command_or_serves_them() -> None:
    folder = pathlib.Path(rungbook.cli.__file__).parent
    assert all(path.read_text("utf-8").startswith('"""') for path in folder.glob("*.py")), (
        "the first line of a module is its line in the list of commands"
    )


def test_the_library_may_be_named_before_the_command_too(tmp_path: pathlib.Path) -> None:
    runner = CliRunner()
    assert runner.invoke(main, ["new", str(tmp_path / "clinic")]).exit_code == 0
    before = runner.invoke(main, ["--library", str(tmp_path / "clinic"), "steps"])
    after = runner.invoke(main, ["steps", "--library", str(tmp_path / "clinic")])
    assert before.exit_code == after.exit_code == 0
    assert before.output == after.output


@pytest.mark.parametrize("command", ["check", "build"])
def test_a_process_ended_from_outside_is_told_as_what_it_is(
    command: str, tmp_path: pathlib.Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def ended(*about: object, **more: object) -> None:
        raise WorkerEnded("a process was ended from outside: close other programs")

    monkeypatch.setattr("rungbook.pipeline.check.check_library", ended)
    monkeypatch.setattr("rungbook.pipeline.analyse.analyse", ended)
    call = [command, "--library", str(tmp_path), *(["--site", "x"] if command == "build" else [])]
    result = CliRunner().invoke(main, call)
    assert result.exit_code == 2
    assert result.stderr == "Error: a process was ended from outside: close other programs\n"
