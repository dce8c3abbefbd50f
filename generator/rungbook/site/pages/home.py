"""The first page: search, ladders, areas."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from rungbook.ladder.measured import MeasuredLadder
from rungbook.site.pages.catalogue import Catalogue
from rungbook.site.pages.page import Link, Page
from rungbook.site.pages.words import count, spaced


@dataclass(frozen=True, slots=True)
class LadderLine:
    """A ladder in a list: where it leads, how many rungs, how many are missing."""

    link: Link
    rungs: str
    works: str
    first: Link | None
    goal: Link | None
    missing: int
    condition: str | None


@dataclass(frozen=True, slots=True)
class AreaLine:
    """An area in a list."""

    link: Link
    exercises: str


@dataclass(frozen=True, slots=True)
class Home:
    """The first page."""

    name: str
    ladders: tuple[LadderLine, ...]
    areas: tuple[AreaLine, ...]
    exercises: int


def ladder_line(catalogue: Catalogue, measured: MeasuredLadder) -> LadderLine:
    """A ladder in one line."""
    ladder, rungs = measured.ladder, measured.rungs
    known = catalogue.library.exercises
    return LadderLine(
        link=Link(f"ladders/{ladder.id}.html", ladder.title),
        rungs=count(len(rungs), "rung"),
        works=", ".join(spaced(str(action)) for action in ladder.works),
        first=catalogue.exercise_link(rungs[0]) if rungs else None,
        goal=catalogue.exercise_link(ladder.goal) if ladder.goal in known else None,
        missing=catalogue.missing(measured),
        condition=spaced(ladder.condition) if ladder.condition else None,
    )


def pages(catalogue: Catalogue) -> Iterator[Page]:
    """The first page."""
    library = catalogue.library
    yield Page(
        path="index.html",
        kind="home",
        title=library.settings.name,
        description="Exercise ladders with the load of each rung and the size of each step.",
        updated=catalogue.newest_review,
        model=Home(
            name=library.settings.name,
            ladders=tuple(
                ladder_line(catalogue, ladder)
                for ladder in sorted(
                    catalogue.measured.ladders.values(),
                    key=lambda item: (item.ladder.title.casefold(), item.ladder.id),
                )
            ),
            areas=tuple(
                AreaLine(
                    Link(f"areas/{key}.html", catalogue.area_title(key)),
                    count(len(members), "exercise"),
                )
                for key, members in catalogue.areas.items()
            ),
            exercises=len(library.exercises),
        ),
    )
