"""The way from one exercise to another whose largest step is smallest.

A route is judged in this order: its largest step, steps of up to 1 counting as 1; the number of
its rungs; its largest step as it is; the ids of its rungs, one after the other, in sorted order.
Sizes are compared to 1e-9. Every step of a question is measured on one scale
(`rungbook.ladder.question`).
"""

from __future__ import annotations

import heapq
import math
from collections import deque
from collections.abc import Mapping
from dataclasses import dataclass
from itertools import pairwise

from rungbook.ladder.filters import Filters
from rungbook.ladder.graph import leading_to, reached_from
from rungbook.ladder.measured import MeasuredLadder, MeasuredLibrary
from rungbook.ladder.question import Question, fill_command
from rungbook.ladder.step import Step
from rungbook.ladder.steps import TOLERANCE

Sizes = Mapping[str, Mapping[str, float]]  # easier -> harder -> size
ROUNDING = 1e-9


@dataclass(frozen=True, slots=True)
class Route:
    """A way up, easiest first, with its steps.

    `least_days` is the least time from the first rung to the last: the criteria may take longer.
    `ladder` is the one that measures, if one does.
    """

    from_id: str
    to_id: str
    rungs: tuple[str, ...]
    steps: tuple[Step, ...]
    largest_step: float
    least_days: int
    ladder: MeasuredLadder | None = None


@dataclass(frozen=True, slots=True)
class NoRoute:
    """Why there is no way, in a sentence, and what the filters left out of it."""

    from_id: str
    to_id: str
    message: str
    left_out: Mapping[str, str]


def route(
    measured: MeasuredLibrary,
    from_id: str,
    to_id: str,
    filters: Filters | None = None,
    ladder: str | None = None,
) -> Route | NoRoute:
    """The route with the smallest steps, both exercises being known.

    `ladder` is the one that measures, where not the first that holds both.
    """
    filters = filters or Filters()
    left_out = _left_out(measured, from_id, filters)
    if to_id in left_out:
        message = f"{to_id} itself: {left_out[to_id]}."
        return NoRoute(from_id, to_id, message, {to_id: left_out[to_id]})
    question = Question.of(measured, from_id, to_id, ladder)
    steps = steps_between(measured, from_id, to_id, question)
    sizes: dict[str, dict[str, float]] = {}
    for (easier, harder), step in steps.items():
        if easier not in left_out and harder not in left_out:
            sizes.setdefault(easier, {})[harder] = step.size
    rungs = smallest_steps(sizes, from_id, to_id)
    if rungs is None:
        return _none(measured, from_id, to_id, left_out)
    taken = tuple(steps[edge] for edge in pairwise(rungs))
    largest = max((step.size for step in taken), default=0.0)
    days = least_days(measured, rungs)
    return Route(from_id, to_id, rungs, taken, largest, days, question.ladder)


def _left_out(measured: MeasuredLibrary, from_id: str, filters: Filters) -> dict[str, str]:
    """Exercises the filters leave out, each with why; the first rung is done already."""
    found = {}
    for exercise in measured.library.exercises.values():
        objection = filters.objection(exercise, measured.loads.get(exercise.id))
        if objection and exercise.id != from_id:
            found[exercise.id] = objection
    return found


def _none(
    measured: MeasuredLibrary, from_id: str, to_id: str, left_out: Mapping[str, str]
) -> NoRoute:
    edges: dict[str, dict[str, float]] = {}
    for easier, harder in measured.graph.edges:
        edges.setdefault(easier, {})[harder] = 0.0
    if smallest_steps(edges, from_id, to_id) is None:
        back = smallest_steps(edges, to_id, from_id) is not None
        hint = (
            f" It is the other way round: {to_id} is the easier one."
            if back
            else _fill(measured, from_id, to_id)
        )
        return NoRoute(from_id, to_id, f"no progressions lead from {from_id} to {to_id}.{hint}", {})
    inner = {id: why for id, why in left_out.items() if id in measured.graph and id != to_id}
    message = f"every way from {from_id} to {to_id} goes through an exercise that is left out."
    return NoRoute(from_id, to_id, message, inner)


def _fill(measured: MeasuredLibrary, from_id: str, to_id: str) -> str:
    command = fill_command(measured, from_id, to_id)
    return f" See what would lead there: {command}" if command else ""


def steps_between(
    measured: MeasuredLibrary, from_id: str, to_id: str, question: Question
) -> Mapping[tuple[str, str], Step]:
    """The step of every progression on a way from one exercise to the other."""
    if question.ladder is not None:
        return {(step.from_id, step.to_id): step for step in question.ladder.steps}
    profiles, graph = measured.profiles, measured.graph
    on_a_way = reached_from(graph, [from_id]) & leading_to(graph, to_id)
    return {
        (easier, harder): question.step(profiles[easier], profiles[harder])
        for easier in sorted(on_a_way)
        for harder in graph[easier]
        if harder in on_a_way and harder != easier and easier in profiles and harder in profiles
    }


def smallest_steps(sizes: Sizes, from_id: str, to_id: str) -> tuple[str, ...] | None:
    """The best route through steps of given sizes, by the order the module names."""
    passing = {
        easier: {harder: size if size > 1 + TOLERANCE else 1.0 for harder, size in harders.items()}
        for easier, harders in sizes.items()
    }
    largest = _smallest_largest(passing, from_id, to_id)
    if largest is None:
        return None
    allowed = _up_to(sizes, max(largest, 1 + TOLERANCE))
    below = _distances(allowed, to_id)
    # Along a route with the fewest rungs every step goes one rung nearer to the goal.
    nearer = {
        easier: {
            harder: size
            for harder, size in harders.items()
            if below.get(harder, math.inf) + 1 == below.get(easier)
        }
        for easier, harders in allowed.items()
    }
    least = _smallest_largest(nearer, from_id, to_id)
    best = _up_to(nearer, least if least is not None else largest)
    reached = _distances(best, to_id)
    rungs = [from_id]
    while rungs[-1] != to_id:
        rungs.append(min(harder for harder in best[rungs[-1]] if harder in reached))
    return tuple(rungs)


def _up_to(sizes: Sizes, largest: float) -> dict[str, dict[str, float]]:
    return {
        easier: {to: size for to, size in harders.items() if size <= largest + ROUNDING}
        for easier, harders in sizes.items()
    }


def _smallest_largest(sizes: Sizes, from_id: str, to_id: str) -> float | None:
    """The smallest largest step on any way; None where there is no way."""
    waiting = [(0.0, from_id)]
    settled: set[str] = set()
    while waiting:
        largest, rung = heapq.heappop(waiting)
        if rung == to_id:
            return largest
        if rung in settled:
            continue
        settled.add(rung)
        for harder, size in sizes.get(rung, {}).items():
            if harder not in settled:
                heapq.heappush(waiting, (max(largest, size), harder))
    return None


def _distances(sizes: Sizes, to_id: str) -> dict[str, int]:
    """How many steps below the goal each exercise is."""
    easier_of: dict[str, list[str]] = {}
    for easier, harders in sizes.items():
        for harder in harders:
            easier_of.setdefault(harder, []).append(easier)
    below = {to_id: 0}
    waiting = deque([to_id])
    while waiting:
        rung = waiting.popleft()
        for easier in easier_of.get(rung, ()):
            if easier not in below:
                below[easier] = below[rung] + 1
                waiting.append(easier)
    return below


def least_days(measured: MeasuredLibrary, rungs: tuple[str, ...]) -> int:
    """The least time a way takes, in whole days: the sum of the `after` of its progressions."""
    days = sum(days_on(measured, *edge) for edge in pairwise(rungs))
    return math.ceil(days - ROUNDING)


def days_on(measured: MeasuredLibrary, easier: str, harder: str) -> float:
    """The least time on a rung before the next, in days; 0 where the progression names none.

    Sessions are spread over the week by the rung's own dose; without one, one a day.
    """
    exercise = measured.library.exercises[easier]
    after = exercise.progressions[measured.graph[easier][harder]["index"]].after
    if after is None:
        return 0.0
    if after.unit == "days":
        return float(after.count)
    sessions = exercise.dose.sessions if exercise.dose else None
    return float(after.count) * 7 / (sessions or 7.0)
