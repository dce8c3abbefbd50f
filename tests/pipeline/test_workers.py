"""Work in several processes: nothing is lost, nothing stays behind, faults are told."""

from __future__ import annotations

import multiprocessing
import os
import pathlib
import signal
import subprocess
import sys
import time

import pytest

from rungbook.pipeline.workers import WorkerEnded, all_of, each

LINUX = sys.platform.startswith("linux")
needs_fork = pytest.mark.skipif(not LINUX, reason="processes are forked on Linux only")


@needs_fork
@pytest.mark.parametrize("processes", [1, 2, 3, 9])
@pytest.mark.parametrize("items", [0, 1, 2, 7])
def test_every_item_is_done_once(processes: int, items: int) -> None:
    done = sorted(each(lambda item: item * item, range(items), processes))
    assert done == [(number, number * number) for number in range(items)]
    assert multiprocessing.active_children() == []


@needs_fork
@pytest.mark.parametrize("processes", [1, 2, 3])
@pytest.mark.parametrize("items", [0, 1, 7])
def test_outcomes_come_in_the_order_of_the_items(processes: int, items: int) -> None:
    def slow_at_first(item: int) -> int:
        time.sleep(0.02 * (item == 0))
        return item * item

    called: list[int] = []
    done = all_of(slow_at_first, range(items), processes, lambda: called.append(os.getpid()))
    assert done == [number * number for number in range(items)]
    assert called == [os.getpid()]  # once, here


@needs_fork
def test_what_fails_here_meanwhile_leaves_no_process_behind() -> None:
    def fail() -> None:
        raise OSError("the disk is full")

    with pytest.raises(OSError, match="full"):
        all_of(lambda item: time.sleep(60), range(4), 2, fail)
    assert multiprocessing.active_children() == []


@needs_fork
def test_what_the_work_raises_is_raised_with_where_it_arose() -> None:
    def divide(item: int) -> float:
        return 1 / item

    with pytest.raises(ZeroDivisionError) as told:
        list(each(divide, [1, 0, 2], 2))
    assert "in divide" in "".join(told.value.__notes__)
    assert multiprocessing.active_children() == []


@needs_fork
def test_an_exception_that_cannot_travel_is_told_in_words() -> None:
    class OnlyHere(Exception):
        pass

    def fail(item: int) -> None:
        raise OnlyHere("not this one")

    with pytest.raises(RuntimeError, match="OnlyHere: not this one"):
        list(each(fail, [1, 2], 2))


@needs_fork
def test_a_process_that_is_killed_is_told() -> None:
    here = os.getpid()

    def die(item: int) -> None:
        assert os.getpid() != here
        os.kill(os.getpid(), signal.SIGKILL)

    with pytest.raises(WorkerEnded, match="memory"):
        list(each(die, [1, 2, 3], 2))
    assert multiprocessing.active_children() == []


@needs_fork
def test_who_stops_early_leaves_no_process_behind() -> None:
    outcomes = each(lambda item: time.sleep(60 * item), [0, 1, 1], 2)
    next(outcomes)
    outcomes.close()  # type: ignore[attr-defined]
    assert multiprocessing.active_children() == []


@needs_fork
@pytest.mark.parametrize("most", [0, 1])
def test_where_no_more_processes_are_to_be_had_all_is_done(
    monkeypatch: pytest.MonkeyPatch, most: int
) -> None:
    fork, forked = os.fork, []

    def limited() -> int:
        if len(forked) == most:
            raise BlockingIOError(11, "Resource temporarily unavailable")
        forked.append(1)
        return fork()

    monkeypatch.setattr(os, "fork", limited)
    assert sorted(each(lambda item: -item, range(5), 3)) == [(n, -n) for n in range(5)]
    assert multiprocessing.active_children() == []


@needs_fork
@pytest.mark.parametrize("most", [0, 1])
def test_where_no_more_files_can_be_opened_all_is_done(
    monkeypatch: pytest.MonkeyPatch, most: int
) -> None:
    context = multiprocessing.get_context("fork")
    pipe, opened = context.Pipe, []

    def limited(duplex: bool = True) -> object:
        if len(opened) == most:
            raise OSError(24, "Too many open files")
        opened.append(1)
        return pipe(duplex)

    monkeypatch.setattr(context, "Pipe", limited)
    assert all_of(lambda item: -item, range(5), 3) == [-number for number in range(5)]
    assert multiprocessing.active_children() == []


CODE = """
import os, sys, time
from rungbook.pipeline.workers import each
def work(item):
    open(os.path.join(sys.argv[1], str(os.getpid())), "w").close()
    time.sleep(4)
list(each(work, range(100), 2))
"""


@needs_fork
@pytest.mark.parametrize("sign", [signal.SIGINT, signal.SIGTERM, signal.SIGKILL])
def test_processes_end_with_the_one_that_started_them(
    tmp_path: pathlib.Path, sign: signal.Signals
) -> None:
    run = subprocess.Popen(
        [sys.executable, "-c", CODE, str(tmp_path)], stderr=subprocess.PIPE, text=True,
        # a shell's job in the background ignores it, and so would what is started here
        preexec_fn=lambda: signal.signal(signal.SIGINT, signal.SIG_DFL),
    )  # fmt: skip
    until = time.monotonic() + 30
    while len(list(tmp_path.iterdir())) < 2 and time.monotonic() < until:
        time.sleep(0.02)
    children = [int(file.name) for file in tmp_path.iterdir()]
    assert len(children) == 2
    run.send_signal(sign)
    _, words = run.communicate(timeout=30)  # waits for all who hold the stream
    assert run.returncode != 0
    assert words.count("Traceback") <= 1  # of the interrupted process alone
    left = [pathlib.Path(f"/proc/{child}") for child in children]
    while any(one.exists() for one in left) and time.monotonic() < until:
        time.sleep(0.02)
    assert not any(one.exists() for one in left)
