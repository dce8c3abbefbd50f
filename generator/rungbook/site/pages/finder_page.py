"""The page that finds an easier exercise by what provokes; its script does the finding."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from rungbook.model.ladder import IRRITABILITIES, IRRITABILITY_MEANS, IRRITABILITY_SOURCE
from rungbook.model.movement import MOVEMENTS
from rungbook.site.pages.catalogue import Catalogue
from rungbook.site.pages.page import Page
from rungbook.site.pages.words import sentence, spaced

# What a patient says provokes, in the clinician's words; the keys are those of `--because`.
REASONS = (
    ("load", "Load"),
    ("range", "Range (the end it moves to)"),
    ("lengthening", "Stretched position (deep bend, muscle drawn long)"),
    ("bearing", "Weight bearing"),
    ("position", "Position, balance"),
    ("speed", "Speed"),
    ("volume", "Volume"),
    ("impact", "Impact"),
    ("lifting", "Lifting (shortening)"),
    ("lowering", "Lowering (eccentric)"),
    ("holding", "Holding"),
    ("next day", "Worse the next day"),
)


KINDS_OF_WORK = (
    ("passive", "Passive (moved by somebody or something)"),
    ("assisted", "Assisted (part of the limb is carried)"),
    ("active", "Active (the limb alone)"),
    ("resisted", "Resisted (a weight, a band, body weight)"),
    ("held", "Held (isometric)"),
    ("none", "Nothing has to act"),
)


@dataclass(frozen=True, slots=True)
class Choice:
    """A box to tick."""

    value: str
    title: str
    selected: bool = False


@dataclass(frozen=True, slots=True)
class FinderPage:
    """The form's choices: only what the library uses."""

    reasons: tuple[Choice, ...]
    irritabilities: tuple[Choice, ...]
    irritability_source: str
    equipment: tuple[Choice, ...]
    positions: tuple[Choice, ...]
    cautions: tuple[Choice, ...]
    restrictions: tuple[Choice, ...]
    areas: tuple[Choice, ...]
    kinds: tuple[Choice, ...]
    movements: tuple[Choice, ...]
    command: str


def equipment_choices(catalogue: Catalogue) -> tuple[Choice, ...]:
    """The equipment that exercises name, by title."""
    used = {key for e in catalogue.library.exercises.values() for key in e.equipment}
    return _by_title(used, {k: t.title for k, t in catalogue.library.vocabulary.equipment.items()})


def caution_choices(catalogue: Catalogue) -> tuple[Choice, ...]:
    """The cautions that exercises carry, by title."""
    used = {key for e in catalogue.library.exercises.values() for key in e.cautions}
    return _by_title(used, {k: t.title for k, t in catalogue.library.vocabulary.cautions.items()})


def position_choices(catalogue: Catalogue) -> tuple[Choice, ...]:
    """The positions that exercises are done in."""
    used = {exercise.position for exercise in catalogue.library.exercises.values()}
    return _by_title(used, {})


def _by_title(keys: set[str], titles: dict[str, str]) -> tuple[Choice, ...]:
    choices = (Choice(key, titles.get(key) or sentence(spaced(key))) for key in keys)
    return tuple(sorted(choices, key=lambda choice: (choice.title.casefold(), choice.value)))


def _movements() -> Iterator[Choice]:
    for joint, movements in MOVEMENTS.items():
        for movement in movements:
            yield Choice(f"{joint} {movement}", f"{joint} {spaced(movement)}")


def pages(catalogue: Catalogue) -> Iterator[Page]:
    """The finder."""
    vocabulary = catalogue.library.vocabulary
    first = next(iter(catalogue.library.exercises), "ID")
    yield Page(
        path="finder.html",
        kind="finder",
        title="Find easier",
        description="Easier exercises by what provokes, with what rises instead.",
        updated=catalogue.newest_review,
        model=FinderPage(
            reasons=tuple(Choice(key, title) for key, title in REASONS),
            irritabilities=tuple(
                Choice(key, f"{sentence(key)}: {IRRITABILITY_MEANS[key]}", key == "moderate")
                for key in IRRITABILITIES
            ),
            irritability_source=IRRITABILITY_SOURCE,
            equipment=equipment_choices(catalogue),
            positions=position_choices(catalogue),
            cautions=caution_choices(catalogue),
            restrictions=tuple(
                Choice(key, term.title)
                for key, term in vocabulary.restrictions.items()
                if term.never or term.rows
            ),
            areas=tuple(Choice(key, catalogue.area_title(key)) for key in catalogue.areas),
            kinds=tuple(Choice(key, title) for key, title in KINDS_OF_WORK),
            movements=tuple(_movements()),
            command=f"rungbook easier {first} --because load",
        ),
    )
