"""One process at a time holds a file, and nothing is left of it."""

from __future__ import annotations

import multiprocessing
import os
import pathlib
import signal
import time

import pytest

from rungbook.pipeline.lock import Held, held


def test_only_one_holds_it_and_it_is_gone_afterwards(tmp_path: pathlib.Path) -> None:
    path = tmp_path / "lock"
    with held(path):
        with pytest.raises(Held), held(path):
            pass
        assert path.exists()
    assert not path.exists()
    with held(path):
        pass


def _hold(path: pathlib.Path) -> None:
    with held(path):
        time.sleep(60)


def test_a_killed_process_holds_nothing(tmp_path: pathlib.Path) -> None:
    path = tmp_path / "lock"
    process = multiprocessing.get_context("fork").Process(target=_hold, args=(path,))
    process.start()
    while not path.exists():
        time.sleep(0.01)
    time.sleep(0.05)
    with pytest.raises(Held), held(path):
        pass
    assert process.pid
    os.kill(process.pid, signal.SIGKILL)
    process.join()
    with held(path):
        pass
    assert list(tmp_path.iterdir()) == []


def _take_turns(path: pathlib.Path, witness: pathlib.Path, until: float) -> None:
    while time.monotonic() < until:
        try:
            with held(path):
                os.close(os.open(witness, os.O_CREAT | os.O_EXCL))  # two at once would meet here
                os.unlink(witness)
        except Held:
            pass


def test_many_that_come_and_go_are_never_two_at_once(tmp_path: pathlib.Path) -> None:
    until = time.monotonic() + 1.0
    about = (tmp_path / "lock", tmp_path / "witness", until)
    context = multiprocessing.get_context("fork")
    processes = [context.Process(target=_take_turns, args=about) for _ in range(4)]
    for process in processes:
        process.start()
    for process in processes:
        process.join()
    assert [process.exitcode for process in processes] == [0, 0, 0, 0]


def test_a_link_in_its_place_is_not_followed(tmp_path: pathlib.Path) -> None:
    (tmp_path / "lock").symlink_to(tmp_path / "elsewhere")
    with pytest.raises(OSError), held(tmp_path / "lock"):
        pass
    assert not (tmp_path / "elsewhere").exists()
