"""The edits of a table tried on a copy of the library, then written all at once."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from rungbook.exporting.exercise_table import written_row
from rungbook.intake.bulk import Bulk, Refused
from rungbook.model.finding import Finding
from rungbook.model.library import Library
from rungbook.pipeline.adding import copied
from rungbook.pipeline.together import NotWritten, write_together
from rungbook.reading.read import read_library


def put_back(bulk: Bulk, library: Library, write: bool) -> None:
    """Try the edits; with `write`, write them.

    Raises:
        NotWritten: a file cannot be written, or was changed meanwhile; nothing was.
    """
    if not bulk.after:
        return
    with copied(library.root) as copy:
        for path, content in bulk.after.items():
            (copy / path).unlink()  # a second name of the library's own file
            (copy / path).write_bytes(content)
        after = read_library(copy, origin=library.root)
    bulk.refused.extend(_worse(library, after))
    bulk.refused.extend(_otherwise(bulk, after))
    if not write or bulk.refused:
        return
    for path, content in bulk.before.items():
        if (library.root / path).read_bytes() != content:
            raise NotWritten(f"{path} was changed meanwhile: run it again")
    write_together(library.root, bulk.after)


def _worse(before: Library, after: Library) -> Iterator[Refused]:
    """Errors that the library has not now."""
    known = Counter(map(_told, before.findings))
    known.subtract(map(_told, after.findings))
    for one in after.findings:
        if one.level == "error" and known[_told(one)] < 0:
            yield Refused(0, ", ".join(one.exercises), "", f"{one.place}: {one.message}")


def _told(one: Finding) -> tuple[str, str]:
    return one.check, one.message


def _otherwise(bulk: Bulk, after: Library) -> Iterator[Refused]:
    """Cells that would not say afterwards what the table says of being there or not."""
    for edit in bulk.edits:
        exercise = after.exercises.get(edit.id)
        if exercise is not None and not edit.new and written_row(exercise).get(edit.column):
            why = "it is taken from the exercise that this one varies: it cannot be taken out here"
            yield Refused(0, edit.id, edit.column, why)
