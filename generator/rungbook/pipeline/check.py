"""Check a library; what has not changed since the last time is not checked again."""

from __future__ import annotations

import datetime
import pathlib
import time
from collections.abc import Callable, Collection, Mapping
from dataclasses import replace
from typing import TYPE_CHECKING

from rungbook.model.finding import Finding
from rungbook.pipeline import cache, snapshot
from rungbook.pipeline.checked import Checked
from rungbook.pipeline.kept import Kept
from rungbook.reading.folder import Listing, list_library

if TYPE_CHECKING:  # the engine is only loaded where something is to be computed
    from rungbook.pipeline.analyse import Analysis

Progress = Callable[[str], None]
MOST_TO_REDO = 0.5  # of all files; above, everything is done anew


def check_library(
    root: pathlib.Path,
    today: datetime.date,
    progress: Progress | None = None,
    only: Collection[str] = (),
    skip: Collection[str] = (),
    cached: bool = True,
) -> Checked:
    """The findings on the library in the folder `root`, as on the day `today`.

    Without `only` and `skip`, and unless `cached` is false, only the parts of the library in which
    a file has changed are read and computed. The answer is the same.

    Raises:
        rungbook.reading.folder.NoLibrary: the folder does not exist or cannot be listed.
    """
    if only or skip or not cached:
        return _whole(root, list_library(root), today, progress, only, skip)
    now_ns = time.time_ns()
    listing = list_library(root)
    kept = Kept.from_data(cache.load(root), today)
    files = snapshot.take(listing, kept.files if kept else None, now_ns)
    changed = snapshot.changed(kept.files, files) if kept else None
    if kept is not None and changed == []:
        if not files.is_as_seen_in(kept.files):
            cache.keep(root, replace(kept, files=files).as_data())
        return replace(kept.checked, root=root)
    again = None
    if kept is not None and changed is not None:
        again = _again(root, listing, today, kept, changed, progress)
    checked, parts = again or _whole_in_parts(root, listing, today, progress)
    cache.keep(root, Kept(today, files, parts, checked).as_data())
    return checked


def _whole(
    root: pathlib.Path,
    listing: Listing,
    today: datetime.date,
    progress: Progress | None,
    only: Collection[str] = (),
    skip: Collection[str] = (),
) -> Checked:
    from rungbook.pipeline.analyse import analyse

    return reduced(analyse(root, today, progress, only, skip, numbers_only=True), listing)


def _whole_in_parts(
    root: pathlib.Path, listing: Listing, today: datetime.date, progress: Progress | None
) -> tuple[Checked, Mapping[str, str]]:
    from rungbook.pipeline.analyse import analyse
    from rungbook.pipeline.parts import parts

    analysis = analyse(root, today, progress, numbers_only=True)
    return reduced(analysis, listing), parts(analysis.measured.library, snapshot.records(listing))


def reduced(analysis: Analysis, listing: Listing) -> Checked:
    """An analysis without the objects it was made from."""
    from rungbook.pipeline.parts import unsound

    library, records = analysis.measured.library, snapshot.records(listing)
    return Checked(
        library.root,
        analysis.findings,
        analysis.accepted,
        tuple(one.file for one in records),
        tuple(one.file for one in unsound(library, records)),
    )


def _again(
    root: pathlib.Path,
    listing: Listing,
    today: datetime.date,
    kept: Kept,
    changed: Collection[str],
    progress: Progress | None,
) -> tuple[Checked, Mapping[str, str]] | None:
    """What was kept, with the parts of the changed files done anew; None where that is too much.

    Unsound files are always read again, since it is not known what they belong to.
    """
    from rungbook.pipeline.analyse import analyse_library
    from rungbook.pipeline.parts import node_of, parts
    from rungbook.reading.read import read_library

    records = snapshot.records(listing)
    part_of = {one.file: kept.parts[node_of(one)] for one in records}
    concerned = {part_of[file] for file in (*changed, *kept.checked.unsound)}
    while True:
        redone = [one for one in records if part_of[one.file] in concerned]
        if len(redone) > MOST_TO_REDO * len(records):
            return None
        files = {one.file for one in redone}
        library = read_library(root, files, listing)
        fresh_parts = parts(library, redone)
        joined = {kept.parts[node] for node in fresh_parts if node in kept.parts} - concerned
        if not joined:
            break
        concerned |= joined
    fresh = reduced(analyse_library(library, today, progress, numbers_only=True), listing)
    others = {one.file for one in records} - files
    checked = Checked(
        root,
        _merged(kept.checked.findings, fresh.findings, others),
        _merged(kept.checked.accepted, fresh.accepted, others),
        fresh.files,
        tuple(file for file in fresh.unsound if file in files),
    )
    still = {node: part for node, part in kept.parts.items() if part not in concerned}
    return checked, {**still, **fresh_parts}


def _merged(
    before: Collection[Finding], fresh: Collection[Finding], others: Collection[str]
) -> tuple[Finding, ...]:
    """Earlier findings on the other exercises and ladders, fresh ones on all else."""
    still = (finding for finding in before if finding.place.file in others)
    return tuple(sorted([*still, *fresh], key=Finding.sort_key))
