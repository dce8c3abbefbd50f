"""The library measured: its graph, every step, and the steps of every ladder."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace

import networkx as nx

from rungbook.ladder.gaps import Gaps
from rungbook.ladder.graph import ladder_edges, progression_graph, rungs
from rungbook.ladder.limits import limits_for
from rungbook.ladder.measured import MeasuredLadder, MeasuredLibrary
from rungbook.ladder.profile import Profile, profile
from rungbook.ladder.ruler import Ruler
from rungbook.ladder.scale import Moments, prepared
from rungbook.ladder.step import Step
from rungbook.ladder.steps import step_between
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
        ruler: Ruler,
    ) -> None:
        self._profiles, self._ruler = profiles, ruler
        self._steps: dict[tuple[str, str], Step | None] = {
            (easier, harder): None
            for easier, harder in edges
            if easier in profiles and harder in profiles
        }

    def __getitem__(self, edge: tuple[str, str]) -> Step:
        known = self._steps[edge]
        if known is None:
            easier, harder = (self._profiles[id] for id in edge)
            known = self._steps[edge] = step_between(easier, harder, self._ruler)
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
    earlier = before.profiles if before else {}
    profiles = _profiles(library, loads, before)
    gaps = Gaps.of(library, graph)
    unjudged = dict(gaps.off_ladders()) if gaps else {}
    ladders = {}
    for ladder in library.ladders.values():
        found = _measured_ladder(library, graph, ladder, profiles, before, earlier)
        if gaps is not None:
            lost = gaps.on_ladder(ladder, found.rungs)
            unjudged |= lost
            known = (one for one in found.steps if (one.from_id, one.to_id) not in lost)
            found = replace(found, steps=tuple(known))
        ladders[ladder.id] = found
    for one in ladders.values():
        for step in one.steps if unjudged else ():
            unjudged.pop((step.from_id, step.to_id), None)
    ruler = Ruler(limits_for(library.settings))
    edges = (edge for edge in graph.edges if edge[0] != edge[1] and edge not in unjudged)
    steps = StepsByEdge(edges, profiles, ruler)
    return MeasuredLibrary(library, graph, loads, steps, ladders, profiles, unjudged)


def _measured_ladder(
    library: Library,
    graph: nx.DiGraph[str],
    ladder: Ladder,
    profiles: Mapping[str, Profile],
    before: MeasuredLibrary | None,
    earlier: Mapping[str, Profile],
) -> MeasuredLadder:
    """A ladder with its steps; those of an earlier state of the library where nothing changed."""
    members = rungs(graph, ladder)
    edges = ladder_edges(graph, members)
    ruler = Ruler.of_ladder(library.settings, ladder, profiles)
    scale, known = ruler.scale, [rung for rung in members if rung in profiles]
    moments = {rung: scale.moments(profiles[rung]) for rung in known} if scale else {}
    below: dict[str, list[str]] = {rung: [] for rung in members}
    for easier, harder in edges:
        below[harder].append(easier)
    found = MeasuredLadder(
        ladder,
        members,
        (),
        {rung: profiles[rung].demand(ladder.works) for rung in known},
        ruler,
        prepared(members, below, set(ladder.entries.values()), moments) if scale else {},
        {
            rung: {
                action: scale.height(action, moments.get(rung, {}).get(action)) if scale else None
                for action in ladder.works
            }
            for rung in members
        },
    )
    former = before.ladders.get(ladder.id) if before else None
    return replace(found, steps=_ladder_steps(found, edges, profiles, former, earlier))


def _profiles(
    library: Library, loads: Mapping[str, ExerciseLoad], before: MeasuredLibrary | None
) -> dict[str, Profile]:
    """The profile of every exercise that has a load."""
    earlier, former = (before.profiles, before.loads) if before else ({}, {})
    return {
        id: earlier[id]
        if id in earlier and former.get(id) is loads[id]
        else profile(exercise, loads[id])
        for id, exercise in library.exercises.items()
        if id in loads
    }


def _ladder_steps(
    measured: MeasuredLadder,
    edges: tuple[tuple[str, str], ...],
    profiles: Mapping[str, Profile],
    former: MeasuredLadder | None,
    earlier: Mapping[str, Profile],
) -> tuple[Step, ...]:
    """The steps of a ladder; what the very same profiles gave before is taken from there."""
    same = former is not None and former.ruler == measured.ruler
    known = {(step.from_id, step.to_id): step for step in former.steps} if former and same else {}

    def step(edge: tuple[str, str]) -> Step:
        easier, harder = edge
        start: Moments | None = measured.prepared.get(easier)
        unchanged = all(earlier.get(id) is profiles[id] for id in edge)
        if former and unchanged and edge in known and former.prepared.get(easier) == start:
            return known[edge]
        return step_between(profiles[easier], profiles[harder], measured.ruler, start)

    return tuple(step(edge) for edge in edges if edge[0] in profiles and edge[1] in profiles)


def judged_steps(measured: MeasuredLibrary) -> Iterator[tuple[Step, str | None]]:
    """Every progression's step once, by edge, with the ladder whose limits it is judged by."""
    yield from measured.judged.values()
