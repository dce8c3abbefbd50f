"""Programs are never taken from where a stranger may have put them."""

from __future__ import annotations

import ast
import os
import pathlib
import stat
import sys
import time

import pytest

import rungbook
from rungbook.reading.programs import (
    ProgramFailed,
    environment,
    find_program,
    output_of,
    trusted_folders,
)

PYTHON = pathlib.Path(sys.executable)


def program(folder: pathlib.Path, name: str, mode: int = 0o755) -> pathlib.Path:
    folder.mkdir(parents=True, exist_ok=True)
    made = folder / name
    made.write_text("#!/bin/sh\necho ran\n")
    made.chmod(mode)
    return made


@pytest.mark.parametrize("entry", ["", ".", "./", "bin", "../here", "{here}", "{here}/.", "{link}"])
def test_the_current_folder_and_relative_ones_are_no_place_for_programs(
    tmp_path: pathlib.Path, monkeypatch: pytest.MonkeyPatch, entry: str
) -> None:
    here = tmp_path / "here"
    for folder in (here, here / "bin"):
        program(folder, "dot")
    (tmp_path / "link").symlink_to(here)
    right = program(tmp_path / "right", "dot")
    monkeypatch.chdir(here)
    path = entry.format(here=here, link=tmp_path / "link")
    monkeypatch.setenv("PATH", os.pathsep.join([path, str(right.parent)]))
    assert find_program("dot") == right
    assert environment()["PATH"] == str(right.parent)
    monkeypatch.setenv("PATH", path)
    assert find_program("dot") is None


def test_a_program_must_be_one(tmp_path: pathlib.Path) -> None:
    program(tmp_path, "dot", stat.S_IRUSR)
    (tmp_path / "git").mkdir()
    assert find_program("dot", [str(tmp_path)]) is None or os.geteuid() == 0
    assert find_program("git", [str(tmp_path)]) is None


# How Windows names programs: CreateProcess and cmd.exe, Microsoft's documentation of PATHEXT (from
# memory). Batch files go through a shell, whose quoting of arguments is not to be relied upon.
@pytest.mark.parametrize("ending", [".bat", ".cmd", ".com", ".js", ".vbs", ".ps1", ""])
def test_on_windows_only_an_exe_is_a_program(tmp_path: pathlib.Path, ending: str) -> None:
    program(tmp_path / "first", f"graphviz-pure{ending}")
    right = program(tmp_path / "second", "graphviz-pure.exe")
    folders = [str(tmp_path / "first"), str(tmp_path / "second")]
    assert find_program("graphviz-pure", folders, windows=True) == right
    assert find_program("graphviz-pure", folders[:1], windows=True) is None


def test_on_windows_children_do_not_look_in_the_current_folder_either() -> None:
    # Microsoft: NeedCurrentDirectoryForExePath, the variable's name (from memory).
    assert environment()["NoDefaultCurrentDirectoryInExePath"] == "1"


@pytest.mark.parametrize("name", ["", ".", "..", "./dot", "/bin/sh", "a\\b", "c:dot", 'd"ot'])
def test_a_path_is_no_name(name: str) -> None:
    assert find_program(name, ["/", "/bin", "."]) is None


def test_no_current_folder_is_no_fault(
    tmp_path: pathlib.Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    gone = tmp_path / "gone"
    gone.mkdir()
    monkeypatch.chdir(gone)
    gone.rmdir()
    assert trusted_folders("/bin") == ["/bin"]


def test_a_program_runs_beside_itself_unless_told_otherwise(
    tmp_path: pathlib.Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    with output_of(PYTHON, ["-c", "import os; print(os.getcwd())"], seconds=20) as answer:
        assert pathlib.Path(answer.read().decode().strip()) == PYTHON.parent.resolve()


def test_a_program_that_fails_or_takes_too_long_says_so() -> None:
    with (
        pytest.raises(ProgramFailed, match=r"^sorry$"),
        output_of(PYTHON, ["-c", "import sys; sys.exit('well\\nsorry')"], seconds=20) as answer,
    ):
        answer.read()
    started = time.monotonic()
    with (
        pytest.raises(ProgramFailed, match=r"longer than 0.5 s"),
        output_of(PYTHON, ["-c", "import time; time.sleep(60)"], seconds=0.5) as answer,
    ):
        answer.read()
    assert time.monotonic() - started < 20


def test_output_may_be_left_before_its_end() -> None:
    endless = "import itertools\nfor i in itertools.count(): print(i)"
    with output_of(PYTHON, ["-c", endless], seconds=60) as answer:
        assert answer.read(2) == b"0\n"


STARTS = {"subprocess", "pty", "webbrowser"}
CALLS = {"which", "system", "popen", "startfile", "posix_spawn", "posix_spawnp"}


def test_no_other_module_starts_or_looks_for_a_program() -> None:
    root = pathlib.Path(rungbook.__file__).parent
    found = []
    for path in root.rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text())):
            imported: list[str] = []
            if isinstance(node, ast.Import):
                imported = [name.name for name in node.names]
            elif isinstance(node, ast.ImportFrom):
                imported = [node.module or ""]
            called = isinstance(node, ast.Attribute) and (
                node.attr in CALLS
                or (node.attr.startswith(("exec", "spawn")) and ast.unparse(node.value) == "os")
            )
            if called or STARTS & {name.split(".")[0] for name in imported}:
                found.append(path.relative_to(root).as_posix())
    assert sorted(set(found)) == ["reading/programs.py"]
