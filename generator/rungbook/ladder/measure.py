"""The library measured: its graph, every step, and the steps of every ladder."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from rungbook.ladder.graph import ladder_edges, progression_graph, rungs
from rungbook.ladder.limits import Limits, limits_for
from rungbook.ladder.measured import MeasuredLadder, MeasuredLibrary
from rungbook.ladder.profile import Profile, profile
from rungbook.ladder.step import Step
from rungbook.ladder.steps import Aim, step_between
from rungbook.load.result import ExerciseLoad
from rungbook.model.ladder import Ladder
from rungbook.model.library import Library


class StepsByEdge(Mapping[tuple[str, str], Step]):
    """The step of every edge, measured when it is first asked for.

    Most edges lie on a ladder, whose own limits judge them: nobody asks for these again.
    """

    def __init__(
        self,
        edges: Iterable[tuple[str, str]],
        profiles: Mapping[str, Profile],
        limits: Limits,
    ) -> None:
        self._profiles, self._limits = profiles, limits
        self._steps: dict[tuple[str, str], Step | None] = {
            (easier, harder): None
            for easier, harder in edges
            if easier in profiles and harder in profiles
        }

    @property
    def profiles(self) -> Mapping[str, Profile]:
        """What the steps are computed from, by exercise."""
        return self._profiles

    def __getitem__(self, edge: tuple[str, str]) -> Step:
        known = self._steps[edge]
        if known is None:
            easier, harder = (self._profiles[id] for id in edge)
            known = self._steps[edge] = step_between(easier, harder, self._limits)
        return known

    def __contains__(self, edge: object) -> bool:
        return edge in self._steps

    def __iter__(self) -> Iterator[tuple[str, str]]:
        return iter(self._steps)

    def __len__(self) -> int:
        return len(self._steps)


def measure(library: Library, loads: Mapping[str, ExerciseLoad]) -> MeasuredLibrary:
    """Measure every progression, and every ladder with its own limits and goal.

    Exercises without a load keep their place in the graph; their steps are not measured.
    """
    graph = progression_graph(library)
    profiles = profiles_of(library, loads)
    steps = StepsByEdge(
        (edge for edge in graph.edges if edge[0] != edge[1]), profiles, limits_for(library.settings)
    )
    ladders = {
        ladder.id: MeasuredLadder(
            ladder,
            members := rungs(graph, ladder),
            _ladder_steps(library, ladder, ladder_edges(graph, members), profiles),
            {rung: profiles[rung].demand(ladder.works) for rung in members if rung in profiles},
        )
        for ladder in library.ladders.values()
    }
    return MeasuredLibrary(library, graph, loads, steps, ladders)


def profiles_of(library: Library, loads: Mapping[str, ExerciseLoad]) -> dict[str, Profile]:
    """The profile of every exercise that has a load."""
    return {
        exercise.id: profile(exercise, loads[exercise.id])
        for exercise in library.exercises.values()
        if exercise.id in loads
    }


def _ladder_steps(
    library: Library,
    ladder: Ladder,
    edges: tuple[tuple[str, str], ...],
    profiles: Mapping[str, Profile],
) -> tuple[Step, ...]:
    limits = limits_for(library.settings, ladder)
    goal = profiles.get(ladder.goal)
    aim = Aim.of(goal, ladder.works) if goal else None
    return tuple(
        step_between(profiles[easier], profiles[harder], limits, aim, ladder.works)
        for easier, harder in edges
        if easier in profiles and harder in profiles
    )


def judged_steps(measured: MeasuredLibrary) -> Iterator[tuple[Step, str | None]]:
    """Every progression's step once, by edge, with the ladder whose limits it is judged by."""
    yield from measured.judged.values()
