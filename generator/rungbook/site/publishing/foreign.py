"""Which files of a site a build made; what somebody else put among them is kept.

A list in the site's folder names what the build made: only that is ever replaced or removed. A
clinic's own page, a CNAME, a `.git` stay, in the new site as in the old one.
"""

from __future__ import annotations

import contextlib
import os
import pathlib
import shutil
from collections.abc import Iterator

MARKER = ".rungbook-site"
_SAYS = "Made by Rungbook: the next build replaces the files named here and keeps all others."


class InTheWay(Exception):
    """A file of somebody else lies where the new site has one of its own; its path."""


def note_made(site: pathlib.Path) -> None:
    """Write the list of all that lies in a folder."""
    made = sorted(path for path, is_folder in _below(site, "") if not is_folder)
    (site / MARKER).write_text("\n".join([_SAYS, *made, ""]), "utf-8", "surrogateescape")


def made_by_us(site: pathlib.Path) -> frozenset[str] | None:
    """The files that a build made in a folder; None where none did."""
    try:
        first, *made = (site / MARKER).read_text("utf-8", "surrogateescape").split("\n")
    except (OSError, ValueError):
        return None
    return frozenset([MARKER, *made]) if first == _SAYS else None


def carry_over(site: pathlib.Path, new: pathlib.Path) -> tuple[str, ...]:
    """Put what others have in `site` into `new` as well; returns what it is, folders as one.

    Raises:
        InTheWay: see there.
        OSError: a file can be neither linked nor copied.
    """
    ours = made_by_us(site) or frozenset()
    folders = {folder for path in ours for folder in _folders_of(path)}
    named: dict[str, None] = {}
    for path, is_folder in _below(site, ""):
        if path in ours or path in folders:
            continue
        _carry(site / path, new / path, is_folder, path)
        top = next((folder for folder in _folders_of(path) if folder not in folders), path)
        named[top] = None
    return tuple(named)


def _folders_of(path: str) -> Iterator[str]:
    """The folders that a path lies in, the topmost first."""
    parts = path.split("/")
    return ("/".join(parts[:number]) for number in range(1, len(parts)))


def _below(root: pathlib.Path, inside: str) -> Iterator[tuple[str, bool]]:
    """Everything below a folder, (path, whether it is a folder); links are not followed."""
    for entry in sorted(os.scandir(root / inside), key=lambda one: one.name):
        path = f"{inside}/{entry.name}" if inside else entry.name
        is_folder = entry.is_dir(follow_symlinks=False)
        yield path, is_folder
        if is_folder:
            yield from _below(root, path)


def _carry(source: pathlib.Path, place: pathlib.Path, is_folder: bool, path: str) -> None:
    try:
        if is_folder:
            place.mkdir(parents=True)
            shutil.copystat(source, place)
            return
        place.parent.mkdir(parents=True, exist_ok=True)
        if os.path.lexists(place):
            raise InTheWay(path)
    except (FileExistsError, NotADirectoryError):
        raise InTheWay(path) from None
    with contextlib.suppress(OSError):  # a disk without links: then a copy
        os.link(source, place, follow_symlinks=False)
        return
    shutil.copy2(source, place, follow_symlinks=False)
