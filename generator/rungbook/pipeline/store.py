"""What earlier runs made, each piece under a key that names all it was made from: one store.

Loads, findings, computed answers and what is known of the files of a site lie in one SQLite file
in the user's cache folder (`RUNGBOOK_CACHE` names another, or is `off`), never in a library: what
comes with a library is not to be trusted. A folder that somebody else owns or may write to is not
used. Two processes may use the store at once. Nothing in it is ever needed: a piece that is
damaged, missing or cannot be read or written is made again.
"""

from __future__ import annotations

import contextlib
import hashlib
import importlib.util
import os
import pathlib
import sqlite3
import stat
import sys
import time
from collections.abc import Callable, Collection, Mapping
from functools import cache

from rungbook import __version__

MOST_BYTES = 2_000_000_000  # of the file; beyond, what was not used for longest goes
PATIENCE_S = 5.0  # for another process that writes
AT_ONCE = 500  # keys in one question
# Others' programs whose work is in what is kept.
_LIBRARIES = frozenset(
    {
        "babel",
        "defusedxml",
        "jinja2",
        "markdown",
        "networkx",
        "nh3",
        "numpy",
        "pillow",
        "pydantic",
        "pyyaml",
        "segno",
    }
)


def place() -> pathlib.Path | None:
    """The file in which things are kept; None where nothing is to be kept, or nothing can be."""
    named = os.environ.get("RUNGBOOK_CACHE")
    if named == "off":
        return None
    if named:
        folder = pathlib.Path(named)
    else:
        import platformdirs

        folder = pathlib.Path(platformdirs.user_cache_dir("rungbook", appauthor=False))
    try:
        folder.mkdir(parents=True, exist_ok=True, mode=0o700)
        return folder / "kept.sqlite" if _ours_alone(folder.lstat()) else None
    except (OSError, ValueError):
        return None


def _ours_alone(about: os.stat_result) -> bool:
    """Whether this is a folder, no link, that nobody else can put anything into."""
    if not stat.S_ISDIR(about.st_mode):
        return False
    if not hasattr(os, "getuid"):
        return True
    return about.st_uid == os.getuid() and not about.st_mode & (stat.S_IWGRP | stat.S_IWOTH)


@cache
def program() -> str:
    """Changes with the program's version and its files, and with the programs it stands on."""
    digest = hashlib.blake2b(repr((__version__, sys.version, _others())).encode())
    theme = importlib.util.find_spec("rungbook_theme")
    parts = [os.path.dirname(os.path.dirname(__file__))]
    parts += [os.path.dirname(theme.origin)] if theme and theme.origin else []
    for part in parts:
        for inside, folders, names in os.walk(part):
            folders[:] = sorted(name for name in folders if name != "__pycache__")
            for name in sorted(names):
                with open(os.path.join(inside, name), "rb") as file:
                    digest.update(f"{name}\0".encode("utf-8", "surrogateescape") + file.read())
    return digest.hexdigest()


def _others() -> list[str]:
    """The versions of others' programs, by what their installers leave: asking takes far longer."""
    found = []
    for folder in sys.path:
        with contextlib.suppress(OSError):
            found += [name for name in os.listdir(folder) if name.endswith(".dist-info")]
    return sorted(name for name in found if name.partition("-")[0].lower() in _LIBRARIES)


def key_of(kind: str, *about: object) -> str:
    """The key of a piece of some kind that this program makes from `about`, told by `repr`."""
    told = repr((program(), kind, about)).encode("utf-8", "surrogatepass")
    return hashlib.blake2b(told, digest_size=32).hexdigest()


def find(keys: Collection[str]) -> dict[str, bytes]:
    """The sound pieces among those asked for."""
    wanted, found, today = list(keys), {}, _today()

    def look(connection: sqlite3.Connection) -> None:
        stale = []
        for at in range(0, len(wanted), AT_ONCE):
            some = wanted[at : at + AT_ONCE]
            marks = ",".join("?" * len(some))
            ask = f"SELECT key, used, digest, piece FROM pieces WHERE key IN ({marks})"
            for key, used, digest, piece in connection.execute(ask, some):
                if isinstance(piece, bytes) and digest == _digest(key, piece):
                    found[key] = piece
                    stale += [(today, key)] if used != today else []
        if stale:
            with connection:
                connection.executemany("UPDATE pieces SET used = ? WHERE key = ?", stale)

    if wanted:
        _with_store(look)
    return found


def keep(pieces: Mapping[str, bytes]) -> None:
    """Keep pieces by their keys for later runs; where that cannot be done, do nothing."""
    today = _today()

    def put(connection: sqlite3.Connection) -> None:
        with connection:
            connection.executemany(
                "INSERT OR REPLACE INTO pieces VALUES (?, ?, ?, ?)",
                ((key, today, _digest(key, piece), piece) for key, piece in pieces.items()),
            )
            _make_room(connection)

    if pieces:
        _with_store(put)


def _today() -> int:
    return int(time.time() // 86_400)


def _digest(key: str, piece: bytes) -> bytes:
    return hashlib.blake2b(piece, digest_size=16, key=key.encode()[:64]).digest()


def _with_store(work: Callable[[sqlite3.Connection], None]) -> None:
    """Do something with the store, as far as that goes; a damaged file is removed."""
    file = place()
    if file is None:
        return
    try:
        os.close(os.open(file, os.O_RDWR | os.O_CREAT, 0o600))
        with contextlib.closing(sqlite3.connect(file, timeout=PATIENCE_S)) as connection:
            # Nothing is lost that could not be made again, and what is damaged is noticed.
            connection.execute("PRAGMA synchronous = OFF")
            connection.execute(
                "CREATE TABLE IF NOT EXISTS pieces "
                "(key TEXT PRIMARY KEY, used INTEGER, digest BLOB, piece BLOB)"
            )
            work(connection)
    except (OSError, sqlite3.OperationalError):
        pass  # in use, read-only, full: the next run may have more luck
    except sqlite3.Error:
        with contextlib.suppress(OSError):
            file.unlink()


def _make_room(connection: sqlite3.Connection) -> None:
    """Drop what was not used for longest, where there is too much."""
    (size,) = connection.execute("SELECT SUM(LENGTH(piece)) FROM pieces").fetchone()
    if size is not None and size > MOST_BYTES:
        rows = connection.execute("SELECT key, LENGTH(piece) FROM pieces ORDER BY used, rowid")
        gone = []
        for key, length in rows:
            gone.append((key,))
            size -= length
            if size < MOST_BYTES / 2:
                break
        connection.executemany("DELETE FROM pieces WHERE key = ?", gone)
