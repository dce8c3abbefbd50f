"""Several files of a folder written together: all of them, or none.

New contents and old ones wait in a working folder beside, with a list of what is to be done; each
is then moved into its place. Whatever stops that is taken back at once, or, where the process was
killed, by the next one that writes here (`take_back`).
"""

from __future__ import annotations

import contextlib
import json
import os
import pathlib
import shutil
from collections.abc import Iterable, Iterator, Mapping

from rungbook.model.place import base_of, inside
from rungbook.pipeline.lock import Held, held

WORKING = ".rungbook-writing"  # below the folder that is written to
LIST, NEW, OLD = "list.json", "new", "old"


class NotWritten(Exception):
    """Nothing was written; the message says why."""


def write_together(root: pathlib.Path, contents: Mapping[str, bytes]) -> None:
    """Write files below `root`, by their paths in it.

    Raises:
        NotWritten: something is in the way, somebody else is writing; everything is as it was.
    """
    refuse_base(contents)
    try:
        with _working(root) as working:
            _take_back(root, working)
            _put_by(root, working, contents)
            try:
                for number, path in enumerate(contents):
                    os.replace(working / f"{NEW}-{number}", root / path)
            except BaseException:
                _take_back(root, working)
                raise
            (working / LIST).unlink()
    except Held as error:
        raise NotWritten("another run is writing here: try again when it has ended") from error
    except OSError as error:
        raise NotWritten(f"nothing was written: {error}") from error


def refuse_base(paths: Iterable[str]) -> None:
    """Of files that a library has of a base none is written.

    Raises:
        NotWritten: there is one.
    """
    for path in paths:
        if base := base_of(path):
            raise NotWritten(
                f"{path} belongs to the base {base}, which is never written to: copy it to "
                f"{inside(path)} first, which then stands in its place"
            )


def take_back(root: pathlib.Path) -> bool:
    """Take back what a run that was cut short has left; whether there was anything.

    Raises:
        NotWritten: it cannot be taken back.
    """
    if not os.path.lexists(root / WORKING):
        return False
    try:
        with _working(root) as working:
            _take_back(root, working)
    except Held:
        return False
    except OSError as error:
        raise NotWritten(f"what an earlier run left cannot be taken back: {error}") from error
    return True


@contextlib.contextmanager
def _working(root: pathlib.Path) -> Iterator[pathlib.Path]:
    """The working folder, held by this process; gone afterwards."""
    working = root / WORKING
    if working.is_symlink():
        raise NotWritten(f"{WORKING} is a link: remove it")
    working.mkdir(mode=0o700, exist_ok=True)
    with held(working / "held"):
        try:
            yield working
        finally:
            if not (working / LIST).exists():  # else what it lists is still to be taken back
                for name in os.listdir(working):
                    if name != "held":
                        (working / name).unlink()
    with contextlib.suppress(OSError):  # somebody else came in at this very moment
        working.rmdir()


def _put_by(root: pathlib.Path, working: pathlib.Path, contents: Mapping[str, bytes]) -> None:
    """Lay new and old contents into the working folder, then the list of what is to be done."""
    existing = []
    for number, (path, content) in enumerate(contents.items()):
        target, new = root / path, working / f"{NEW}-{number}"
        target.parent.mkdir(parents=True, exist_ok=True)
        _write(new, content)
        if target.exists():
            shutil.copy2(target, working / f"{OLD}-{number}")
            shutil.copymode(target, new)
            existing.append(number)
    listed = {"paths": list(contents), "existing": existing}
    _write(working / f"{LIST}.new", json.dumps(listed).encode())
    os.replace(working / f"{LIST}.new", working / LIST)


def _write(path: pathlib.Path, content: bytes) -> None:
    with open(path, "wb") as file:
        file.write(content)
        file.flush()
        os.fsync(file.fileno())


def _take_back(root: pathlib.Path, working: pathlib.Path) -> None:
    """Undo what the list says was begun; what has no list was never begun."""
    try:
        listed = json.loads((working / LIST).read_text(encoding="utf-8"))
    except FileNotFoundError:
        return
    for number, path in enumerate(listed["paths"]):
        moved = not (working / f"{NEW}-{number}").exists()
        if not moved:
            continue
        if number in listed["existing"]:
            os.replace(working / f"{OLD}-{number}", root / path)
        else:
            (root / path).unlink(missing_ok=True)
    (working / LIST).unlink()
