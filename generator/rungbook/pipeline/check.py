"""Check a library; what has not changed since the last time is not checked again."""

from __future__ import annotations

import contextlib
import datetime
import json
import os
import pathlib
import time
from collections.abc import Callable, Collection, Mapping
from dataclasses import replace
from typing import Any

from rungbook.model.library import BaseLibrary
from rungbook.model.place import base_of
from rungbook.pipeline import snapshot, store
from rungbook.pipeline.based import own_findings
from rungbook.pipeline.checked import Checked
from rungbook.pipeline.kept import Kept
from rungbook.reading.bases import list_whole

Progress = Callable[[str], None]


def check_library(
    root: pathlib.Path,
    today: datetime.date,
    progress: Progress | None = None,
    only: Collection[str] = (),
    skip: Collection[str] = (),
    cached: bool = True,
    workers: int | None = None,
    at_once: int | None = None,
) -> Checked:
    """The findings on the library in the folder `root`, as on the day `today`.

    Without `only` and `skip`, and unless `cached` is false, only the parts of the library in which
    a file has changed are read and computed. `workers` processes share the work, or as many as
    are worth it, and take about `at_once` files at a time. The answer is always the same.

    Raises:
        rungbook.reading.folder.NoLibrary: the folder does not exist or cannot be listed.
        rungbook.pipeline.workers.WorkerEnded: one of the processes was ended from outside.
    """
    now_ns = time.time_ns()
    listing = list_whole(root)
    cached = cached and not only and not skip and store.place() is not None
    kept = files = changed = None
    if cached:
        kept = Kept.from_data(_load(root), today)
        files = snapshot.take(listing, kept.files if kept else None, now_ns)
        changed = snapshot.changed(kept.files, files) if kept else None
        if kept is not None and changed == []:
            if not files.is_as_seen_in(kept.files):
                _keep(root, replace(kept, files=files))
            return replace(kept.checked, root=root)
    # The engine is only loaded where something is to be computed.
    from rungbook.pipeline.settling import Job, settle

    job = Job(root, listing, today, only, skip, progress, workers, at_once)
    before = kept.settled if kept is not None and changed is not None else None
    settled = settle(job, before, changed or ())
    if listing.bases:
        bases = {
            BaseLibrary(base.way, base.root, base.way, base.place): check_library(
                base.root, today, progress, only, skip, cached, workers, at_once
            )
            for base in listing.bases
        }
        settled = replace(settled, checked=_own(settled.checked, bases))
    if files is not None:
        _keep(root, Kept(today, snapshot.as_read(files, listing), settled))
    return settled.checked


def _own(checked: Checked, bases: Mapping[BaseLibrary, Checked]) -> Checked:
    """What a library that builds on others has to mend itself."""
    accepted = tuple(one for one in checked.accepted if not base_of(one.place.file))
    return replace(checked, findings=own_findings(checked.findings, bases), accepted=accepted)


def _name(root: pathlib.Path) -> str:
    return store.key_of("findings", os.path.realpath(root))


def _load(root: pathlib.Path) -> dict[str, Any] | None:
    for piece in store.find([_name(root)]).values():
        with contextlib.suppress(ValueError, RecursionError):
            kept = json.loads(piece)
            return kept if isinstance(kept, dict) else None
    return None


def _keep(root: pathlib.Path, kept: Kept) -> None:
    store.keep({_name(root): json.dumps(kept.as_data(), separators=(",", ":")).encode()})
