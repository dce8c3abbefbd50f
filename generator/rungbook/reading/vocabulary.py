"""The library's own words: vocabulary/*.yml, an entry a key with a title."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from rungbook.model.acting import BUILT_IN_SURFACES
from rungbook.model.body_point import POINT_WORDS
from rungbook.model.finding import Finding
from rungbook.model.library import Source, Term, Vocabulary
from rungbook.model.place import Place, inside
from rungbook.model.record import Record
from rungbook.model.restriction import Restriction
from rungbook.reading import limits
from rungbook.reading.folder import ID, Found, better_id
from rungbook.reading.names import restriction_names
from rungbook.reading.orders import order_problems
from rungbook.reading.places import FilePlaces, VariationPlaces
from rungbook.reading.raw import RawFile, read_plain
from rungbook.reading.references import Known, source_references
from rungbook.reading.shape import Problem, findings_of, validate
from rungbook.reading.wording import shown
from rungbook.reading.words import did_you_mean

SEARCH = "search"  # what people type, and what it stands for: words, no entries
MOST_WORDS = 80  # letters of a term or a meaning

# Contacts name them in the same place as equipment.
RESERVED = frozenset((*BUILT_IN_SURFACES, *POINT_WORDS))
KINDS: dict[str, type[Record]] = {
    "areas": Term,
    "cautions": Term,
    "equipment": Term,
    "restrictions": Restriction,
    "sources": Source,
}


def read_vocabulary(
    files: list[Found], findings: list[Finding]
) -> tuple[Vocabulary, dict[str, frozenset[str]]]:
    """The vocabulary, and every key that was written, faulty entries included."""
    entries: dict[str, dict[str, Any]] = {kind: {} for kind in (*KINDS, SEARCH)}
    written: dict[str, frozenset[str]] = {kind: frozenset() for kind in KINDS}
    places: dict[str, FilePlaces | VariationPlaces] = {}
    for found in files:
        if found.stem not in (*KINDS, SEARCH) or "/" in inside(found.file).removeprefix(
            "vocabulary/"
        ):
            names = [f"{kind}.yml" for kind in (*KINDS, SEARCH)]
            hint = did_you_mean(
                f"{found.stem}.yml", names, f"the vocabularies are {', '.join(names)}"
            )
            message = f"no vocabulary has this name: {hint}"
            findings.append(Finding("unknown-field", "error", message, Place(found.file)))
            continue
        raw = read_plain(
            found, limits.MOST_VOCABULARY_BYTES, limits.MOST_VOCABULARY_NODES, findings
        )
        if raw is not None and found.stem == SEARCH:
            entries[SEARCH] |= _meanings(raw, findings)
        elif raw is not None:
            below = places.get(found.stem)
            places[found.stem] = VariationPlaces(raw.places, below) if below else raw.places
            written[found.stem] |= frozenset(raw.values)
            entries[found.stem] |= _entries(found.stem, raw, findings)
    return Vocabulary(**entries, places=places), written


def _entries(stem: str, raw: RawFile, findings: list[Finding]) -> dict[str, Any]:
    model, entries = KINDS[stem], dict[str, Any]()
    for key, value in raw.values.items():
        if not ID.fullmatch(key):
            better = better_id(key) or "a-word"
            long = f", {limits.MOST_ID} letters at most" if len(key) > limits.MOST_ID else ""
            message = "a key is made of a-z, 0-9 and single hyphens"
            message += f"{long}, such as '{shown(better)}': rename it"
            problem = Problem("wrong-value", (key,), message, at_key=True)
            findings.extend(findings_of([problem], raw.places))
            continue
        if stem == "equipment" and key in RESERVED:
            message = f"'{key}' is a word of the format: give the piece another key"
            problem = Problem("wrong-value", (key,), message, at_key=True)
            findings.extend(findings_of([problem], raw.places))
            continue
        values = {"title": value} if isinstance(value, str) else value
        if not isinstance(values, dict):
            message = f"'{key}' needs a title: write '{key}: its title'"
            findings.extend(
                findings_of([Problem("missing-field", (key,), message, at_key=True)], raw.places)
            )
            continue
        entry, part, problems = validate(model, values)
        if isinstance(part, Restriction):
            problems.extend([*restriction_names(part), *order_problems(part)])
        findings.extend(findings_of([_below(key, problem) for problem in problems], raw.places))
        if entry is not None and not problems:
            entries[key] = entry
    return entries


def _meanings(raw: RawFile, findings: list[Finding]) -> dict[str, tuple[str, ...]]:
    """By what people type, the words it stands for; an empty list takes a usual term out."""
    meanings = dict[str, tuple[str, ...]]()
    for term, value in raw.values.items():
        means = [value] if isinstance(value, str) else value
        if isinstance(means, Sequence) and all(map(_wordy, [term, *means])):
            meanings[term] = tuple(means)
            continue
        message = (
            f"a few words stand for others here, each at most {MOST_WORDS} letters: write "
            f"'{shown(term)}: [the words it stands for]', or [] for none"
        )
        findings.extend(findings_of([Problem("wrong-value", (term,), message)], raw.places))
    return meanings


def _wordy(value: object) -> bool:
    return isinstance(value, str) and len(value) <= MOST_WORDS and any(map(str.isalnum, value))


def vocabulary_findings(vocabulary: Vocabulary, known: Known) -> Iterator[Finding]:
    """Sources that entries name and sources.yml does not have."""
    for kind in ("areas", "cautions", "equipment", "restrictions"):
        for key, entry in getattr(vocabulary, kind).items():
            problems = source_references(entry.sources, (key, "sources"), known)
            yield from findings_of(problems, vocabulary.places[kind])


def _below(key: str, problem: Problem) -> Problem:
    return Problem(problem.check, (key, *problem.path), problem.message, problem.at_key)
