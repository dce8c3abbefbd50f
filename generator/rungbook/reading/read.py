"""A library's folder as located, checked records: `read_library`."""

from __future__ import annotations

import gc
import pathlib
from collections.abc import Collection, Iterator
from contextlib import contextmanager

from rungbook.model.finding import Finding
from rungbook.model.library import Library, Settings
from rungbook.model.place import Place
from rungbook.reading import limits
from rungbook.reading.exercises import read_exercises
from rungbook.reading.folder import Found, Listing, NoLibrary, list_library
from rungbook.reading.ladders import read_ladders
from rungbook.reading.names import settings_names, sound_settings
from rungbook.reading.pictures import Pictures
from rungbook.reading.raw import read_plain
from rungbook.reading.references import Known, settings_references
from rungbook.reading.shape import findings_of, validate
from rungbook.reading.vocabulary import read_vocabulary, vocabulary_findings

__all__ = ["NoLibrary", "read_library"]


def read_library(
    root: pathlib.Path, only: Collection[str] | None = None, listing: Listing | None = None
) -> Library:
    """Reads the library in the folder `root`; whatever is wrong with it is in its findings.

    With `only`, no other exercise and ladder files are read; the ids of all are known still.
    With `listing`, the folder is not looked through again.

    Raises:
        NoLibrary: the folder does not exist or cannot be listed.
    """
    with _no_collector():
        return _read(root, listing or list_library(root), only)


@contextmanager
def _no_collector() -> Iterator[None]:
    """Reading makes many small objects and no cycles: the collector would only look on."""
    enabled = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if enabled:
            gc.freeze()  # else the first thing the collector does is look at all of it
            gc.enable()


def _read(root: pathlib.Path, listing: Listing, only: Collection[str] | None) -> Library:
    findings = list(listing.findings)
    exercise_files = _by_id(listing.exercises, findings)
    ladder_files = _by_id(listing.ladders, findings)
    settings = _settings(listing.settings, findings)
    vocabulary, written = read_vocabulary(listing.vocabulary, findings)
    known = Known(frozenset(exercise_files) | listing.misnamed, written, Pictures(listing.pictures))
    findings.extend(vocabulary_findings(vocabulary, known))
    findings.extend(findings_of(settings_references(settings, known), settings.source))
    if only is not None:
        exercise_files = {id: found for id, found in exercise_files.items() if found.file in only}
        ladder_files = {id: found for id, found in ladder_files.items() if found.file in only}
    exercises = read_exercises(exercise_files, known, findings)
    ladders = read_ladders(ladder_files, exercises, known, findings)
    if not listing.exercises:
        message = "the library has no exercise: add exercises/<area>/<id>.md, or run `rungbook new`"
        findings.append(Finding("missing-field", "error", message, Place("library.yml")))
    return Library(
        root=root,
        settings=settings,
        vocabulary=vocabulary,
        exercises=exercises,
        ladders=ladders,
        findings=tuple(sorted(findings, key=Finding.sort_key)),
        withheld=(frozenset(exercise_files) | listing.misnamed) - exercises.keys(),
    )


def _settings(found: Found | None, findings: list[Finding]) -> Settings:
    if found is None:
        if not any(finding.place.file.startswith("library.y") for finding in findings):
            message = "there is no library.yml: make one (it may be empty) or mend --library"
            findings.append(Finding("unreadable-file", "error", message, Place("library.yml")))
        return Settings()
    raw = read_plain(found, limits.MOST_BYTES, limits.MOST_NODES, findings)
    if raw is None:
        return Settings()
    _, part, problems = validate(Settings, raw.values, {"source": raw.places})
    settings = part or Settings(source=raw.places)
    findings.extend(findings_of([*problems, *settings_names(settings)], raw.places))
    return sound_settings(settings)


def _by_id(files: list[Found], findings: list[Finding]) -> dict[str, Found]:
    """The first file of each id."""
    first: dict[str, Found] = {}
    for found in files:
        if found.stem not in first:
            first[found.stem] = found
            continue
        other = first[found.stem].file
        message = f"the id '{found.stem}' is already that of {other}: rename one of the two files"
        exercises = (found.stem,) if found.file.startswith("exercises/") else ()
        findings.append(Finding("duplicate-id", "error", message, Place(found.file), exercises))
    return first
