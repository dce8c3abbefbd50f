"""A library's folder as located, checked records: `read_library`."""

from __future__ import annotations

import gc
import pathlib
from collections.abc import Iterator
from contextlib import contextmanager

from rungbook.model.exercise import Exercise
from rungbook.model.finding import Finding
from rungbook.model.ladder import Ladder
from rungbook.model.library import Library, Settings
from rungbook.model.place import Place
from rungbook.reading import limits
from rungbook.reading.folder import Found, Listing, NoLibrary, list_library
from rungbook.reading.raw import RawFile, read_front_matter, read_plain
from rungbook.reading.shape import findings_of, validate
from rungbook.reading.variations import Variations
from rungbook.reading.vocabulary import read_vocabulary

__all__ = ["NoLibrary", "read_library"]


def read_library(root: pathlib.Path) -> Library:
    """Reads the library in the folder `root`; whatever is wrong with it is in its findings.

    Raises:
        NoLibrary: the folder does not exist or cannot be listed.
    """
    with _no_collector():
        return _read(root, list_library(root))


@contextmanager
def _no_collector() -> Iterator[None]:
    """Reading makes many small objects and no cycles: the collector would only look on."""
    enabled = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if enabled:
            gc.enable()


def _read(root: pathlib.Path, listing: Listing) -> Library:
    findings = listing.findings
    settings = _settings(listing.settings, findings)
    vocabulary, written = read_vocabulary(listing.vocabulary, findings)
    exercises = _exercises(listing.exercises, findings)
    ladders = _ladders(listing.ladders, findings)
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
    )


def _settings(found: Found | None, findings: list[Finding]) -> Settings:
    if found is None:
        message = (
            "there is no library.yml: make one (it may be empty), or name the folder with --library"
        )
        findings.append(Finding("unreadable-file", "error", message, Place("library.yml")))
        return Settings()
    raw = read_plain(found, limits.MOST_BYTES, limits.MOST_NODES, findings)
    if raw is None:
        return Settings()
    _, part, problems = validate(Settings, raw.values, {"source": raw.places})
    findings.extend(findings_of(problems, raw.places))
    return part or Settings(source=raw.places)


def _by_id(files: list[Found], kind: str, findings: list[Finding]) -> dict[str, Found]:
    """The first file of each id."""
    first: dict[str, Found] = {}
    for found in files:
        if found.stem in first:
            other = first[found.stem].file
            message = (
                f"the id '{found.stem}' is already that of {other}: rename one of the two files"
            )
            findings.append(
                Finding(
                    "duplicate-id",
                    "error",
                    message,
                    Place(found.file),
                    (found.stem,) if kind == "exercise" else (),
                )
            )
        else:
            first[found.stem] = found
    return first


def _exercises(files: list[Found], findings: list[Finding]) -> dict[str, Exercise]:
    known = _by_id(files, "exercise", findings)
    raws: dict[str, RawFile] = {}
    for id in sorted(known):
        raw = read_front_matter(known[id], findings)
        if raw is not None:
            raws[id] = raw
    variations = Variations(raws, frozenset(known))
    findings.extend(variations.findings)
    exercises: dict[str, Exercise] = {}
    for id, raw in raws.items():
        values, places, text = variations.merged[id]
        if raw.folder is not None and "area" not in raw.values:
            values = {**values, "area": raw.folder}
        given = {"id": id, "text": text, "source": places}
        exercise, _, problems = validate(Exercise, values, given)
        findings.extend(findings_of(problems, places, exercise=id))
        if exercise is not None and raw.sound and id not in variations.broken:
            exercises[id] = exercise
    return exercises


def _ladders(files: list[Found], findings: list[Finding]) -> dict[str, Ladder]:
    ladders: dict[str, Ladder] = {}
    for id, found in sorted(_by_id(files, "ladder", findings).items()):
        raw = read_front_matter(found, findings)
        if raw is None:
            continue
        given = {"id": id, "text": raw.body, "source": raw.places}
        ladder, _, problems = validate(Ladder, raw.values, given)
        findings.extend(findings_of(problems, raw.places, ladder=id))
        if ladder is not None and raw.sound:
            ladders[id] = ladder
    return ladders
