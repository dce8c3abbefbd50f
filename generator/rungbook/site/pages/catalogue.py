"""The analysed library as pages ask for it: who is easier than whom, which rung of what."""

from __future__ import annotations

import datetime
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

from markupsafe import Markup

from rungbook.exporting.formats import Early, all_files, early_files
from rungbook.exporting.json_text import Line
from rungbook.ladder.measured import MeasuredLadder, MeasuredLibrary
from rungbook.ladder.profile import Profile
from rungbook.ladder.step import Step
from rungbook.model.exercise import Exercise
from rungbook.model.finding import Finding
from rungbook.model.library import Library
from rungbook.pipeline.analyse import Analysis
from rungbook.site.pages.drawings import Maps
from rungbook.site.pages.figures import Figures
from rungbook.site.pages.page import Link
from rungbook.site.pages.prose import prose
from rungbook.site.pages.standings import Standings, standings
from rungbook.site.pages.words import sentence, spaced
from rungbook.site.publishing.inside import unsafe

NO_AREA = "other"


@dataclass(frozen=True, slots=True)
class Accepted:
    """Why a finding was accepted, and until which day."""

    because: str
    until: str


@dataclass(frozen=True)
class Catalogue:
    """Look-ups that many pages share; computed once."""

    analysis: Analysis
    draft: bool = False
    relief: Mapping[str, bytes] = field(default_factory=dict)  # JSON: see `site.data.relief`

    @property
    def measured(self) -> MeasuredLibrary:
        return self.analysis.measured

    @property
    def library(self) -> Library:
        return self.analysis.measured.library

    @property
    def findings(self) -> tuple[Finding, ...]:
        return self.analysis.findings

    @cached_property
    def exercise_paths(self) -> Mapping[str, str]:
        """The page of every exercise, by id."""
        return {key: f"exercises/{key}.html" for key in self.library.exercises}

    @cached_property
    def newest_review(self) -> datetime.date | None:
        """The library's date."""
        dates = [e.reviewed.date for e in self.library.exercises.values() if e.reviewed]
        return max(dates, default=None)

    @property
    def standings(self) -> Standings:
        """The ladders every exercise is on, by exercise."""
        return standings(self.measured)

    @cached_property
    def ladder_steps(self) -> Mapping[tuple[str, str], Sequence[tuple[str, Step]]]:
        """(ladder, step by its limits) of every progression on ladders, in their order."""
        found: dict[tuple[str, str], list[tuple[str, Step]]] = {}
        for key, ladder in self.measured.ladders.items():
            for step in ladder.steps:
                found.setdefault((step.from_id, step.to_id), []).append((key, step))
        return found

    @cached_property
    def accepted_steps(self) -> Mapping[tuple[str, str], Accepted]:
        """Steps above their limit that somebody accepted, lapsed or not: the browser says which."""
        return {
            (one.exercises[0], one.exercises[1]): Accepted(
                str(one.details["because"]), str(one.details["accepted_until"])
            )
            for one in (*self.analysis.accepted, *self.findings)
            if one.check == "step-too-large" and "accepted_until" in one.details
        }

    def missing(self, ladder: MeasuredLadder) -> int:
        """How many rungs are missing at least, in the steps that nobody accepted."""
        return sum(
            step.missing
            for step in ladder.steps
            if (step.from_id, step.to_id) not in self.accepted_steps
        )

    def profile(self, key: str) -> Profile:
        """What steps from or to an exercise that has a load are measured in."""
        return self.measured.profiles[key]

    @cached_property
    def profile_rows(self) -> dict[str, Any]:
        """Rows of `rungbook.site.data.profile_data` that have been made."""
        return {}

    @cached_property
    def references(self) -> dict[str, Any]:
        """Sources as `rungbook.site.pages.references` shows them, as far as somebody asked."""
        return {}

    @cached_property
    def areas(self) -> Mapping[str, tuple[Exercise, ...]]:
        """Exercises by area key: areas in the vocabulary's order, exercises by title."""
        by_area: dict[str, list[Exercise]] = {key: [] for key in self.library.vocabulary.areas}
        for exercise in self.library.exercises.values():
            by_area.setdefault(self.area_of(exercise) or NO_AREA, []).append(exercise)
        return {
            key: tuple(sorted(members, key=lambda e: (e.title.casefold(), e.id)))
            for key, members in by_area.items()
            if members
        }

    @cached_property
    def figures(self) -> Figures:
        """The figures of the site's exercises."""
        return Figures(self.measured)

    @cached_property
    def maps(self) -> Maps:
        """The maps of the site's pages."""
        return Maps(self.measured, self.accepted_steps.keys())

    @cached_property
    def downloads(self) -> Mapping[str, bytes]:
        """The library's data in every format of exchange, by path in the site."""
        return all_files(self.measured, self.lines, self.early_downloads)

    @cached_property
    def early_downloads(self) -> Early:
        """What of the downloads can be made before the lines of the exercises are there."""
        return early_files(self.measured)

    @cached_property
    def lines(self) -> dict[str, Mapping[str, Line]]:
        """By exercise, its line in each format of exchange, as far as they have been made."""
        return {}

    def area_of(self, exercise: Exercise) -> str | None:
        """The exercise's area where it can have a page; a draft may name any text as one."""
        area = exercise.area
        return None if area is None or unsafe([f"areas/{area}.html"]) else area

    def area_title(self, key: str) -> str:
        """The area's title, or its key in words."""
        term = self.library.vocabulary.areas.get(key)
        return term.title if term else sentence(spaced(key))

    def pictured(self, key: str) -> bool:
        """Whether the exercise has a thumbnail: a posture was computed."""
        load = self.measured.loads.get(key)
        return load is not None and load.skeleton is not None

    def exercise_link(self, key: str) -> Link:
        """The link to an exercise that the library has."""
        return self._links[key]

    @cached_property
    def _links(self) -> Mapping[str, Link]:
        exercises = self.library.exercises
        return {key: Link(path, exercises[key].title) for key, path in self.exercise_paths.items()}

    def easier(self, key: str) -> tuple[str, ...]:
        """Neighbours below, heaviest first: the nearest step back."""
        return tuple(
            sorted(
                (other for other in self.measured.graph.pred[key] if other != key),
                key=lambda other: (-self.demand_nm(other), other),
            )
        )

    def harder(self, key: str) -> tuple[str, ...]:
        """Neighbours above, in the order they were written."""
        following = self.measured.graph[key]
        return tuple(
            sorted(
                (other for other in following if other != key),
                key=lambda other: (following[other].get("index", 0), other),
            )
        )

    def demand_nm(self, key: str) -> float:
        """Peak moment about what the exercise works; 0 where none is computed."""
        load = self.measured.loads.get(key)
        return load.demand_nm if load else 0.0

    def step(self, easier: str, harder: str) -> Step | None:
        """The step between two neighbours, by a ladder's own limits where one holds it."""
        for _, own in self.ladder_steps.get((easier, harder), ()):
            return own
        return self.measured.steps.get((easier, harder))

    def write(self, root: str) -> Callable[[str], Markup]:
        """Makes the library's Markdown into HTML for pages `root` away from the top folder."""
        return lambda text: prose(text, root, self.exercise_paths)
