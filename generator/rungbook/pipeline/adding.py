"""A filling added to a library: tried as a whole first, then written all at once."""

from __future__ import annotations

import contextlib
import datetime
import os
import pathlib
import shutil
import tempfile
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass

from rungbook.filling.draft import Files, files_of
from rungbook.filling.front import CannotEdit
from rungbook.filling.result import Filling
from rungbook.model.finding import Finding
from rungbook.pipeline.analyse import Analysis, analyse_library, on_its_bases
from rungbook.pipeline.together import NotWritten, refuse_base, take_back, write_together
from rungbook.reading.folder import list_library
from rungbook.reading.read import read_library


@dataclass(frozen=True, slots=True)
class Added:
    """The files that were added and those that were changed, as paths in the library."""

    added: tuple[str, ...]
    changed: tuple[str, ...]


def add(analysis: Analysis, filling: Filling, today: datetime.date) -> Added:
    """Write a filling's drafts and draft progressions into the library.

    Raises:
        NotWritten: a file is in the way or cannot be edited, or the library would have errors
            that it has not now; nothing was written.
    """
    root = analysis.measured.library.root
    take_back(root)
    known = analysis.measured.library.exercises
    refuse_base(known[id].file for id in filling.rungs[:-1] if id in known)
    try:
        files = files_of(analysis.measured, filling, lambda path: (root / path).read_bytes())
    except (CannotEdit, OSError) as error:
        raise NotWritten(f"nothing was written: {error}") from error
    for path in files.added:
        if os.path.lexists(root / path):
            raise NotWritten(f"{path} exists already: rename or remove it first")
    new = _new_errors(analysis, files, today)
    if new:
        told = "\n".join(f"  {one.place.file}: {one.message}" for one in new)
        raise NotWritten(f"nothing was written, since the library would have errors:\n{told}")
    write_together(root, {**files.added, **files.changed})
    return Added(tuple(files.added), tuple(files.changed))


def _new_errors(analysis: Analysis, files: Files, today: datetime.date) -> list[Finding]:
    """The errors that a library would have with some files, and has not without them."""
    with copied(analysis.measured.library.root) as copy:
        for path, content in {**files.added, **files.changed}.items():
            target = copy / path
            target.parent.mkdir(parents=True, exist_ok=True)
            target.unlink(missing_ok=True)  # perhaps a second name of the library's own file
            target.write_bytes(content)
        library = read_library(copy, origin=analysis.measured.library.root)
        after = on_its_bases(analyse_library(library, today, before=analysis), today, analysis)
    known = Counter(_told(one) for one in analysis.findings)
    found = []
    for one in after.findings:
        known[_told(one)] -= 1
        if one.level == "error" and known[_told(one)] < 0:
            found.append(one)
    return found


def _told(one: Finding) -> tuple[object, ...]:
    """The same fault, whatever else its message says now."""
    return one.check, one.place.file, one.exercises, one.ladder


@contextlib.contextmanager
def copied(root: pathlib.Path) -> Iterator[pathlib.Path]:
    """What is read of a library, in a temporary folder; its files under a second name."""
    listing = list_library(root)
    texts = [*listing.exercises, *listing.ladders, *listing.vocabulary]
    if listing.settings is not None:
        texts.append(listing.settings)
    paths = {one.file: one.path for one in texts}
    paths |= {f"pictures/{name}": path for name, path in listing.pictures.items()}
    with tempfile.TemporaryDirectory(prefix="rungbook-trying-") as folder:
        copy = pathlib.Path(folder) / "library"
        copy.mkdir()
        for file, path in paths.items():
            target = copy / file
            target.parent.mkdir(parents=True, exist_ok=True)
            try:
                os.link(path, target)
            except OSError:  # another file system
                shutil.copyfile(path, target)
        yield copy
