"""A library's folder as located, checked records: `read_library`."""

from __future__ import annotations

import gc
import hashlib
import pathlib
from collections.abc import Collection, Iterable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field
from typing import Any

from rungbook.model.finding import Finding
from rungbook.model.library import BaseLibrary, Library, Settings, Vocabulary
from rungbook.model.place import Place, inside
from rungbook.model.record import kebab
from rungbook.reading import limits
from rungbook.reading.balance import balance_tasks
from rungbook.reading.bases import list_whole
from rungbook.reading.exercises import read_exercises
from rungbook.reading.folder import Found, Listing, NoLibrary
from rungbook.reading.ladders import read_ladders
from rungbook.reading.left_out import left_out_exercises, left_out_ladders
from rungbook.reading.named_words import named_words
from rungbook.reading.names import settings_names, sound_settings
from rungbook.reading.pictures import Pictures
from rungbook.reading.places import FilePlaces, VariationPlaces
from rungbook.reading.raw import RawFile, read_bytes, read_plain
from rungbook.reading.references import Known, settings_references
from rungbook.reading.shape import Problem, findings_of, validate
from rungbook.reading.variations import merge
from rungbook.reading.vocabulary import read_vocabulary, vocabulary_findings
from rungbook.reading.yaml_values import Read, read_yaml

ITS_OWN = frozenset({"extends", "without", "site"})  # keys of a library.yml for it alone

__all__ = ["Ground", "NoLibrary", "Records", "read_ground", "read_library", "read_records"]


def read_library(
    root: pathlib.Path, read: Read = read_yaml, origin: pathlib.Path | None = None
) -> Library:
    """Reads the library in the folder `root`; whatever is wrong with it is in its findings.

    `read` reads the YAML of exercises and ladders; `origin` is the library that it is a copy of.

    Raises:
        NoLibrary: the folder, or that of a library it builds on, does not exist or cannot be
            listed.
    """
    listing = list_whole(root, origin)
    if listing.fault is not None:
        raise NoLibrary(f"{listing.fault.place}: {listing.fault.message}")
    return read_records(read_ground(root, listing), read=read).library


@dataclass(frozen=True)
class Ground:
    """What all exercises and ladders of a library stand on: settings, vocabulary, known names.

    `exercises` and `ladders` are the files that count, by id; `repeated` the findings on those
    whose id another file has already.
    """

    root: pathlib.Path
    settings: Settings
    vocabulary: Vocabulary
    known: Known
    exercises: Mapping[str, Found]
    ladders: Mapping[str, Found]
    misnamed: frozenset[str]
    unsound_settings: frozenset[str]
    findings: tuple[Finding, ...]
    repeated: tuple[Finding, ...]
    bases: tuple[BaseLibrary, ...] = ()
    hidden: tuple[Found, ...] = ()  # exercises of a base that are left out, and varied there
    replaced: tuple[Found, ...] = ()
    named: Mapping[str, frozenset[str]] = field(default_factory=dict)


@dataclass(frozen=True)
class Records:
    """A library, and what each exercise file read for it says it varies, sound or not."""

    library: Library
    varied: Mapping[str, str]


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


def read_ground(root: pathlib.Path, listing: Listing) -> Ground:
    """Reads everything but exercises and ladders."""
    findings = list(listing.findings)
    repeated: list[Finding] = []
    exercises = _by_id(listing.exercises, repeated)
    ladders = _by_id(listing.ladders, repeated)
    settings, unsound_settings = _settings(listing, findings)
    vocabulary, written = read_vocabulary(listing.vocabulary, findings)
    misnamed = frozenset(listing.misnamed)
    known = Known(
        frozenset(exercises) | misnamed,
        written,
        Pictures(listing.pictures),
        frozenset(balance_tasks(settings)),
        listing.left_out,
    )
    findings.extend(vocabulary_findings(vocabulary, known))
    findings.extend(findings_of(settings_references(settings, known), settings.source))
    if not listing.exercises and listing.fault is None:
        message = "the library has no exercise: add exercises/<area>/<id>.md, or run `rungbook new`"
        findings.append(Finding("missing-field", "error", message, Place("library.yml")))
    return Ground(
        root,
        settings,
        vocabulary,
        known,
        exercises,
        ladders,
        misnamed,
        unsound_settings,
        tuple(findings),
        tuple(repeated),
        tuple(_bases(listing)),
        tuple(one for one in listing.hidden if inside(one.file).startswith("exercises/")),
        tuple(listing.replaced),
        named_words(listing),
    )


def _bases(listing: Listing) -> Iterator[BaseLibrary]:
    for base in listing.bases:
        raw = read_plain(base.settings, limits.MOST_BYTES, limits.MOST_NODES, [])
        name = raw.values.get("name") if raw else None
        yield BaseLibrary(
            base.way, base.root, name if isinstance(name, str) else base.way, base.place
        )


def _digests(files: Iterable[Found]) -> dict[str, str]:
    """By file: a sum of what it says."""
    contents = ((one.file, read_bytes(one.path, one.file)) for one in files)
    return {
        file: hashlib.blake2b(data, digest_size=16).hexdigest()
        for file, data in contents
        if isinstance(data, bytes)
    }


def read_records(
    ground: Ground, only: Collection[str] | None = None, read: Read = read_yaml
) -> Records:
    """Reads exercises and ladders: all, or those whose files are in `only`.

    The ids of all are known in either case.
    """
    with _no_collector():
        return _records(ground, only, read)


def _records(ground: Ground, only: Collection[str] | None, read: Read) -> Records:
    exercise_files, ladder_files = ground.exercises, ground.ladders
    findings = [*ground.findings]
    if only is None:
        findings.extend(ground.repeated)
    else:
        exercise_files = {id: found for id, found in exercise_files.items() if found.file in only}
        ladder_files = {id: found for id, found in ladder_files.items() if found.file in only}
        findings.extend(one for one in ground.repeated if one.place.file in only)
    varied: dict[str, str] = {}
    # A variation of what is left out takes from it all the same.
    files = {**{one.stem: one for one in ground.hidden}, **exercise_files}
    exercises = read_exercises(files, ground.known, findings, varied, read)
    unseen = files.keys() - exercise_files.keys()
    exercises = {id: one for id, one in exercises.items() if id not in unseen}
    hidden = {one.file for one in ground.hidden}
    findings = [one for one in findings if one.place.file not in hidden]
    ladders = read_ladders(ladder_files, exercises, ground.known, findings, read)
    library = Library(
        root=ground.root,
        settings=ground.settings,
        vocabulary=ground.vocabulary,
        exercises=exercises,
        ladders=ladders,
        findings=tuple(sorted(findings, key=Finding.sort_key)),
        withheld=(frozenset(exercise_files) | ground.misnamed) - exercises.keys(),
        left_out=left_out_exercises(exercise_files, exercises, varied),
        left_out_ladders=left_out_ladders(ladder_files, ladders, ground.known.exercises),
        unsound_settings=ground.unsound_settings,
        bases=ground.bases,
        replaced=_digests(ground.replaced),
        named=ground.named,
    )
    return Records(library, varied)


def _settings(listing: Listing, findings: list[Finding]) -> tuple[Settings, frozenset[str]]:
    """The settings, defaults standing in for what is not sound; and the keys that are not."""
    everything = frozenset(map(kebab, Settings.model_fields))
    found = listing.settings
    if found is None:
        if any(finding.place.file.startswith("library.y") for finding in findings):
            return Settings(), everything
        message = "there is no library.yml: make one (it may be empty) or mend --library"
        findings.append(Finding("unreadable-file", "error", message, Place("library.yml")))
        return Settings(), frozenset()
    raw = read_plain(found, limits.MOST_BYTES, limits.MOST_NODES, findings)
    if raw is None:
        return Settings(), everything
    values, places = _with_bases(raw, listing)
    _, part, problems = validate(Settings, values, {"source": places})
    settings = part or Settings(source=places)
    problems = [*problems, *settings_names(settings), *_other_language(raw, listing)]
    findings.extend(findings_of(problems, places))
    keys = frozenset(str(problem.path[0]) for problem in problems if problem.path)
    return sound_settings(settings), keys if raw.sound else everything


def _other_language(raw: RawFile, listing: Listing) -> Iterator[Problem]:
    """Words of a base would pass for those of the language that a library says it is in."""
    own = raw.values.get("language")
    if not isinstance(own, str):
        return
    for base in listing.bases:
        below = read_plain(base.settings, limits.MOST_BYTES, limits.MOST_NODES, [])
        theirs = str(below.values.get("language", "en")) if below else own
        if theirs.split("-")[0] != own.split("-")[0]:
            message = (
                f"the words of the base {base.way} are in '{theirs}': write that here too, and "
                f"what there is in '{own}' beside them, such as 'title ({own})'"
            )
            yield Problem("wrong-value", ("language",), message)
            return


def _with_bases(
    raw: RawFile, listing: Listing
) -> tuple[dict[str, Any], FilePlaces | VariationPlaces]:
    """The keys of library.yml laid on those of its bases, but for what is each library's own."""
    values = dict[str, Any]()
    places: FilePlaces | VariationPlaces | None = None
    for base in reversed(listing.bases):
        below = read_plain(base.settings, limits.MOST_BYTES, limits.MOST_NODES, [])
        if below is not None:
            values = merge(values, {k: v for k, v in below.values.items() if k not in ITS_OWN})
            places = VariationPlaces(below.places, places) if places else below.places
    return merge(values, raw.values), VariationPlaces(raw.places, places) if places else raw.places


def _by_id(files: list[Found], findings: list[Finding]) -> dict[str, Found]:
    """The first file of each id."""
    first: dict[str, Found] = {}
    for found in files:
        if found.stem not in first:
            first[found.stem] = found
            continue
        other = first[found.stem].file
        message = f"the id '{found.stem}' is already that of {other}: rename one of the two files"
        exercises = (found.stem,) if inside(found.file).startswith("exercises/") else ()
        findings.append(Finding("duplicate-id", "error", message, Place(found.file), exercises))
    return first
