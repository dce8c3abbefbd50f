"""A library that builds on another: `extends` and `without` in its library.yml.

All files of the base are there, its own stand in place of those of the same id. A base lies in the
library's own repository, or the command names it (`name_bases`): a change that somebody sends must
not publish what lies elsewhere. Nothing here ever writes to one.
"""

from __future__ import annotations

import os
import pathlib
import posixpath
from collections.abc import Collection, Iterable

from rungbook.model.finding import Finding
from rungbook.model.place import AT_TOP
from rungbook.reading import limits
from rungbook.reading.folder import Base, Found, Listing, list_library
from rungbook.reading.raw import RawFile, read_plain
from rungbook.reading.wording import shown
from rungbook.reading.words import did_you_mean

_named: tuple[pathlib.Path, ...] = ()


class NoBase(Exception):
    """There is no such base; the message says why and what to do."""


def name_bases(folders: Iterable[pathlib.Path]) -> None:
    """Bases that the present command names, in place of those that it named before."""
    global _named
    _named = tuple(folders)


def list_whole(root: pathlib.Path, origin: pathlib.Path | None = None) -> Listing:
    """The files of the library at `root` and of what it builds on.

    `origin` is the library that `root` is a copy of: the way to the base begins there.

    Raises:
        rungbook.reading.folder.NoLibrary: the folder is missing or cannot be listed.
    """
    return _whole(root, origin or root, ())


def _whole(root: pathlib.Path, home: pathlib.Path, below: tuple[str, ...]) -> Listing:
    listing = list_library(root)
    found = listing.settings
    raw = read_plain(found, limits.MOST_BYTES, limits.MOST_NODES, []) if found else None
    if raw is None:  # told where it is read
        return listing
    way, without = raw.values.get("extends"), _ids(raw.values.get("without"))
    if not isinstance(way, str):
        if without and way is None:
            message = "there is no base to leave anything out of: add 'extends', or remove this"
            place = raw.places.key_place(("without",))
            listing.findings.append(Finding("wrong-value", "error", message, place))
        return listing
    try:
        folder = _folder(home, way, (*below, os.path.realpath(home)))
        base = _whole(folder, folder, (*below, os.path.realpath(home)))
        if base.fault is not None:
            raise NoBase(f"the base {shown(way)} has none itself: {base.fault.message}")
        if base.settings is None:
            raise NoBase(f"{shown(way)} is no library: it has no library.yml")
    except NoBase as error:
        place = raw.places.place(("extends",))
        message = f"{error}. Nothing else is judged until then"
        fault = Finding("unusable-base", "error", message, place)
        return Listing(settings=found, findings=[fault], fault=fault)
    _lay(listing, base, way, without, raw)
    here = raw.places.place(("extends",))
    listing.bases.append(Base(way, folder, _seen_from(base.settings, way), here))
    for one in base.bases:
        further = posixpath.normpath(posixpath.join(way, one.way))
        listing.bases.append(Base(further, one.root, _seen_from(one.settings, way), here))
    return listing


def way_to_base(root: pathlib.Path) -> str | None:
    """What a library says that it extends, right or wrong."""
    found = list_library(root).settings if root.is_dir() else None
    raw = read_plain(found, limits.MOST_BYTES, limits.MOST_NODES, []) if found else None
    way = raw.values.get("extends") if raw else None
    return way if isinstance(way, str) and "\0" not in way else None


def _ids(value: object) -> list[str]:
    return (
        [one for one in value if isinstance(one, str)] if isinstance(value, (list, tuple)) else []
    )


def _folder(home: pathlib.Path, way: str, below: Collection[str]) -> pathlib.Path:
    parts = way.split("/")
    odd = [one for one in parts if one.startswith(".") and one not in (".", "..")]
    if not way.strip() or not way.isprintable() or os.path.isabs(way) or set(way) & set("\\:~"):
        raise NoBase(f"'{shown(way)}' is no way to a folder beside this one: write '../national'")
    if odd or set(parts) & set(AT_TOP):
        bad = (odd or sorted(set(parts) & set(AT_TOP)))[0]
        raise NoBase(f"no folder on the way to a base may be called '{shown(bad)}': rename it")
    here = os.path.realpath(home)
    path = os.path.realpath(os.path.join(here, way))
    if path == here:
        raise NoBase("the library extends itself: name the folder of another one")
    if path in below:
        around = " → ".join(os.path.basename(one) for one in (*below, path))
        raise NoBase(f"libraries extend one another in a circle ({around}): remove one 'extends'")
    if os.path.commonpath([path, here]) in (path, here):
        raise NoBase(f"{shown(way)} lies in this library or around it: a base lies beside it")
    if len(below) > limits.MOST_BASES:
        raise NoBase(f"more than {limits.MOST_BASES} libraries on top of one another")
    top = _repository(here)
    if top is not None and os.path.isdir(path) and os.path.commonpath([path, top]) == top:
        return pathlib.Path(path)
    name = posixpath.basename(posixpath.normpath(way))
    for named in map(os.path.realpath, _named):
        if os.path.isdir(named) and (named == path or os.path.basename(named) == name):
            return pathlib.Path(named)
    raise NoBase(
        f"there is no folder {shown(way)} in the repository of this library: mend the name, or "
        f"say with --base DIR where '{shown(name)}' lies"
    )


def _repository(folder: str) -> str | None:
    """The nearest folder with `.git`, which git lets nobody commit."""
    for above in (folder, *map(str, pathlib.Path(folder).parents)):
        if os.path.lexists(os.path.join(above, ".git")):
            return above
    return None


def _seen_from(found: Found, way: str) -> Found:
    """A file of the base, named as seen from the library."""
    return found._replace(file=posixpath.normpath(posixpath.join(way, found.file)))


def _lay(listing: Listing, base: Listing, way: str, without: list[str], raw: RawFile) -> None:
    """The base's files below the library's own."""
    left_out, there, own = set(without), set[str](), set[str]()
    for mine, theirs in (
        (listing.exercises, base.exercises),
        (listing.ladders, base.ladders),
    ):
        stems = {found.stem for found in mine}
        own |= stems & left_out
        there |= {found.stem for found in theirs}
        for found in theirs:
            seen = _seen_from(found, way)
            if found.stem in stems:
                listing.replaced.append(seen)
            elif found.stem in left_out:
                listing.hidden.append(seen)
            else:
                mine.append(seen)
    for number, id in enumerate(without):
        place = raw.places.place(("without", number))
        if id in own:
            message = f"'{id}' has a file of your own, which replaces the base's: remove it here"
            listing.findings.append(Finding("wrong-value", "error", message, place))
        elif id not in there:
            hint = did_you_mean(id, there, "remove it here")
            message = f"{shown(way)} has no '{shown(id)}' to leave out: {hint}"
            listing.findings.append(Finding("unknown-reference", "error", message, place))
    for name in ("hidden", "replaced"):
        getattr(listing, name).extend(_seen_from(one, way) for one in getattr(base, name))
    listing.left_out = frozenset(left_out & there - own) | base.left_out
    listing.vocabulary[:0] = [_seen_from(one, way) for one in base.vocabulary]
    listing.pictures = {**base.pictures, **listing.pictures}
    listing.misnamed |= base.misnamed
