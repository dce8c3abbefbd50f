"""Pages of the library's own words: cautions, equipment, restrictions, sources, positions."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import partial

from markupsafe import Markup

from rungbook.ladder.order_words import EXAMPLE, order_in_words
from rungbook.model.exercise import Exercise
from rungbook.model.library import Term
from rungbook.model.position import POSITIONS
from rungbook.model.restriction import Restriction
from rungbook.site.pages.catalogue import Catalogue
from rungbook.site.pages.page import Later, Link, Page
from rungbook.site.pages.references import Reference, reference, references
from rungbook.site.pages.words import sentence, spaced


@dataclass(frozen=True, slots=True)
class Entry:
    """One word: what it means and where it is used. `key` is its anchor."""

    key: str
    title: str
    text: Markup
    remarks: tuple[str, ...]
    used_by: tuple[Link, ...]
    sources: tuple[Reference, ...] = ()
    reference: Reference | None = None


@dataclass(frozen=True, slots=True)
class VocabularyPage:
    """One vocabulary."""

    title: str
    lead: str
    entries: tuple[Entry, ...]
    empty: str


LEADS = {
    "cautions": "What to look out for before and during an exercise. A caution that is not listed "
    "is not a clearance: the list is as complete as the library's authors made it.",
    "restrictions": "What a surgeon or a protocol orders: which kinds of work, how far, how much "
    "weight, in which weeks. The order for the patient in front of you comes first.",
    "equipment": "What the exercises need.",
    "positions": "How the body lies to gravity at the start.",
    "sources": "What the library's figures, doses and criteria rest on.",
}


def _users(
    catalogue: Catalogue, wanted: Sequence[str], keys_of: Mapping[str, Sequence[str]]
) -> Mapping[str, tuple[Link, ...]]:
    """For every key, the exercises that use it, by title."""
    found: dict[str, list[Link]] = {key: [] for key in wanted}
    for exercise, keys in keys_of.items():
        for key in dict.fromkeys(keys):
            found.setdefault(key, []).append(catalogue.exercise_link(exercise))
    return {
        key: tuple(sorted(links, key=lambda link: (link.title.casefold(), link.href)))
        for key, links in found.items()
    }


def _term_entries(
    catalogue: Catalogue,
    terms: Mapping[str, Term] | Mapping[str, Restriction],
    keys_of: Mapping[str, Sequence[str]],
) -> tuple[Entry, ...]:
    write = catalogue.write("")
    users = _users(catalogue, list(terms), keys_of)
    entries = []
    for key, used_by in users.items():
        term = terms.get(key)
        entries.append(
            Entry(
                key=key,
                title=term.title if term else sentence(spaced(key)),
                text=write(term.text) if term else Markup(),
                remarks=tuple(_remarks(term)) if term else (),
                used_by=used_by,
                sources=references(catalogue, term.sources if term else ()),
            )
        )
    return tuple(entries)


def _remarks(term: Term | Restriction) -> Iterator[str]:
    if isinstance(term, Restriction):
        yield from order_in_words(term)
        if term.ordered_by:
            yield f"Ordered by: {term.ordered_by}."
        yield EXAMPLE
        return
    if term.red_flag:
        yield "Danger sign: stop and get medical help."
    if term.assists == "set":
        yield "Its help can be set exactly."
    if term.assists == "felt":
        yield "Its help is judged by feel: shares are estimates."
    if term.unstable:
        yield "An unstable surface."


def _source_entries(catalogue: Catalogue) -> tuple[Entry, ...]:
    exercises = catalogue.library.exercises
    keys_of = {key: _cited(exercise) for key, exercise in exercises.items()}
    sources = catalogue.library.vocabulary.sources
    users = _users(catalogue, list(sources), keys_of)
    write = catalogue.write("")
    return tuple(
        Entry(
            key=key,
            title=reference(catalogue, key).title,
            text=write(sources[key].text) if key in sources else Markup(),
            remarks=(),
            used_by=used_by,
            reference=reference(catalogue, key),
        )
        for key, used_by in users.items()
    )


def _cited(exercise: Exercise) -> tuple[str, ...]:
    steps = (key for progression in exercise.progressions for key in progression.sources)
    return (*exercise.sources, *(figure.source for figure in exercise.figures), *steps)


def _position_entries(catalogue: Catalogue) -> tuple[Entry, ...]:
    keys_of = {key: (e.position,) for key, e in catalogue.library.exercises.items()}
    users = _users(catalogue, [], keys_of)
    return tuple(
        Entry(key, sentence(spaced(key)), Markup(), (), users[key])
        for key in POSITIONS
        if key in users
    )


def _caution_entries(catalogue: Catalogue) -> tuple[Entry, ...]:
    keys_of = {key: e.cautions for key, e in catalogue.library.exercises.items()}
    return _term_entries(catalogue, catalogue.library.vocabulary.cautions, keys_of)


def _restriction_entries(catalogue: Catalogue) -> tuple[Entry, ...]:
    """Of exercises, and of the ladders they are on."""
    keys_of = {key: list(e.restrictions) for key, e in catalogue.library.exercises.items()}
    for key, standings in catalogue.standings.items():
        for standing in standings:
            keys_of[key].extend(standing.ladder.ladder.restrictions)
    return _term_entries(catalogue, catalogue.library.vocabulary.restrictions, keys_of)


def _equipment_entries(catalogue: Catalogue) -> tuple[Entry, ...]:
    keys_of = {key: e.equipment for key, e in catalogue.library.exercises.items()}
    return _term_entries(catalogue, catalogue.library.vocabulary.equipment, keys_of)


_ENTRIES = {
    "cautions": _caution_entries,
    "restrictions": _restriction_entries,
    "equipment": _equipment_entries,
    "positions": _position_entries,
    "sources": _source_entries,
}


def _model(catalogue: Catalogue, key: str) -> VocabularyPage:
    empty = f"The library has no {key} yet: see vocabulary/{key}.yml."
    return VocabularyPage(sentence(key), LEADS[key], _ENTRIES[key](catalogue), empty)


def pages(catalogue: Catalogue) -> Iterator[Page]:
    """One page a vocabulary, empty ones too: links to them never break."""
    for key in _ENTRIES:
        yield Page(
            path=f"{key}.html",
            kind="vocabulary",
            title=sentence(key),
            description=LEADS[key],
            model=Later(partial(_model, catalogue, key)),
        )
