"""A library as it stood in a git revision, written to a temporary folder.

Git's objects are read as they are stored: no checkout, no worktree, no filter and no hook runs, and
the repository is not changed.
"""

from __future__ import annotations

import pathlib
import subprocess
import tempfile
from collections.abc import Iterator, Sequence
from contextlib import contextmanager

# Files whose content is read; of the others, pictures mostly, only the name matters.
_READ = (".md", ".yml", ".yaml")
_MOST_BYTES = 16_000_000


class NoRevision(Exception):
    """The revision cannot be read; the message says why and what to do."""


def _git(folder: pathlib.Path, *arguments: str, given: bytes = b"") -> bytes:
    try:
        run = subprocess.run(
            ["git", "-C", str(folder), *arguments], input=given, capture_output=True, check=True
        )
    except FileNotFoundError:
        raise NoRevision(
            "git is not installed: install it, or compare two folders instead"
        ) from None
    except subprocess.CalledProcessError as error:
        said = error.stderr.decode("utf-8", "replace").strip().splitlines()
        raise NoRevision(said[-1] if said else f"git {arguments[0]} failed") from None
    return run.stdout


def _existing(folder: pathlib.Path) -> tuple[pathlib.Path, pathlib.PurePath]:
    """The nearest folder above that exists, and the way from it: a library may be gone by now."""
    rest: list[str] = []
    here = folder.absolute()
    while not here.is_dir():
        rest.insert(0, here.name)
        here = here.parent
    return here, pathlib.PurePath(*rest)


def _listed(folder: pathlib.Path, commit: str) -> Iterator[tuple[str, str]]:
    """The plain files of the commit below the folder: object name, path below it."""
    here, rest = _existing(folder)
    prefix = _git(here, "rev-parse", "--show-prefix").decode("utf-8", "surrogateescape").strip("\n")
    inside = f"{prefix}{rest.as_posix()}".removesuffix(".").rstrip("/")
    arguments = ["ls-tree", "-r", "-z", "--full-tree", commit, *(["--", inside] if inside else [])]
    for entry in _git(here, *arguments).split(b"\0"):
        if entry:
            about, _, path = entry.decode("utf-8", "surrogateescape").partition("\t")
            mode, kind, name = about.split()
            if kind == "blob" and mode in ("100644", "100755"):
                yield name, path[len(inside) + 1 :] if inside else path


def _safe(path: str) -> bool:
    parts = pathlib.PurePosixPath(path).parts
    return bool(parts) and not path.startswith("/") and ".." not in parts and "\\" not in path


def _write(folder: pathlib.Path, root: pathlib.Path, files: Sequence[tuple[str, str]]) -> None:
    read = [(name, path) for name, path in files if path.endswith(_READ)]
    for _, path in files:
        (root / path).parent.mkdir(parents=True, exist_ok=True)
        (root / path).touch()
    asked = "".join(f"{name}\n" for name, _ in read).encode()
    answer = _git(_existing(folder)[0], "cat-file", "--batch", given=asked)
    start = 0
    for _, path in read:
        header_end = answer.index(b"\n", start)
        size = int(answer[start:header_end].split()[2])
        if size <= _MOST_BYTES:
            (root / path).write_bytes(answer[header_end + 1 : header_end + 1 + size])
        start = header_end + 1 + size + 1


@contextmanager
def library_at(revision: str, folder: pathlib.Path) -> Iterator[pathlib.Path]:
    """A temporary folder with the library of `folder` as it stood in `revision`.

    Raises:
        NoRevision: no such revision, no repository, or the library was not there.
    """
    here, _ = _existing(folder)
    asked = f"{revision}^{{commit}}"
    try:
        commit = _git(here, "rev-parse", "--verify", "--quiet", "--end-of-options", asked)
    except NoRevision as error:
        known = "not a git repository" in str(error) or "git is not" in str(error)
        why = str(error) if known else "git knows no such revision"
        raise NoRevision(f"'{revision}' is no folder, and {why}") from None
    files = [(name, path) for name, path in _listed(folder, commit.decode().strip()) if _safe(path)]
    if not files:
        raise NoRevision(f"revision '{revision}' has no files in {folder}")
    with tempfile.TemporaryDirectory(prefix="rungbook-") as temporary:
        root = pathlib.Path(temporary) / (folder.name or "library")
        root.mkdir()
        _write(folder, root, files)
        yield root
