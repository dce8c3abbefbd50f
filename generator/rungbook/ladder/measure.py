"""The library measured: its graph, every step, and the steps of every ladder."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from rungbook.ladder.graph import ladder_edges, progression_graph, rungs
from rungbook.ladder.limits import Limits, limits_for
from rungbook.ladder.measured import MeasuredLadder, MeasuredLibrary
from rungbook.ladder.profile import Profile, profile
from rungbook.ladder.step import Step
from rungbook.ladder.steps import Aim, step_between
from rungbook.load.result import ExerciseLoad
from rungbook.model.ladder import Ladder
from rungbook.model.library import Library
from rungbook.model.movement import Action


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


def measure(
    library: Library, loads: Mapping[str, ExerciseLoad], before: MeasuredLibrary | None = None
) -> MeasuredLibrary:
    """Measure every progression, and every ladder with its own limits and goal.

    Exercises without a load keep their place in the graph; their steps are not measured. What
    the very same loads gave `before`, an earlier state of the library, is taken from there.
    """
    graph = progression_graph(library)
    earlier = _profiles(before)
    profiles = profiles_of(library, loads, before)
    steps = StepsByEdge(
        (edge for edge in graph.edges if edge[0] != edge[1]), profiles, limits_for(library.settings)
    )
    ladders = {
        ladder.id: MeasuredLadder(
            ladder,
            members := rungs(graph, ladder),
            _ladder_steps(
                _Judge.of(library, ladder, profiles),
                ladder_edges(graph, members),
                _Known.of(before, ladder, earlier) if before else None,
            ),
            {rung: profiles[rung].demand(ladder.works) for rung in members if rung in profiles},
        )
        for ladder in library.ladders.values()
    }
    return MeasuredLibrary(library, graph, loads, steps, ladders)


def profiles_of(
    library: Library, loads: Mapping[str, ExerciseLoad], before: MeasuredLibrary | None = None
) -> dict[str, Profile]:
    """The profile of every exercise that has a load."""
    earlier, former = _profiles(before), before.loads if before else {}
    return {
        id: earlier[id]
        if id in earlier and former.get(id) is loads[id]
        else profile(exercise, loads[id])
        for id, exercise in library.exercises.items()
        if id in loads
    }


def _profiles(measured: MeasuredLibrary | None) -> Mapping[str, Profile]:
    """What a library was measured by."""
    steps = measured.steps if measured else None
    return steps.profiles if isinstance(steps, StepsByEdge) else {}


@dataclass(frozen=True)
class _Judge:
    """What the steps of a ladder are measured by."""

    profiles: Mapping[str, Profile]
    limits: Limits
    goal: Profile | None
    works: tuple[Action, ...]

    @staticmethod
    def of(library: Library, ladder: Ladder, profiles: Mapping[str, Profile]) -> _Judge:
        limits = limits_for(library.settings, ladder)
        return _Judge(profiles, limits, profiles.get(ladder.goal), ladder.works)

    def alike(self, other: _Judge) -> bool:
        """Whether the same two profiles make the same step."""
        same = (self.limits, self.works) == (other.limits, other.works)
        return same and self.goal is other.goal


@dataclass(frozen=True)
class _Known:
    """The steps of a ladder in an earlier state of the library."""

    judge: _Judge
    steps: Mapping[tuple[str, str], Step]

    @staticmethod
    def of(
        before: MeasuredLibrary, ladder: Ladder, profiles: Mapping[str, Profile]
    ) -> _Known | None:
        measured = before.ladders.get(ladder.id)
        if measured is None:
            return None
        judge = _Judge.of(before.library, measured.ladder, profiles)
        return _Known(judge, {(step.from_id, step.to_id): step for step in measured.steps})


def _ladder_steps(
    judge: _Judge, edges: tuple[tuple[str, str], ...], known: _Known | None
) -> tuple[Step, ...]:
    profiles = judge.profiles
    same = known if known is not None and judge.alike(known.judge) else None
    aim = Aim.of(judge.goal, judge.works) if judge.goal else None

    def step(edge: tuple[str, str]) -> Step:
        easier, harder = (profiles[id] for id in edge)
        if same is not None and edge in same.steps:
            former = same.judge.profiles
            if former.get(edge[0]) is easier and former.get(edge[1]) is harder:
                return same.steps[edge]
        return step_between(easier, harder, judge.limits, aim, judge.works)

    return tuple(step(edge) for edge in edges if edge[0] in profiles and edge[1] in profiles)


def judged_steps(measured: MeasuredLibrary) -> Iterator[tuple[Step, str | None]]:
    """Every progression's step once, by edge, with the ladder whose limits it is judged by."""
    yield from measured.judged.values()
