"""Says on stderr what a long run is doing: nothing in the first second, nothing in a log."""

from __future__ import annotations

import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager

PATIENCE_S = 1.0


@contextmanager
def progress() -> Iterator[Callable[[str], None]]:
    """Gives a function to name the phase that begins; the line is wiped at the end."""
    began = time.monotonic()
    shown = False

    def say(phase: str) -> None:
        nonlocal shown
        if sys.stderr.isatty() and time.monotonic() - began > PATIENCE_S:
            sys.stderr.write(f"\r\x1b[K{phase} …")
            sys.stderr.flush()
            shown = True

    try:
        yield say
    finally:
        if shown:
            sys.stderr.write("\r\x1b[K")
            sys.stderr.flush()
