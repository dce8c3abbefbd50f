"""Files written together are all there or none, however the writing ends."""

from __future__ import annotations

import os
import pathlib
import signal
import subprocess
import sys
import time

import pytest

from rungbook.pipeline.together import WORKING, NotWritten, take_back, write_together


@pytest.fixture
def folder(tmp_path: pathlib.Path) -> pathlib.Path:
    (tmp_path / "old.md").write_text("as it was")
    return tmp_path


NEW = {"new.md": b"new", "old.md": b"changed", "below/last.md": b"last"}


def state(folder: pathlib.Path) -> dict[str, str]:
    return {str(one.relative_to(folder)): one.read_text()
            for one in sorted(folder.rglob("*")) if one.is_file()}  # fmt: skip


def test_all_of_them_are_written_and_nothing_else_is_left(folder: pathlib.Path) -> None:
    write_together(folder, NEW)
    assert state(folder) == {"new.md": "new", "old.md": "changed", "below/last.md": "last"}
    assert not (folder / WORKING).exists()


def test_what_may_be_done_with_a_file_stays(folder: pathlib.Path) -> None:
    (folder / "old.md").chmod(0o640)
    write_together(folder, NEW)
    assert (folder / "old.md").stat().st_mode & 0o777 == 0o640


@pytest.mark.parametrize("fails_at", range(3))
def test_what_fails_half_way_is_taken_back(
    folder: pathlib.Path, fails_at: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    real, count = os.replace, 0

    def replace(source: object, target: object) -> None:
        nonlocal count
        if ".rungbook-writing/new-" in str(source):
            if count == fails_at:
                raise OSError(28, "No space left on device")
            count += 1
        real(str(source), str(target))

    monkeypatch.setattr(os, "replace", replace)
    with pytest.raises(NotWritten, match=r"nothing was written: .*No space left"):
        write_together(folder, NEW)
    assert state(folder) == {"old.md": "as it was"}


def test_a_target_that_is_a_folder_stops_everything(folder: pathlib.Path) -> None:
    (folder / "new.md").mkdir()
    with pytest.raises(NotWritten):
        write_together(folder, {"old.md": b"changed", **NEW})
    assert state(folder) == {"old.md": "as it was"}


KILLED = """
import os, pathlib, signal, sys
from rungbook.pipeline import together
real, left = os.replace, int(sys.argv[2])
def replace(source, target):
    global left
    if "new-" in str(source):
        if not left:
            os.kill(os.getpid(), signal.SIGKILL)
        left -= 1
    real(source, target)
os.replace = replace
together.write_together(pathlib.Path(sys.argv[1]),
                        {"new.md": b"new", "old.md": b"changed", "below/last.md": b"last"})
"""


@pytest.mark.skipif(sys.platform == "win32", reason="there is no SIGKILL")
@pytest.mark.parametrize("moved", range(3))
def test_the_next_run_takes_back_what_a_killed_one_left(folder: pathlib.Path, moved: int) -> None:
    run = subprocess.run([sys.executable, "-c", KILLED, str(folder), str(moved)], check=False)
    assert run.returncode == -signal.SIGKILL
    assert take_back(folder)
    assert state(folder) == {"old.md": "as it was"}
    assert not take_back(folder)
    write_together(folder, NEW)
    assert state(folder)["old.md"] == "changed"


def test_a_run_killed_before_anything_was_moved_leaves_files_that_are_cleaned(
    folder: pathlib.Path,
) -> None:
    (folder / WORKING).mkdir()
    (folder / WORKING / "new-0").write_text("half")
    write_together(folder, NEW)
    assert state(folder) == {"new.md": "new", "old.md": "changed", "below/last.md": "last"}


HELD = """
import pathlib, sys, time
from rungbook.pipeline.together import _working
with _working(pathlib.Path(sys.argv[1])):
    print("held", flush=True)
    time.sleep(30)
"""


def test_two_runs_do_not_write_at_once(folder: pathlib.Path) -> None:
    with subprocess.Popen(
        [sys.executable, "-c", HELD, str(folder)], stdout=subprocess.PIPE
    ) as other:
        try:
            assert other.stdout is not None and other.stdout.readline() == b"held\n"
            with pytest.raises(NotWritten, match="another run is writing here"):
                write_together(folder, NEW)
            assert not take_back(folder)  # what is being written is nobody's to take back
        finally:
            other.kill()
    time.sleep(0)
    write_together(folder, NEW)
    assert state(folder)["new.md"] == "new"


def test_a_working_folder_that_is_a_link_is_refused(
    folder: pathlib.Path, tmp_path_factory: pytest.TempPathFactory
) -> None:
    elsewhere = tmp_path_factory.mktemp("elsewhere")
    (folder / WORKING).symlink_to(elsewhere)
    with pytest.raises(NotWritten, match="is a link: remove it"):
        write_together(folder, NEW)
    assert not list(elsewhere.iterdir())
