"""A library as it stood in a git revision, written to a temporary folder.

Git's objects are read as they are stored: no checkout, no worktree, no filter and no hook runs, and
the repository is not changed.
"""

from __future__ import annotations

import os
import pathlib
import tempfile
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import replace
from typing import IO, NamedTuple

from rungbook.pipeline.repository import NoRevision, Repository, repository_of
from rungbook.reading import limits
from rungbook.reading.bases import way_to_base
from rungbook.reading.pictures import KINDS, leaves_folder

# Files whose content is read; of the others only the name and the size matter.
_READ = (".md", ".yml", ".yaml", *KINDS)
_PARTIAL = "files of that revision are not in this clone: make a whole one, without --filter"


class _Stored(NamedTuple):
    """A plain file of a revision."""

    name: str  # of the object
    size: int
    path: str  # below the library


def _listed(repository: Repository, commit: str) -> Iterator[_Stored]:
    inside = repository.inside
    arguments = ["ls-tree", "-r", "-z", "-l", "--full-tree", commit]
    with repository.stream(*arguments, *(["--", inside] if inside else [])) as answer:
        for count, entry in enumerate(_entries(answer), 1):
            if count > limits.MOST_FILES:
                raise NoRevision(f"it has more than {limits.MOST_FILES} files there")
            about, _, path = entry.decode("utf-8", "surrogateescape").partition("\t")
            mode, kind, name, size = about.split()
            below = path[len(inside) + 1 :] if inside else path
            if kind == "blob" and mode in ("100644", "100755") and not leaves_folder(below):
                if not size.isdigit():  # git writes "BAD" where it has not got the object
                    raise NoRevision(_PARTIAL)
                yield _Stored(name, int(size), below)


def _entries(answer: IO[bytes]) -> Iterator[bytes]:
    """What lies between zero bytes; a piece without an end is none."""
    rest = b""
    while block := answer.read(1 << 16):
        *whole, rest = (rest + block).split(b"\0")
        yield from whole


def _write(repository: Repository, root: pathlib.Path, files: Sequence[_Stored]) -> None:
    """The files below `root`; of those that nobody reads, and of the too large, the size only."""
    read = []
    for file in files:
        target = root / file.path
        target.parent.mkdir(parents=True, exist_ok=True)
        if file.path.lower().endswith(_READ) and file.size <= limits.MOST_PICTURE_BYTES:
            read.append(file)
        else:
            with target.open("wb") as made:
                made.truncate(file.size)
    asked = "".join(f"{file.name}\n" for file in read).encode()
    with repository.stream("cat-file", "--batch", given=asked) as answer:
        for file in read:
            if answer.readline().split()[1:] != [b"blob", str(file.size).encode()]:
                raise NoRevision(_PARTIAL)
            (root / file.path).write_bytes(answer.read(file.size))
            answer.read(1)


@contextmanager
def library_at(revision: str, folder: pathlib.Path) -> Iterator[pathlib.Path]:
    """A temporary folder with the library of `folder` as it stood in `revision`.

    Raises:
        NoRevision: no such revision, no repository, or the library was not there.
    """
    try:
        repository = repository_of(folder)
        commit = _commit(repository, revision)
    except NoRevision as error:
        raise NoRevision(f"'{revision}' is no folder, and {error}") from None
    try:
        files = list(_listed(repository, commit))
    except NoRevision as error:
        raise NoRevision(f"revision '{revision}' cannot be read: {error}") from None
    if not files:
        raise NoRevision(f"revision '{revision}' has no files in {folder}")
    with tempfile.TemporaryDirectory(prefix="rungbook-") as temporary:
        # What lies together in the repository lies together here.
        top = pathlib.Path(temporary) / "repository"
        (top / ".git").mkdir(parents=True)
        root = top / (repository.inside or folder.name or "library")
        try:
            _write(repository, root, files)
            _write_bases(repository, commit, top, root)
        except OSError as error:
            raise NoRevision(f"revision '{revision}' cannot be read: {error.strerror}") from None
        yield root


def _write_bases(
    repository: Repository, commit: str, top: pathlib.Path, root: pathlib.Path
) -> None:
    """The folders that the library builds on, as they stood in the same revision."""
    for _ in range(limits.MOST_BASES):
        way = way_to_base(root)
        folder = os.path.normpath(os.path.join(root, way)) if way else ""
        if not folder.startswith(os.path.join(top, "")) or os.path.lexists(folder):
            return
        root = pathlib.Path(folder)
        inside = root.relative_to(top).as_posix()
        _write(repository, root, list(_listed(replace(repository, inside=inside), commit)))


def _commit(repository: Repository, revision: str) -> str:
    if not revision.isprintable():
        raise NoRevision("git knows no such revision")
    asked = ("rev-parse", "--verify", "--quiet", "--end-of-options", f"{revision}^{{commit}}")
    try:
        return repository.ask(*asked).decode().strip()
    except NoRevision:
        raise NoRevision("git knows no such revision") from None
