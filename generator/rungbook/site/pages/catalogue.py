"""The analysed library as pages ask for it: who is easier than whom, which rung of what."""

from __future__ import annotations

import datetime
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property

from markupsafe import Markup

from rungbook.ladder.measured import MeasuredLadder, MeasuredLibrary, Standing
from rungbook.ladder.profile import Profile
from rungbook.ladder.step import Step
from rungbook.model.exercise import Exercise
from rungbook.model.finding import Finding
from rungbook.model.library import Library
from rungbook.pipeline.analyse import Analysis
from rungbook.pipeline.looks import Looks, watched
from rungbook.site.pages.drawings import Maps
from rungbook.site.pages.figures import Figures
from rungbook.site.pages.page import Link
from rungbook.site.pages.prose import prose
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
    """Look-ups that many pages share; computed once, each look noted (`rungbook.model.watched`).

    What is derived from the whole library is derived from the analysis itself: only what a page
    asks for counts as looked up.
    """

    analysed: Analysis
    draft: bool = False
    looks: Looks = field(default_factory=Looks, compare=False)

    def __post_init__(self) -> None:
        # What may have been looked up for an earlier site is there to be compared with.
        for name in self._WATCHED:
            getattr(self, name)

    _WATCHED = (
        "measured", "analysis", "newest_review", "exercise_paths", "ladder_steps",
        "accepted_steps", "areas", "_links",
    )  # fmt: skip

    @property
    def analysis(self) -> Analysis:
        """All that was found; who asks for it depends on every finding."""
        found = replace(self.analysed, measured=self.measured)
        return self.looks.value("analysis", found, told=(found.findings, found.accepted))

    @cached_property
    def measured(self) -> MeasuredLibrary:
        return watched(self.analysed.measured, self.looks)

    @property
    def library(self) -> Library:
        return self.measured.library

    @property
    def findings(self) -> tuple[Finding, ...]:
        return self.analysis.findings

    @cached_property
    def exercise_paths(self) -> Mapping[str, str]:
        """The page of every exercise, by id."""
        paths = {key: f"exercises/{key}.html" for key in self._exercises}
        return self.looks.watch("pages", paths)

    @property
    def newest_review(self) -> datetime.date | None:
        """The library's date."""
        return self.looks.value("newest review", self._newest_review)

    @cached_property
    def _newest_review(self) -> datetime.date | None:
        dates = [e.reviewed.date for e in self._exercises.values() if e.reviewed]
        return max(dates, default=None)

    @property
    def _exercises(self) -> Mapping[str, Exercise]:
        return self.analysed.measured.library.exercises

    @property
    def standings(self) -> Mapping[str, tuple[Standing, ...]]:
        """The ladders every exercise is on, by exercise."""
        return self.measured.standings

    @cached_property
    def ladder_steps(self) -> Mapping[tuple[str, str], Sequence[tuple[str, Step]]]:
        """(ladder, step by its limits) of every progression on ladders, in their order."""
        found: dict[tuple[str, str], list[tuple[str, Step]]] = {}
        for key, ladder in self.analysed.measured.ladders.items():
            for step in ladder.steps:
                found.setdefault((step.from_id, step.to_id), []).append((key, step))
        return self.looks.watch("steps on ladders", found)

    @cached_property
    def accepted_steps(self) -> Mapping[tuple[str, str], Accepted]:
        """Steps above their limit that somebody accepted, lapsed or not: the browser says which."""
        accepted = {
            (one.exercises[0], one.exercises[1]): Accepted(
                str(one.details["because"]), str(one.details["accepted_until"])
            )
            for one in (*self.analysed.accepted, *self.analysed.findings)
            if one.check == "step-too-large" and "accepted_until" in one.details
        }
        return self.looks.watch("accepted steps", accepted)

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
    def areas(self) -> Mapping[str, tuple[Exercise, ...]]:
        """Exercises by area key: areas in the vocabulary's order, exercises by title."""
        words = self.analysed.measured.library.vocabulary.areas
        by_area: dict[str, list[Exercise]] = {key: [] for key in words}
        for exercise in self._exercises.values():
            by_area.setdefault(self.area_of(exercise) or NO_AREA, []).append(exercise)
        found = {
            key: tuple(sorted(members, key=lambda e: (e.title.casefold(), e.id)))
            for key, members in by_area.items()
            if members
        }
        return self.looks.watch("by area", found)

    @cached_property
    def figures(self) -> Figures:
        """The figures of the site's exercises."""
        return Figures(self.measured)

    @cached_property
    def maps(self) -> Maps:
        """The maps of the site's pages."""
        return Maps(self.measured, self.accepted_steps.keys())

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
        links = {
            key: Link(f"exercises/{key}.html", one.title) for key, one in self._exercises.items()
        }
        return self.looks.watch("links", links)

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
