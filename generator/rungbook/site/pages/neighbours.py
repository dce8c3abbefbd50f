"""The exercises one step down and one step up."""

from __future__ import annotations

from dataclasses import dataclass

from rungbook.model.criterion import in_words
from rungbook.model.exercise import Progression
from rungbook.model.quantity import After
from rungbook.site.pages.catalogue import Accepted, Catalogue
from rungbook.site.pages.page import Link
from rungbook.site.pages.references import Reference, references
from rungbook.site.pages.step_words import StepWords, step_words
from rungbook.site.pages.words import count, number, spaced


@dataclass(frozen=True, slots=True)
class Neighbour:
    """An exercise one step away. `when` are the criteria of the step up, whoever shows it."""

    id: str
    link: Link
    step: StepWords | None
    differs: tuple[str, ...]  # from the exercise whose page it is
    when: tuple[str, ...]
    after: str
    because: str
    sources: tuple[Reference, ...]
    draft: bool
    pictured: bool
    accepted: Accepted | None = None  # where the step is above its limit for a reason


def after_text(after: After) -> str:
    """`6 sessions`, `2 weeks`."""
    if after.unit == "sessions":
        return count(int(after.count), "session")
    if after.count % 7 == 0:
        return count(int(after.count / 7), "week")
    return f"{number(after.count)} days"


def _progression(catalogue: Catalogue, easier: str, harder: str) -> Progression:
    index: int = catalogue.measured.graph.edges[easier, harder]["index"]
    return catalogue.library.exercises[easier].progressions[index]


def _differs(catalogue: Catalogue, shown: str, here: str) -> tuple[str, ...]:
    """What is another about the neighbour before any number: position, sides, equipment."""
    exercises, terms = catalogue.library.exercises, catalogue.library.vocabulary.equipment
    there, this = exercises[shown], exercises[here]
    new = sorted(set(there.equipment) - set(this.equipment))
    gone = sorted(set(this.equipment) - set(there.equipment))

    def titles(keys: list[str]) -> str:
        return ", ".join(terms[key].title if key in terms else spaced(key) for key in keys).lower()

    phrases = (
        f"{spaced(there.position)} instead of {spaced(this.position)}"
        if there.position != this.position
        else "",
        ("both sides at once" if there.sides == "both" else "one side at a time")
        if there.sides != this.sides
        else "",
        f"needs {titles(new)}" if new else "",
        f"no {titles(gone)}" if gone else "",
    )
    return tuple(phrase for phrase in phrases if phrase)


def _neighbour(catalogue: Catalogue, easier: str, harder: str, shown: str) -> Neighbour:
    progression = _progression(catalogue, easier, harder)
    step = catalogue.step(easier, harder)
    accepted = catalogue.accepted_steps.get((easier, harder))
    return Neighbour(
        id=shown,
        link=catalogue.exercise_link(shown),
        step=step_words(step, shown == easier, accepted is not None) if step else None,
        differs=_differs(catalogue, shown, harder if shown == easier else easier),
        when=in_words(progression.when),
        after=after_text(progression.after) if progression.after else "",
        because=progression.because or "",
        sources=references(catalogue, progression.sources),
        draft=catalogue.library.exercises[shown].draft is not None,
        pictured=catalogue.pictured(shown),
        accepted=accepted,
    )


def easier_neighbours(catalogue: Catalogue, key: str) -> tuple[Neighbour, ...]:
    """One step down, the heaviest first."""
    return tuple(_neighbour(catalogue, other, key, other) for other in catalogue.easier(key))


def harder_neighbours(catalogue: Catalogue, key: str) -> tuple[Neighbour, ...]:
    """One step up, in the order written."""
    return tuple(_neighbour(catalogue, key, other, other) for other in catalogue.harder(key))
