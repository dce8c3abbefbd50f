"""Rows to drafts that reading accepts: whatever it would find fault with goes to the kept cells."""

from __future__ import annotations

import pathlib
from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from rungbook.intake.draft import Draft, draft_of
from rungbook.intake.linking import give_ids, link
from rungbook.intake.mapping import Mapping as ColumnMapping
from rungbook.intake.table import Table
from rungbook.intake.words import Words
from rungbook.intake.yaml_text import yaml_text
from rungbook.model.exercise import Exercise
from rungbook.model.library import Library
from rungbook.model.written import written
from rungbook.reading.balance import balance_tasks
from rungbook.reading.bases import list_whole
from rungbook.reading.contradictions import exercise_contradictions
from rungbook.reading.front_matter import FORBIDDEN
from rungbook.reading.markup import unsafe_markup
from rungbook.reading.names import exercise_names
from rungbook.reading.pictures import Pictures
from rungbook.reading.places import is_own
from rungbook.reading.references import Known, exercise_references
from rungbook.reading.shape import Problem, validate
from rungbook.reading.variations import merge

MOST_ROUNDS = 60
MOST_DEEP = 20  # variations of variations; reading allows more, a table never has them


def drafts_of(
    table: Table, mapping: ColumnMapping, library: Library, made: Iterable[str] = ()
) -> list[Draft]:
    """Every row that holds anything as a draft, in the table's order.

    `made` are the ids that earlier runs gave.
    """
    words = Words(library)
    drafts = [draft_of(row, table, mapping, words) for row in table.rows]
    give_ids(drafts, library, made)
    link(drafts, library)
    _Validation(drafts, library).run()
    return drafts


def frozen(value: Any) -> Any:
    """Lists as tuples all the way down, as the reader hands them over."""
    if isinstance(value, dict):
        return {key: frozen(item) for key, item in value.items()}
    if isinstance(value, (list, tuple)):
        return tuple(frozen(item) for item in value)
    return value


class _Validation:
    """Takes out of each draft what reading would report, until it reports nothing."""

    def __init__(self, drafts: list[Draft], library: Library) -> None:
        self.drafts = {draft.id: draft for draft in drafts}
        self.library = library
        self.known = known_names(library, self.drafts)
        self.done: dict[str, dict[str, Any]] = {}  # id -> its values with what it varies

    def run(self) -> None:
        """All drafts; what one varies comes before it."""
        for id in self.drafts:
            self.merged(id, ())

    def merged(self, id: str, way: tuple[str, ...]) -> dict[str, Any] | None:
        """The values of an exercise with all it takes; None where that never ends."""
        if id in self.done:
            return self.done[id]
        if id in way or len(way) > MOST_DEEP:
            return None
        draft = self.drafts.get(id)
        if draft is None:
            exercise = self.library.exercises.get(id)
            self.done[id] = frozen(written(exercise)) if exercise else {}
            return self.done[id]
        varied = draft.values.get("variation-of")
        base = self.merged(varied, (*way, id)) if isinstance(varied, str) else {}
        if base is None or (varied and not base):
            _remove(draft, "variation-of", "it would vary itself, or what cannot be read")
            base = {}
        self._settle(draft, {k: v for k, v in base.items() if not is_own(k)})
        self.done[id] = merge(base, draft.values)
        return self.done[id]

    def _settle(self, draft: Draft, base: Mapping[str, Any]) -> None:
        _remove_unsafe(draft)
        for _ in range(MOST_ROUNDS):
            problems = list(self._problems(draft, base))
            if not problems:
                return
            for name in dict.fromkeys(_name(problem) for problem in problems):
                mine = [problem for problem in problems if _name(problem) == name]
                if not _take_out(draft, name, mine):
                    base = {}
        for name in [key for key in draft.values if key not in ("title", "draft")]:
            _remove(draft, name, "it does not agree with the rest of the row")

    def _problems(self, draft: Draft, base: Mapping[str, Any]) -> Iterator[Problem]:
        values = merge(base, draft.values)
        _, part, problems = validate(Exercise, values, {"id": draft.id, "text": draft.text})
        yield from problems
        if part is not None:
            yield from exercise_names(part)
            yield from exercise_contradictions(part, frozenset(values))
            yield from exercise_references(part, self.known, draft.values)


def known_names(library: Library, drafts: Iterable[str]) -> Known:
    """Every name there is once the drafts are written."""
    listing = list_whole(pathlib.Path(library.root))
    ids = frozenset(library.exercises) | library.withheld | frozenset(drafts)
    kinds = ("areas", "cautions", "restrictions", "equipment", "sources")
    words = {kind: frozenset(getattr(library.vocabulary, kind)) for kind in kinds}
    return Known(ids, words, Pictures(listing.pictures), frozenset(balance_tasks(library.settings)))


def _name(problem: Problem) -> str:
    """The field that a problem is in: `dose.sets`, `movement`."""
    if not problem.path:
        return "movement"  # what a whole exercise lacks, it lacks for its movement
    first = str(problem.path[0])
    if first == "dose" and len(problem.path) > 1:
        return f"{first}.{problem.path[1]}"
    return first


def _take_out(draft: Draft, name: str, problems: list[Problem]) -> bool:
    """Take a field or some of its items out; False where it is not the draft's own."""
    why = problems[0].message
    value = draft.values.get(name)
    items = {p.path[1] for p in problems if len(p.path) > 1 and isinstance(p.path[1], int)}
    whole = any(len(problem.path) < 2 for problem in problems)
    if isinstance(value, tuple) and items and not whole:
        left = tuple(item for number, item in enumerate(value) if number not in items)
        _keep_cell(draft, name, why)
        draft.values[name] = left
        if not left:
            del draft.values[name]
        return True
    return _remove(draft, name, why)


def _remove(draft: Draft, name: str, why: str) -> bool:
    outer, _, inner = name.partition(".")
    if outer not in draft.values or (inner and inner not in draft.values[outer]):
        if outer == "dose" and outer in draft.values:
            return _remove(draft, outer, why)
        if "variation-of" in draft.values:
            return not _remove(draft, "variation-of", why)
        return bool(draft.values.pop(outer, None))
    _keep_cell(draft, name, why)
    if inner:
        rest = {key: value for key, value in draft.values[outer].items() if key != inner}
        draft.values[outer] = rest
        if not rest:
            del draft.values[outer]
    else:
        del draft.values[outer]
    return True


def _keep_cell(draft: Draft, name: str, why: str) -> None:
    cells = [
        cell
        for field, cell in draft.origins.items()
        if field == name or field.startswith(f"{name}.")
    ]
    for use, text in cells:
        draft.keep(use, text, why)


def _remove_unsafe(draft: Draft) -> None:
    """Values that no page may show, or that no file may hold."""
    for name in [key for key in draft.values if key not in ("title", "variation-of")]:
        text = yaml_text({name: draft.values[name]})
        if list(unsafe_markup(text, "", None, None)) or FORBIDDEN.search(text):
            _remove(draft, name, "it holds HTML, or a link that no page may show")
