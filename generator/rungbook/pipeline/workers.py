"""Work that is done by several processes at once, each taking the next piece as it is free.

The processes are forked, so that they know all that is known here; only the pieces' numbers and
what comes of them travel. However the process that started them ends, they end after their piece.
"""

from __future__ import annotations

import contextlib
import gc
import multiprocessing
import os
import pickle
import signal
import sys
import traceback
from collections.abc import Callable, Iterator, Sequence
from multiprocessing.connection import Connection, wait
from multiprocessing.process import BaseProcess
from typing import Any, TypeVar

T = TypeVar("T")
R = TypeVar("R")


class WorkerEnded(Exception):
    """A process was ended from outside before its work was done; the message says what to do."""


def processors() -> int:
    """How many processes can work at once; 1 where none can be forked."""
    return len(os.sched_getaffinity(0)) if sys.platform.startswith("linux") else 1


def worthwhile(pieces: int, least: int) -> int:
    """How many processes are worth it where one is for no fewer than `least` pieces of work."""
    return max(1, min(processors(), pieces // least))


def all_of(
    work: Callable[[T], R],
    items: Sequence[T],
    processes: int,
    meanwhile: Callable[[], None] = lambda: None,
) -> list[R]:
    """The outcomes of all items, in their order; see `each`."""
    found = dict(each(work, items, processes, meanwhile))
    return [found[number] for number in range(len(items))]


def each(
    work: Callable[[T], R],
    items: Sequence[T],
    processes: int,
    meanwhile: Callable[[], None] = lambda: None,
) -> Iterator[tuple[int, R]]:
    """(number, outcome) of each item, in the order in which they are done.

    With one process, or one item, or where none can be started, the work is done here. Outcomes
    must be picklable. `meanwhile` is called once, here, as soon as the processes are at work.

    Raises:
        WorkerEnded: see there. What `work` raises is raised here, too.
    """
    ours: list[Connection] = []
    started: list[BaseProcess] = []
    try:
        if processes > 1 and len(items) > 1:
            _start(min(processes, len(items)), work, items, ours, started)
        if ours:
            yield from _outcomes(ours, iter(range(len(items))), meanwhile)
        else:
            meanwhile()
            yield from ((number, work(item)) for number, item in enumerate(items))
    finally:
        for connection in ours:
            connection.close()
        for process in started:
            process.terminate()
            process.join()


def _start(
    wanted: int,
    work: Callable[[Any], Any],
    items: Sequence[Any],
    ours: list[Connection],
    started: list[BaseProcess],
) -> None:
    """Add processes to `started` and our ends of their pipes to `ours`: as many as can be had."""
    context = multiprocessing.get_context("fork")
    for _ in range(wanted):
        try:
            here, there = context.Pipe()
        except OSError:
            return
        ours.append(here)
        # Forked: nothing of this is pickled.
        process = context.Process(target=_worker, args=(work, items, there, tuple(ours)))
        try:
            process.start()
        except OSError:
            ours.pop().close()
            return
        finally:
            there.close()
        started.append(process)


def _outcomes(
    connections: Sequence[Connection], waiting: Iterator[int], meanwhile: Callable[[], None]
) -> Iterator[Any]:
    busy = list(connections)
    for connection, number in zip(connections, waiting, strict=False):
        with contextlib.suppress(ConnectionError):  # told below
            connection.send(number)
    meanwhile()
    while busy:
        for ready in wait(busy):
            assert isinstance(ready, Connection)
            try:
                number, outcome, error = ready.recv()
                following = next(waiting, None)
                if following is not None and error is None:
                    ready.send(following)
            except (EOFError, ConnectionError):
                raise WorkerEnded(
                    "a process that did part of the work was ended from outside, for want of "
                    "memory perhaps: close other programs and try again"
                ) from None
            if error is not None:
                raise error
            if following is None:
                busy.remove(ready)
            yield number, outcome


def _worker(
    work: Callable[[Any], Any], items: Sequence[Any], to: Connection, parents: Sequence[Connection]
) -> None:
    for connection in parents:
        connection.close()  # else the end of the parent would not be noticed
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # the parent sees to it
    gc.freeze()
    with contextlib.suppress(EOFError, ConnectionError):
        while True:
            number = to.recv()
            try:
                to.send((number, work(items[number]), None))
            except Exception as error:
                to.send((number, None, _portable(error)))


def _portable(error: Exception) -> Exception:
    """The exception as it can travel, with where it arose."""
    error.add_note(traceback.format_exc())
    try:
        pickle.loads(pickle.dumps(error))
    except Exception:
        return RuntimeError(f"{type(error).__name__}: {error}")
    return error
