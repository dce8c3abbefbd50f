"""A place to keep what a run found, so that the next one need not find it again.

One JSON file a library, in the user's cache folder (`RUNGBOOK_CACHE` names another, or is `off`).
It is never kept in the library: what comes with a library is not to be trusted. A file that is
damaged, of another version, or that cannot be read or written is as good as none.
"""

from __future__ import annotations

import contextlib
import hashlib
import json
import os
import pathlib
import sys
import tempfile
from typing import Any

from rungbook import __version__

MOST_FILES = 200  # kept: of more libraries than anyone has, the oldest go


def folder() -> pathlib.Path | None:
    """Where things are kept; None where nothing is to be kept."""
    named = os.environ.get("RUNGBOOK_CACHE")
    if named == "off":
        return None
    if named:
        return pathlib.Path(named)
    import platformdirs

    return pathlib.Path(platformdirs.user_cache_dir("rungbook", appauthor=False))


def program(*others: pathlib.Path) -> str:
    """Changes with the version, and with every file of the program where it is being worked on.

    `others` are further folders that count as the program.
    """
    stamps = []
    for package in (pathlib.Path(__file__).parent.parent, *others):
        for inside, folders, names in os.walk(package):
            folders[:] = sorted(name for name in folders if name != "__pycache__")
            for name in sorted(names):
                about = os.stat(os.path.join(inside, name))
                stamps.append(f"{inside}/{name} {about.st_size} {about.st_mtime_ns}")
    digest = hashlib.blake2b("\n".join(stamps).encode("utf-8", "replace"), digest_size=16)
    return f"{__version__} {sys.version} {digest.hexdigest()}"


def file_of(library: pathlib.Path, kind: str) -> pathlib.Path | None:
    """The file where one kind of thing is kept for the library in a folder."""
    place = folder()
    if place is None:
        return None
    name = hashlib.blake2b(os.fsencode(os.path.realpath(library)), digest_size=16).hexdigest()
    return place / f"{name}.{kind}"


def load(library: pathlib.Path) -> dict[str, Any] | None:
    """What was kept for the library in a folder, None where nothing sound was."""
    file = file_of(library, "json")
    if file is None:
        return None
    try:
        head, _, body = file.read_bytes().partition(b"\n")
        if head.decode() != _seal(body):
            return None
        kept = json.loads(body)
    except (OSError, ValueError, RecursionError):
        return None
    return kept if isinstance(kept, dict) else None


def _seal(body: bytes) -> str:
    """Holds for these bytes and this program only."""
    known = program().encode("utf-8", "replace")
    return hashlib.blake2b(known + b"\n" + body, digest_size=32).hexdigest()


def keep(library: pathlib.Path, what: dict[str, Any]) -> None:
    """Keep JSON-ready data for the library in a folder; where that cannot be done, do nothing.

    The file is written beside the old one and takes its place at once: of two processes the last
    one's is kept, whole.
    """
    file = file_of(library, "json")
    if file is None:
        return
    try:
        body = json.dumps(what, separators=(",", ":"), ensure_ascii=True).encode()
        file.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
        handle, beside = tempfile.mkstemp(dir=file.parent, suffix=".new")
    except (OSError, TypeError, ValueError):
        return
    try:
        with os.fdopen(handle, "wb") as stream:
            stream.write(_seal(body).encode() + b"\n" + body)
        os.replace(beside, file)
        _tidy(file.parent)
    except OSError:
        with contextlib.suppress(OSError):
            os.unlink(beside)


def _tidy(folder: pathlib.Path) -> None:
    entries = [(entry.stat().st_mtime, entry.path) for entry in os.scandir(folder)]
    for _, path in sorted(entries, reverse=True)[MOST_FILES:]:
        with contextlib.suppress(OSError):
            os.unlink(path)
