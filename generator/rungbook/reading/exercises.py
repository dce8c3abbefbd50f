"""Exercise files as checked records, what they vary already taken in."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from rungbook.model.exercise import Exercise
from rungbook.model.finding import Finding
from rungbook.model.place import Place, base_of
from rungbook.model.record import kebab
from rungbook.model.variation import OWN_KEYS
from rungbook.reading.contradictions import exercise_contradictions
from rungbook.reading.folder import Found
from rungbook.reading.names import exercise_names, written_angle_names
from rungbook.reading.raw import RawFile, read_front_matter
from rungbook.reading.references import Known, exercise_references
from rungbook.reading.seals import is_broken
from rungbook.reading.shape import Problem, findings_of, validate
from rungbook.reading.variations import Merged, parent_of, resolve
from rungbook.reading.wording import shown
from rungbook.reading.words import nearest
from rungbook.reading.yaml_values import Read, read_yaml

OWN_FIELDS = frozenset(
    name for name in Exercise.model_fields if kebab(name) in OWN_KEYS or name == "in_languages"
)
SECTIONS = ("Set up", "Do", "Watch for", "For the patient")


def read_exercises(
    files: Mapping[str, Found],
    known: Known,
    findings: list[Finding],
    varied: dict[str, str],
    read: Read = read_yaml,
) -> dict[str, Exercise]:
    """Reads, merges and checks exercise files, given by id; returns the sound ones in order.

    What each says it varies, sound or not, goes to `varied`.
    """
    raws: dict[str, RawFile] = {}
    for id in sorted(files):
        raw = read_front_matter(files[id], findings, exercise=id, read=read)
        if raw is not None:
            raws[id] = raw
            parent = parent_of(raw)
            if parent is not None:
                varied[id] = parent
    owners = {raw.file: id for id, raw in raws.items()}
    findings.extend(_unknown_areas(raws.values(), known))
    sound: dict[str, Exercise] = {}
    found: list[Finding] = []
    everyone = known
    for merged in resolve(raws, known.exercises, findings):
        known = everyone.of_base if base_of(merged.raw.file) else everyone
        findings.extend(_headings(merged.raw))
        base = sound.get(varied.get(merged.raw.id, ""))
        exercise = _variation(merged, base, known) if base else None
        if exercise is None:
            exercise = _exercise(merged, known, found)
        if exercise is not None:
            sound[exercise.id] = exercise
        merged.raw.values = {}  # the record holds them now
    findings.extend(_each_once(found, owners))
    return {id: sound[id] for id in sorted(sound)}


def _variation(merged: Merged, parent: Exercise, known: Known) -> Exercise | None:
    """A sound variation of a sound exercise: only what it restates is held against the model.

    None where anything is wrong with it; then the whole of it is to be looked at.
    """
    raw = merged.raw
    own = {key: merged.values[key] for key in raw.values}
    if raw.folder is not None:
        own.setdefault("area", raw.folder)
    given = _given(merged, known)
    restated, _, problems = validate(Exercise, own, given)
    if restated is None or problems or not raw.sound:
        return None
    names = restated.model_fields_set | OWN_FIELDS
    exercise = parent.model_copy(update={name: getattr(restated, name) for name in names})
    faults = (
        *exercise_names(restated),
        *exercise_references(restated, known, raw.values),
        *exercise_contradictions(exercise, frozenset(merged.values)),
    )
    return None if faults else exercise


def _given(merged: Merged, known: Known) -> dict[str, Any]:
    """What a record has besides its keys."""
    return {
        "id": merged.raw.id,
        "text": merged.text,
        "source": merged.places,
        "borrowed": merged.borrowed,
        "altered": is_broken(merged.values, merged.text, known.pictures.files),
    }


def _exercise(merged: Merged, known: Known, findings: list[Finding]) -> Exercise | None:
    raw, values, places = merged.raw, merged.values, merged.places
    if raw.folder is not None and "area" not in raw.values:
        values = {**values, "area": raw.folder}
    given = _given(merged, known)
    exercise, part, problems = validate(Exercise, values, given)
    problems = _explained(problems, values)
    if part is not None:
        problems.extend(exercise_names(part))
        if merged.whole:
            problems.extend(exercise_contradictions(part, frozenset(values)))
    if not merged.whole:
        problems = [problem for problem in problems if problem.check != "missing-field"]
    references = list(exercise_references(part, known, raw.values)) if part is not None else []
    if problems or references:
        findings.extend(findings_of([*problems, *references], places, exercise=raw.id))
    return exercise if raw.sound and merged.whole and not problems else None


def _explained(problems: list[Problem], values: Mapping[str, Any]) -> list[Problem]:
    """The problems, a faulty angle told as the movement that the joint does not have."""
    keys = {str(problem.path[0]) for problem in problems if problem.path}
    named = list(written_angle_names(values, keys))
    explained = {one.path for one in named}
    rest = (
        problem
        for problem in problems
        if not any(problem.path[: len(path)] == path for path in explained)
    )
    return [*rest, *named]


def _each_once(found: list[Finding], owners: Mapping[str, str]) -> Iterator[Finding]:
    """A fault that variations inherit is told once, by the exercise that wrote it."""
    own = [finding for finding in found if owners.get(finding.place.file) in finding.exercises]
    told = {(finding.check, finding.place, finding.message) for finding in own}
    yield from own
    for finding in found:
        key = (finding.check, finding.place, finding.message)
        if key not in told:
            told.add(key)
            yield finding


def _headings(raw: RawFile) -> Iterator[Finding]:
    """Headings that are nearly one of those the pages know."""
    for heading, line in raw.places.headings.items():
        plain = heading.split(" (")[0]
        near = nearest(plain, SECTIONS) if plain not in SECTIONS else None
        if near and abs(len(near) - len(plain)) <= 2:  # else a heading of the author's own
            message = f"no page knows the section '{shown(heading)}': did you mean '{near}'?"
            place = Place(raw.file, line)
            yield Finding("unknown-field", "error", message, place, (raw.id,))


def _unknown_areas(raws: Iterable[RawFile], known: Known) -> Iterator[Finding]:
    """Folders that are no area, told once each."""
    areas = known.vocabulary["areas"]
    told: set[str] = set()
    for raw in raws:
        if not areas or raw.folder is None or raw.folder in areas or "area" in raw.values:
            continue
        if raw.folder not in told:
            told.add(raw.folder)
            near = nearest(raw.folder, areas)
            hint = f"did you mean '{near}'? Else add" if near else "add"
            message = (
                f"the folder '{shown(raw.folder)}' is no area: {hint} it to vocabulary/areas.yml "
                "or write 'area:' in its exercises"
            )
            yield Finding("unknown-reference", "error", message, raw.places.place(), (raw.id,))
