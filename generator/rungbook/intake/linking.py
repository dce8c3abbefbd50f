"""Links of rows to other rows and to the library: titles to ids, `easier` read backwards."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable

from rungbook.exporting.cells import SENTENCES
from rungbook.intake.cell_values import listed
from rungbook.intake.draft import Draft
from rungbook.intake.mapping import Use
from rungbook.intake.target import HARDER, WHEN
from rungbook.intake.words import folded, slug
from rungbook.model.library import Library
from rungbook.reading.folder import ID
from rungbook.reading.words import nearest

MOST_HINTS = 40  # looking for the nearest of thousands of titles takes its time
_DEVICES = frozenset({"con", "prn", "aux", "nul"})


def give_ids(drafts: Iterable[Draft], library: Library, made: Iterable[str]) -> None:
    """Ids: written ones, else from the title; `made` are those of earlier runs.

    An exercise of the library with the same title keeps its id: the row is about it. With another
    title, the row gets a new one.
    """
    ours = set(made)
    taken: set[str] = set()
    for draft in drafts:
        wanted = _wanted(draft)
        id, number = wanted, 1
        while id in taken or _is_another(id, draft, library, ours):
            number += 1
            id = f"{wanted}-{number}"
        if id in _DEVICES:
            id = f"{id}-exercise"
        if number > 1:
            draft.questions.append(f"the name '{wanted}' was taken: it is '{id}'")
        taken.add(id)
        draft.id = id


def _wanted(draft: Draft) -> str:
    if "id" in draft.origins:
        use, text = draft.origins["id"]
        if ID.fullmatch(text) and len(text) <= 150:
            return text
        draft.keep(use, text, "an id is made of a-z, 0-9 and single hyphens")
        if slug(text):
            return slug(text)
    # Where no letter is Latin: the same title gives the same id in every run.
    return slug(draft.title) or f"exercise-{hashlib.sha256(draft.title.encode()).hexdigest()[:8]}"


def _is_another(id: str, draft: Draft, library: Library, ours: set[str]) -> bool:
    if "id" in draft.origins or id in ours:
        return False
    known = library.exercises.get(id)
    return known is not None and folded(known.title) != folded(draft.title)


class Titles:
    """What exercises are called, in the table and in the library."""

    def __init__(self, drafts: Iterable[Draft], library: Library) -> None:
        self.ids: dict[str, set[str]] = {}
        for draft in drafts:
            self._add(draft.title, draft.id)
            self._add(draft.id, draft.id)
            for name in draft.values.get("also-called", ()):
                self._add(str(name), draft.id)
        for id, exercise in library.exercises.items():
            for name in (id, exercise.title, *exercise.also_called):
                self._add(name, id)
        self.hints = 0

    def _add(self, name: str, id: str) -> None:
        self.ids.setdefault(folded(name), set()).add(id)

    def find(self, name: str) -> set[str]:
        """The ids of what is called so."""
        return self.ids.get(folded(name), set())

    def hint(self, name: str) -> str:
        """What may have been meant."""
        self.hints += 1
        near = nearest(folded(name), frozenset(self.ids)) if self.hints <= MOST_HINTS else None
        return f"; did you mean '{near}'?" if near else ""


def link(drafts: list[Draft], library: Library) -> Titles:
    """Give every draft its progressions; whatever leads nowhere stays as text."""
    titles = Titles(drafts, library)
    by_id = {draft.id: draft for draft in drafts}
    for draft in drafts:
        _varied(draft, titles)
        for use, text, _ in draft.links:
            names = [text] if titles.find(text) else listed(text, sentences=False)
            for name in names:
                _one(draft, use, text, name, titles, by_id)
    for draft in drafts:
        _criteria(draft)
    return titles


def _varied(draft: Draft, titles: Titles) -> None:
    varied = draft.values.get("variation-of")
    if not isinstance(varied, str):
        return
    found = titles.find(varied) - {draft.id}
    use, text = draft.origins["variation-of"]
    if varied in found:
        return
    if len(found) == 1:
        draft.values["variation-of"] = next(iter(found))
    else:
        del draft.values["variation-of"]
        draft.keep(use, text, f"there is no one exercise '{varied[:80]}'{titles.hint(varied)}")


def _one(
    draft: Draft, use: Use, text: str, name: str, titles: Titles, by_id: dict[str, Draft]
) -> None:
    found = titles.find(name) - {draft.id}
    if len(found) != 1:
        how = "several exercises are called" if found else "no exercise is called"
        draft.keep(use, text, f"{how} '{name[:80]}'{'' if found else titles.hint(name)}")
        return
    other = next(iter(found))
    if use.field == HARDER:
        _progress(draft, use, text, other)
    elif other in by_id:
        _progress(by_id[other], use, text, draft.id)
    else:
        why = f"'{other}' is in the library: add a progression to '{draft.id}' to its file"
        draft.keep(use, text, why)


def _progress(draft: Draft, use: Use, text: str, to: str) -> None:
    edges = draft.values.get("progressions", ())
    if any(isinstance(edge, dict) and edge.get("to") == to for edge in edges):
        return
    draft.values["progressions"] = (*edges, {"to": to})
    draft.origins.setdefault("progressions", (use, text))


def _criteria(draft: Draft) -> None:
    """Criteria belong to the one progression there is."""
    if draft.when is None:
        return
    use, text = draft.when
    edges = draft.values.get("progressions", ())
    if len(edges) == 1 and isinstance(edges[0], dict) and not edges[0].get("when"):
        when = tuple(listed(text, WHEN in SENTENCES))
        draft.values["progressions"] = ({**edges[0], "when": when},)
    else:
        reason = "no progression to give them to" if not edges else "several progressions"
        draft.keep(use, text, f"criteria, but {reason}")
