"""A file that one process holds at a time, and that is gone when it lets go."""

from __future__ import annotations

import contextlib
import os
import pathlib
from collections.abc import Iterator

try:
    import fcntl
except ImportError:  # Windows
    fcntl = None  # type: ignore[assignment]


class Held(Exception):
    """Another process holds it."""


@contextlib.contextmanager
def held(path: pathlib.Path) -> Iterator[None]:
    """Hold the file at `path`, made for that; the system lets go of it when a process is killed.

    Raises:
        Held: another process does.
        OSError: nothing can be written there.
    """
    handle = _hold(path)
    try:
        yield
    finally:
        if fcntl is not None:
            with contextlib.suppress(OSError):
                os.unlink(path)  # before it is let go: nobody else can hold it yet
        os.close(handle)


def _hold(path: pathlib.Path) -> int:
    if fcntl is None:
        try:
            # Gone with the process, and only one can make it.
            return os.open(path, os.O_RDWR | os.O_CREAT | os.O_EXCL | os.O_TEMPORARY)
        except FileExistsError:
            raise Held from None
    while True:
        handle = os.open(path, os.O_RDWR | os.O_CREAT | os.O_NOFOLLOW | os.O_CLOEXEC, 0o600)
        try:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            os.close(handle)
            raise Held from None
        except OSError:
            os.close(handle)
            raise
        if os.fstat(handle).st_nlink:
            return handle
        os.close(handle)  # whoever held it let go, and removed it, while we were opening it
