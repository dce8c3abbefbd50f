"""The library with its graph, its loads and its ladders: what checks and pages read."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property

import networkx as nx

from rungbook.ladder.gaps import Gaps
from rungbook.ladder.graph import progression_graph
from rungbook.ladder.limits import EVERY_AXIS
from rungbook.ladder.profile import Profile
from rungbook.ladder.ruler import Ruler
from rungbook.ladder.scale import Moments
from rungbook.ladder.step import Step
from rungbook.load.result import ExerciseLoad
from rungbook.model.ladder import Ladder
from rungbook.model.library import Library
from rungbook.model.movement import Action

USUAL = Ruler(EVERY_AXIS)


@dataclass(frozen=True)
class MeasuredLadder:
    """A ladder with its rungs in order, easiest first, and the steps between neighbours.

    `demands` in N·m by rung: the peak about the ladder's `works`, as steps count it. It is not the
    exercise's own where that names another action (a hip ladder's rung may work the knee).
    `ruler` is what the steps are measured by, `prepared` what the way to each rung has prepared
    (N·m by action), `heights` how many steps high each rung's own load is, by action.
    """

    ladder: Ladder
    rungs: tuple[str, ...]
    steps: tuple[Step, ...]
    demands: Mapping[str, float] = field(default_factory=dict)
    ruler: Ruler = USUAL
    prepared: Mapping[str, Moments] = field(default_factory=dict)
    heights: Mapping[str, Mapping[Action, float | None]] = field(default_factory=dict)

    def height(self, rung: str) -> float | None:
        """How many steps high a rung is: of several actions the greatest; None where unknown."""
        known = [one for one in self.heights.get(rung, {}).values() if one is not None]
        return max(known, default=None)


@dataclass(frozen=True, slots=True)
class Standing:
    """Where an exercise stands on a ladder; `rung` counts from 1, easiest first."""

    ladder: MeasuredLadder
    rung: int

    @property
    def of(self) -> int:
        """How many rungs the ladder has."""
        return len(self.ladder.rungs)


@dataclass(frozen=True)
class MeasuredLibrary:
    """Everything computed about a library.

    `graph` has an edge for every progression between known exercises, with the attribute
    `index` (its number in the easier exercise's `progressions`). `steps` holds every edge,
    measured with the library's own limits; a ladder's own limits are in `ladders`. What depends on
    a file that could not be read has no step: `unjudged` names the file.
    """

    library: Library
    graph: nx.DiGraph[str]
    loads: Mapping[str, ExerciseLoad]
    steps: Mapping[tuple[str, str], Step]
    ladders: Mapping[str, MeasuredLadder]
    profiles: Mapping[str, Profile] = field(default_factory=dict)  # of every exercise with a load
    unjudged: Mapping[tuple[str, str], str] = field(default_factory=dict)  # the file to mend

    @cached_property
    def judged(self) -> Mapping[tuple[str, str], tuple[Step, str | None]]:
        """Every progression's step by edge, sorted, with the ladder whose limits it is judged by.

        On several ladders the one on which it is largest counts; off ladders the library's limits.
        """
        worst: dict[tuple[str, str], tuple[Step, str | None]] = {}
        for ladder in self.ladders.values():
            for step in ladder.steps:
                edge = (step.from_id, step.to_id)
                known = worst.get(edge)
                if known is None or step.size > known[0].size:
                    worst[edge] = (step, ladder.ladder.id)
        for edge in self.steps:
            if edge not in worst:
                worst[edge] = (self.steps[edge], None)
        return {edge: worst[edge] for edge in sorted(worst)}

    @cached_property
    def standings(self) -> Mapping[str, tuple[Standing, ...]]:
        """The ladders every exercise is on, by exercise."""
        found: dict[str, list[Standing]] = {}
        for ladder in self.ladders.values():
            for number, rung in enumerate(ladder.rungs, start=1):
                found.setdefault(rung, []).append(Standing(ladder, number))
        return {key: tuple(places) for key, places in found.items()}

    @property
    def not_judged(self) -> tuple[str, ...]:
        """Sentences that say, once a file, how many steps wait for it to be mended."""
        return tuple(
            f"{'1 step is' if count == 1 else f'{count} steps are'} not judged until {file} is "
            "mended."
            for file, count in sorted(Counter(self.unjudged.values()).items())
        )

    @cached_property
    def wide(self) -> nx.DiGraph[str]:
        """The graph, with what could not be read and what is named and not there put back.

        Whether a way is missing is asked here: what is left out may be on it.
        """
        return self._gaps.wide if self._gaps else self.graph

    @cached_property
    def near_gaps(self) -> frozenset[str]:
        """What something that is left out may bear on: exercises by id, ladders as `ladder id`."""
        return self._gaps.near() if self._gaps else frozenset()

    @cached_property
    def _gaps(self) -> Gaps | None:
        return Gaps.of(self.library, self.graph)

    @cached_property
    def with_drafts(self) -> nx.DiGraph[str]:
        """The graph with the progressions that are still drafts."""
        return progression_graph(self.library, drafts=True)

    def demand_on(self, ladder: str, rung: str) -> float | None:
        """A rung's load as its ladder counts it; None where none is computed."""
        load = self.loads.get(rung)
        if load is None:
            return None
        return self.ladders[ladder].demands.get(rung, load.demand_nm)
