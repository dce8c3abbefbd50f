"""Which files a library's folder holds; nothing outside the folder is ever opened."""

from __future__ import annotations

import os
import pathlib
import re
import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import NamedTuple

from rungbook.model.finding import Finding
from rungbook.model.place import Place
from rungbook.reading import limits
from rungbook.reading.embedded import embedded_repositories
from rungbook.reading.front_matter import unreadable
from rungbook.reading.wording import shown

ID = re.compile(rf"(?=.{{1,{limits.MOST_ID}}}\Z)[a-z0-9]+(?:-[a-z0-9]+)*")
_TEXT_ENDINGS = (".md", ".markdown", ".txt", ".yml", ".yaml", ".json", ".mdown")
_DEVICES = frozenset(
    {"con", "prn", "aux", "nul", *(f"{d}{n}" for d in ("com", "lpt") for n in range(10))}
)


class NoLibrary(Exception):
    """The folder cannot be read as a library at all; the message says what to do."""


class Found(NamedTuple):
    """A file: its path for opening, its name for people, and what its name says."""

    path: str
    file: str  # relative to the library, with forward slashes
    stem: str
    folder: str | None  # the first folder below `exercises`


class Base(NamedTuple):
    """A library that another builds on: the way to it as written, its folder, its library.yml.

    `place` is where the other names it, or what leads to it.
    """

    way: str
    root: pathlib.Path
    settings: Found
    place: Place


@dataclass(slots=True)
class Listing:
    """The files of a library in sorted order."""

    exercises: list[Found] = field(default_factory=list)
    ladders: list[Found] = field(default_factory=list)
    vocabulary: list[Found] = field(default_factory=list)
    settings: Found | None = None
    misnamed: set[str] = field(default_factory=set)  # ids that files with bad names may stand for
    pictures: dict[str, str] = field(default_factory=dict)  # name below pictures/ -> path
    findings: list[Finding] = field(default_factory=list)
    # What it has of bases: see `rungbook.reading.bases`.
    bases: list[Base] = field(default_factory=list)  # the nearest first
    hidden: list[Found] = field(default_factory=list)  # left out here, and still varied there
    replaced: list[Found] = field(default_factory=list)  # files that its own stand in place of
    left_out: frozenset[str] = frozenset()
    fault: Finding | None = None  # why there is no base: then nothing else is listed


def list_library(root: pathlib.Path) -> Listing:
    """Lists the files of the library at `root`.

    Raises:
        NoLibrary: the folder is missing or cannot be listed.
    """
    hint = "name the library's folder with --library, or make one with `rungbook new`"
    try:
        names = {entry.name for entry in os.scandir(root)}
    except FileNotFoundError:
        raise NoLibrary(f"there is no folder {root}: {hint}") from None
    except OSError as error:
        raise NoLibrary(f"the folder {root} cannot be read ({error.strerror}): {hint}") from None
    except ValueError:
        raise NoLibrary(f"{root!r} is not the name of a folder: {hint}") from None
    listing = Listing()
    for folder, into in (("exercises", listing.exercises), ("ladders", listing.ladders)):
        into.extend(_text_files(root, folder, ".md", listing))
    listing.vocabulary.extend(_text_files(root, "vocabulary", ".yml", listing))
    for found in _files(root, "pictures", listing.findings):
        listing.pictures[found.file.removeprefix("pictures/")] = found.path
    if "library.yml" in names:
        path = os.path.join(root, "library.yml")
        if _leaves(path, root):
            listing.findings.append(_link_out("library.yml"))
        else:
            listing.settings = Found(path, "library.yml", "library", None)
    elif "library.yaml" in names:
        listing.findings.append(unreadable("library.yaml", "rename this file to library.yml"))
    listing.findings.extend(embedded_repositories(root))
    return listing


def _text_files(root: pathlib.Path, folder: str, ending: str, listing: Listing) -> Iterator[Found]:
    for found in _files(root, folder, listing.findings):
        if found.file.endswith(ending):
            if ID.fullmatch(found.stem) and found.stem not in _DEVICES:
                yield found
            else:
                better = better_id(found.stem)
                listing.misnamed.update((found.stem, better))
                listing.findings.append(_bad_name(found, better, ending))
        elif found.file.lower().endswith(_TEXT_ENDINGS):
            message = f"only files ending in {ending} are read here: rename it or move it away"
            listing.findings.append(unreadable(found.file, message))


def better_id(name: str) -> str:
    """The id nearest to a name: `Heel Raise` -> `heel-raise`; empty where nothing is left."""
    plain = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode()
    return re.sub(r"[^a-z0-9]+", "-", plain.lower()).strip("-")[: limits.MOST_ID].strip("-")


def _bad_name(found: Found, better: str, ending: str) -> Finding:
    message = "a file's name is its id, in a-z, 0-9 and single hyphens: rename it"
    if len(found.stem) > limits.MOST_ID:
        message = f"a file's name is its id, {limits.MOST_ID} letters at most: rename it"
    if better and better != found.stem and better not in _DEVICES:
        message = f"{message}, for instance to {better}{ending}"
    return Finding("wrong-value", "error", message, Place(found.file))


def _files(root: pathlib.Path, folder: str, findings: list[Finding]) -> Iterator[Found]:
    """Plain files below a folder in sorted order, hidden ones left out."""
    start = os.path.join(root, folder)
    if os.path.lexists(start) and _leaves(start, root):
        findings.append(_link_out(folder))
        return
    for count, found in enumerate(_walk(root, start, folder, None, 0, findings), 1):
        if count > limits.MOST_FILES:
            message = f"more than {limits.MOST_FILES} files in {folder}/: split the library"
            findings.append(unreadable(found.file, message))
            return
        yield found


def _walk(
    root: pathlib.Path, path: str, name: str, area: str | None, depth: int, findings: list[Finding]
) -> Iterator[Found]:
    try:
        entries = sorted(os.scandir(path), key=lambda entry: entry.name)
    except (FileNotFoundError, NotADirectoryError):
        return
    except OSError as error:
        findings.append(unreadable(name, f"the folder cannot be read: {error.strerror}"))
        return
    for entry in entries:
        if entry.name.startswith("."):
            continue
        file = f"{name}/{entry.name}"
        if not entry.name.isprintable():
            message = "the file's name has characters nobody can see: rename it"
            findings.append(unreadable(f"{name}/{shown(entry.name)}", message))
        elif entry.is_symlink() and _leaves(entry.path, root):
            findings.append(_link_out(file))
        elif entry.is_symlink() and entry.is_dir() and _leads_back(entry.path):
            message = "a link back to a folder that holds it: remove it"
            findings.append(Finding("unsafe-path", "error", message, Place(file)))
        elif entry.is_dir():
            if depth >= limits.MOST_FOLDERS_DEEP:
                message = f"folders more than {limits.MOST_FOLDERS_DEEP} deep: move the files up"
                findings.append(unreadable(file, message))
            else:
                yield from _walk(root, entry.path, file, area or entry.name, depth + 1, findings)
        elif entry.is_file():
            yield Found(entry.path, file, _stem(entry.name), area)
        else:
            findings.append(unreadable(file, "this is not a plain file: remove it"))


def _stem(name: str) -> str:
    """A file's name without its ending; no name here begins with a dot."""
    return name.rpartition(".")[0] or name


def _leaves(path: str, root: pathlib.Path) -> bool:
    """Whether a path, its links followed, lies outside the library (or leads nowhere)."""
    home = os.path.realpath(root)
    real = os.path.realpath(path)
    return os.path.commonpath([home, real]) != home or not os.path.exists(real)


def _leads_back(link: str) -> bool:
    """Whether a linked folder is one of those that the link lies in."""
    home, real = os.path.realpath(os.path.dirname(link)), os.path.realpath(link)
    return os.path.commonpath([home, real]) == real


def _link_out(file: str) -> Finding:
    message = "a link that leads out of the library or nowhere: put the file itself here"
    return Finding("unsafe-path", "error", message, Place(file))
