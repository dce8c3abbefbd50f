"""One area of the body: its ladders and its exercises, lightest first."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import partial

from markupsafe import Markup

from rungbook.model.exercise import Exercise
from rungbook.site.pages.catalogue import Catalogue
from rungbook.site.pages.drawings import Map
from rungbook.site.pages.home import LadderLine, ladder_line
from rungbook.site.pages.page import Later, Link, Page
from rungbook.site.pages.words import moment, spaced


@dataclass(frozen=True, slots=True)
class ExerciseLine:
    """An exercise in a list."""

    link: Link
    also_called: str
    position: str
    demand: str  # N·m, or nothing where none is computed
    draft: bool


@dataclass(frozen=True, slots=True)
class WorksGroup:
    """The exercises of an area that load the same action."""

    works: str
    exercises: tuple[ExerciseLine, ...]


@dataclass(frozen=True, slots=True)
class Area:
    """One area."""

    title: str
    text: Markup
    ladders: tuple[LadderLine, ...]
    groups: tuple[WorksGroup, ...]
    map: Map


def exercise_line(catalogue: Catalogue, exercise: Exercise) -> ExerciseLine:
    """An exercise in one line."""
    demand_nm = catalogue.demand_nm(exercise.id)
    return ExerciseLine(
        link=catalogue.exercise_link(exercise.id),
        also_called=", ".join(exercise.also_called),
        position=spaced(exercise.position),
        demand=moment(demand_nm) if demand_nm else "",
        draft=exercise.draft is not None,
    )


def _groups(catalogue: Catalogue, members: tuple[Exercise, ...]) -> tuple[WorksGroup, ...]:
    by_works: dict[str, list[Exercise]] = {}
    for exercise in members:
        works = ", ".join(spaced(str(action)) for action in exercise.works)
        by_works.setdefault(works or "no action named", []).append(exercise)
    return tuple(
        WorksGroup(
            works,
            tuple(
                exercise_line(catalogue, exercise)
                for exercise in sorted(
                    found, key=lambda e: (catalogue.demand_nm(e.id), e.title.casefold(), e.id)
                )
            ),
        )
        for works, found in sorted(by_works.items())
    )


def _model(catalogue: Catalogue, key: str, members: tuple[Exercise, ...]) -> Area:
    term = catalogue.library.vocabulary.areas.get(key)
    inside = {exercise.id for exercise in members}
    return Area(
        title=catalogue.area_title(key),
        text=catalogue.write("../")(term.text) if term and term.text else Markup(),
        ladders=tuple(
            ladder_line(catalogue, ladder)
            for ladder in catalogue.measured.ladders.values()
            if inside.intersection(ladder.rungs)
        ),
        groups=_groups(catalogue, members),
        map=catalogue.maps.of_area(key),
    )


def pages(catalogue: Catalogue) -> Iterator[Page]:
    """One page an area that has exercises."""
    for key, members in catalogue.areas.items():
        title = catalogue.area_title(key)
        yield Page(
            path=f"areas/{key}.html",
            kind="area",
            title=title,
            updated=max((e.reviewed.date for e in members if e.reviewed), default=None),
            description=f"Exercises and ladders: {title}.",
            model=Later(partial(_model, catalogue, key, members)),
        )
