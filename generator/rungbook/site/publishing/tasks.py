"""How the work of a build is cut into tasks, for as many processes as are worth it."""

from __future__ import annotations

import itertools

from rungbook.pipeline.workers import worthwhile

WORTH_A_PROCESS = 60  # pages; for fewer, a process costs more than it brings
PARTS = 5  # for each process, so that none is done long before the others
MOST = 120  # pages in one share: more of them take more memory, and no less time


def processes(pages: int) -> int:
    """How many processes are worth it."""
    return worthwhile(pages, WORTH_A_PROCESS)


def cut(number: int, workers: int) -> list[tuple[int, int]]:
    """The first and the last but one of each share of so many things."""
    wanted = max(PARTS * workers if workers > 1 else 1, -(-number // MOST))
    shares = max(1, min(wanted, number))
    return list(itertools.pairwise([number * share // shares for share in range(shares + 1)]))
