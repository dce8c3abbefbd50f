"""Tasks of a build, shared out among processes."""

from __future__ import annotations

import itertools
import multiprocessing
import os
import sys
from collections.abc import Callable, Sequence
from concurrent.futures import ProcessPoolExecutor
from typing import Any

WORTH_A_PROCESS = 60  # pages; for fewer, a process costs more than it brings
PARTS = 5  # for each process, so that none is done long before the others
MOST = 120  # pages in one share: more of them take more memory, and no less time
Task = tuple[Any, ...]  # a method's name, and what it is called with

_work: object = None  # what a forked process inherits


def processes(pages: int) -> int:
    """How many processes are worth it."""
    if not sys.platform.startswith("linux"):
        return 1
    return max(1, min(len(os.sched_getaffinity(0)), pages // WORTH_A_PROCESS))


def cut(number: int, workers: int) -> list[tuple[int, int]]:
    """The first and the last but one of each share of so many things."""
    wanted = max(PARTS * workers if workers > 1 else 1, -(-number // MOST))
    shares = max(1, min(wanted, number))
    return list(itertools.pairwise([number * share // shares for share in range(shares + 1)]))


def _in_child(task: Task) -> Any:
    name, *about = task
    return getattr(_work, name)(*about)


def done(
    work: object, tasks: Sequence[Task], meanwhile: Callable[[], None], workers: int
) -> list[Any]:
    """The answers to all tasks, methods of `work`; other processes know it as it is now."""
    global _work
    _work = work
    try:
        if workers == 1:
            meanwhile()
            return [_in_child(task) for task in tasks]
        with ProcessPoolExecutor(workers, multiprocessing.get_context("fork")) as pool:
            coming = [pool.submit(_in_child, task) for task in tasks]
            meanwhile()
            return [answer.result() for answer in coming]
    finally:
        _work = None
