"""Finished pieces of work, kept between runs by a key that names all they were made from.

One SQLite file for each kind of piece of a library, beside the other files of the cache. Every
piece carries a digest of itself under its key, so that a damaged file gives nothing wrong. Two
processes may use it at once. A file that is damaged or cannot be read or written is as good as
none.
"""

from __future__ import annotations

import contextlib
import hashlib
import os
import pathlib
import sqlite3
from collections.abc import Collection, Iterator, Mapping

from rungbook.pipeline import cache

PATIENCE_S = 5.0  # for another process that writes
AT_ONCE = 500  # keys in one question


def _digest(key: str, piece: bytes) -> bytes:
    return hashlib.blake2b(piece, digest_size=16, key=key.encode()[:64]).digest()


class Store:
    """The pieces of one kind kept for the library in a folder.

    Keys are at most 64 characters of ASCII.
    """

    def __init__(self, library: pathlib.Path, kind: str = "pieces") -> None:
        self._file = cache.file_of(library, kind)

    @property
    def keeps(self) -> bool:
        """Whether anything is to be kept at all."""
        return self._file is not None

    @contextlib.contextmanager
    def _open(self) -> Iterator[sqlite3.Connection]:
        assert self._file is not None
        self._file.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
        with contextlib.closing(sqlite3.connect(self._file, timeout=PATIENCE_S)) as connection:
            # Nothing is lost that could not be made again, and what is damaged is noticed.
            connection.execute("PRAGMA synchronous = OFF")
            connection.execute(
                "CREATE TABLE IF NOT EXISTS pieces (key TEXT PRIMARY KEY, digest BLOB, piece BLOB)"
            )
            yield connection

    def find(self, keys: Collection[str]) -> dict[str, bytes]:
        """The sound pieces among those asked for."""
        if self._file is None or not os.path.exists(self._file):
            return {}
        wanted, found = list(keys), {}
        try:
            with self._open() as connection:
                for at in range(0, len(wanted), AT_ONCE):
                    some = wanted[at : at + AT_ONCE]
                    marks = ",".join("?" * len(some))
                    ask = f"SELECT key, digest, piece FROM pieces WHERE key IN ({marks})"
                    for key, digest, piece in connection.execute(ask, some):
                        if isinstance(piece, bytes) and digest == _digest(key, piece):
                            found[key] = piece
        except (OSError, sqlite3.Error) as error:
            self._start_over(error)
        return found

    def keep(self, fresh: Mapping[str, bytes], used: Collection[str]) -> None:
        """Add pieces, and drop all that are neither among them nor in `used`."""
        if self._file is None:
            return
        try:
            with self._open() as connection, connection:
                connection.executemany(
                    "INSERT OR REPLACE INTO pieces VALUES (?, ?, ?)",
                    ((key, _digest(key, piece), piece) for key, piece in fresh.items()),
                )
                there = {key for (key,) in connection.execute("SELECT key FROM pieces")}
                gone = there - set(used) - fresh.keys()
                connection.executemany("DELETE FROM pieces WHERE key = ?", ((key,) for key in gone))
        except (OSError, sqlite3.Error) as error:
            self._start_over(error)

    def _start_over(self, error: Exception) -> None:
        """Remove a damaged file; one that is only in use stays."""
        if self._file is not None and not isinstance(error, sqlite3.OperationalError | OSError):
            with contextlib.suppress(OSError):
                self._file.unlink()
