"""Says on stderr what a long run is doing: nothing in the first second, nothing in a log."""

from __future__ import annotations

import sys
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager

PATIENCE_S = 1.0


class _Line:
    """The last line of a terminal, which shows the phase once the run has taken a while."""

    def __init__(self) -> None:
        self.lock = threading.Lock()
        self.phase = ""
        self.late = False

    def show(self) -> None:
        with self.lock:
            self.late = True
            self._write(f"{self.phase} …" if self.phase else "")

    def say(self, phase: str) -> None:
        with self.lock:
            self.phase = phase
            if self.late:
                self._write(f"{phase} …")

    def wipe(self) -> None:
        with self.lock:
            if self.late:
                self._write("")
            self.phase, self.late = "", False

    def _write(self, text: str) -> None:
        sys.stderr.write(f"\r\x1b[K{text}")
        sys.stderr.flush()


def _silent(phase: str) -> None:
    return None


@contextmanager
def progress() -> Iterator[Callable[[str], None]]:
    """Gives a function to name the phase that begins; the line is wiped at the end."""
    if not sys.stderr.isatty():
        yield _silent
        return
    line = _Line()
    timer = threading.Timer(PATIENCE_S, line.show)
    timer.daemon = True
    timer.start()
    try:
        yield line.say
    finally:
        timer.cancel()
        line.wipe()
