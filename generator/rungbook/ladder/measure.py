"""The library measured: its graph, every step, and the steps of every ladder."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from rungbook.ladder.graph import ladder_edges, progression_graph, rungs
from rungbook.ladder.limits import limits_for
from rungbook.ladder.measured import MeasuredLadder, MeasuredLibrary
from rungbook.ladder.profile import Profile, profile
from rungbook.ladder.step import Step
from rungbook.ladder.steps import Aim, step_between
from rungbook.load.result import ExerciseLoad
from rungbook.model.ladder import Ladder
from rungbook.model.library import Library


def measure(library: Library, loads: Mapping[str, ExerciseLoad]) -> MeasuredLibrary:
    """Measure every progression, and every ladder with its own limits and goal.

    Exercises without a load keep their place in the graph; their steps are not measured.
    """
    graph = progression_graph(library)
    profiles = profiles_of(library, loads)
    limits = limits_for(library.settings)
    steps = {
        (easier, harder): step_between(profiles[easier], profiles[harder], limits)
        for easier, harder in graph.edges
        if easier in profiles and harder in profiles and easier != harder
    }
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
