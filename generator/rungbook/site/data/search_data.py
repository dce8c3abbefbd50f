"""The search index: what every exercise, ladder and area is found by.

Title and other names are an entry's own; all else (action and muscles, area, position, purpose,
equipment, kind of work; further off condition, ladders, cautions) is shared by many entries and
stands once, in a list that entries point into. What people type instead of these words is in
`search_words.yml` and in the library's own `vocabulary/search.yml`.
"""

from __future__ import annotations

import importlib.resources
from collections.abc import Iterable, Mapping
from functools import cache
from typing import Any

from rungbook.load.compute import groups
from rungbook.model.exercise import Exercise
from rungbook.model.ladder import Ladder
from rungbook.model.movement import Action
from rungbook.reading.yaml_values import read_yaml
from rungbook.site.pages.catalogue import Catalogue
from rungbook.site.pages.words import spaced

Row = list[Any]


def search_index(catalogue: Catalogue) -> dict[str, Any]:
    """Rows of [id or path, title, area, other names, near, far], their empty ends left out.

    `area`, `near` and `far` are numbers in `texts`; `unpictured` and `variations` are the numbers
    of rows without a thumbnail, and of variations, which come after what they vary; `meanings` are
    pairs of a term and what it stands for.
    """
    library = catalogue.library
    texts = _Texts()
    exercises = list(library.exercises.values())
    rows = [_exercise(catalogue, exercise, texts) for exercise in exercises]
    rows.extend(_ladder(catalogue, ladder, texts) for ladder in library.ladders.values())
    rows.extend([f"areas/{key}", catalogue.area_title(key)] for key in catalogue.areas)
    return {
        "texts": list(texts.numbers),
        "rows": rows,
        "unpictured": [n for n, one in enumerate(exercises) if not catalogue.pictured(one.id)],
        "variations": [n for n, one in enumerate(exercises) if one.variation_of],
        "meanings": [
            [term, list(means)] for term, means in _meanings(library.vocabulary.search).items()
        ],
    }


class _Texts:
    """Every text once; an entry has its number."""

    def __init__(self) -> None:
        self.numbers: dict[str, int] = {}

    def of(self, texts: Iterable[str | None]) -> list[int]:
        found = (self.numbers.setdefault(one, len(self.numbers)) for one in texts if one)
        return list(dict.fromkeys(found))


def _exercise(catalogue: Catalogue, exercise: Exercise, texts: _Texts) -> Row:
    library = catalogue.library
    terms, ladders = (
        library.vocabulary,
        [one.ladder for one in catalogue.standings.get(exercise.id, ())],
    )
    near = [
        *_actions(exercise.works),
        spaced(exercise.position) if exercise.position else None,
        *exercise.purpose,
        *(terms.equipment[k].title if k in terms.equipment else k for k in exercise.equipment),
        *_kinds(catalogue, exercise),
        *_base_names(library.exercises, exercise),
    ]
    far = [
        *(spaced(one.ladder.condition) for one in ladders if one.ladder.condition),
        *(one.ladder.title for one in ladders),
        *(terms.cautions[k].title if k in terms.cautions else k for k in exercise.cautions),
    ]
    area = catalogue.area_of(exercise)
    place = texts.of([catalogue.area_title(area)])[0] if area else -1
    names = list(exercise.also_called)
    return _short([exercise.id, exercise.title, place, names, texts.of(near), texts.of(far)])


def _ladder(catalogue: Catalogue, ladder: Ladder, texts: _Texts) -> Row:
    known = catalogue.library.exercises
    near = [
        "ladder",
        *_actions(ladder.works),
        spaced(ladder.condition) if ladder.condition else None,
        known[ladder.goal].title if ladder.goal in known else None,
    ]
    return [f"ladders/{ladder.id}", ladder.title, -1, [], texts.of(near)]


def _actions(actions: Iterable[Action]) -> Iterable[str]:
    for action in map(str, actions):
        yield spaced(action)
        yield groups().get(action, "")


def _kinds(catalogue: Catalogue, exercise: Exercise) -> Iterable[str]:
    load = catalogue.measured.loads.get(exercise.id)
    return sorted({kind.word for one in exercise.works if load and (kind := load.kind(one))})


def _base_names(known: Mapping[str, Exercise], exercise: Exercise) -> Iterable[str]:
    """Other names of what it is a variation of: who asks for a kind of exercise means these too."""
    base = known.get(exercise.variation_of or "")
    while base:
        yield from base.also_called
        base = known.get(base.variation_of or "")


def _meanings(own: Mapping[str, tuple[str, ...]]) -> dict[str, tuple[str, ...]]:
    """Ours with the library's own; a term without a meaning there is taken out."""
    both = {**_usual(), **{term.casefold(): means for term, means in own.items()}}
    return {term: means for term, means in both.items() if means}


@cache
def _usual() -> Mapping[str, tuple[str, ...]]:
    file = importlib.resources.files("rungbook.site.data").joinpath("search_words.yml")
    values, _ = read_yaml(file.read_text("utf-8"))
    return {str(term): tuple(means) for term, means in values.items()}


def _short(row: Row) -> Row:
    while row and row[-1] in ((), [], None, -1):
        row.pop()
    return row
