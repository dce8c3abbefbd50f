"""A measured ladder in one line, from titles and demands, for tests of staircases and maps."""

from __future__ import annotations

import math
import pathlib
from collections.abc import Sequence

import networkx as nx

from builders.skeletons import load
from rungbook.ladder.limits import EVERY_AXIS
from rungbook.ladder.measured import MeasuredLadder, MeasuredLibrary
from rungbook.ladder.ruler import Ruler
from rungbook.ladder.scale import Scale
from rungbook.ladder.step import AxisStep, Step
from rungbook.model.exercise import Exercise
from rungbook.model.ladder import Ladder
from rungbook.model.library import Library
from rungbook.model.quantity import parse_action

LIMIT = 1.5


WORKS = parse_action("knee extension")


def demand_step(from_id: str, to_id: str, before: float, after: float, scale: Scale) -> Step:
    """A step whose only axis is the demand."""
    size = max(0.0, scale.height(WORKS, after) - scale.height(WORKS, before))
    axes = {"demand": AxisStep(before, after, LIMIT, size, 0, str(WORKS), before)}
    missing = max(0, math.ceil(size - 1e-6) - 1)
    return Step(from_id, to_id, axes, size, missing, "demand")


def measured_ladder(
    rungs: Sequence[tuple[str, float]],
    *,
    edges: Sequence[tuple[int, int]] | None = None,
    title: str = "Knee ladder",
    standard: float | None = None,
) -> MeasuredLibrary:
    """A ladder whose standard exercise asks for `standard` N·m, the goal's where none is given.

    Rungs are (title, demand in N·m), easiest first; edges by number, else one after another."""
    edges = [(i, i + 1) for i in range(len(rungs) - 1)] if edges is None else edges
    ids = [f"rung-{i}" for i in range(len(rungs))]
    exercises = {
        # The model refuses control characters; a drawing must stand them all the same.
        key: Exercise(id=key, title=key, works="knee extension").model_copy(update={"title": words})
        for key, (words, _) in zip(ids, rungs, strict=True)
    }
    loads = {
        key: load(exercises[key], None, curve=[nm] * 11)  # type: ignore[arg-type]
        for key, (_, nm) in zip(ids, rungs, strict=True)
    }
    scale = Scale({WORKS: standard or rungs[-1][1]}, LIMIT)
    steps = {
        (ids[a], ids[b]): demand_step(ids[a], ids[b], rungs[a][1], rungs[b][1], scale)
        for a, b in edges
    }
    graph = nx.DiGraph()
    graph.add_nodes_from(ids)
    graph.add_edges_from(steps, index=0)
    entries = {"high": ids[0], "low": ids[-1]}
    ladder = Ladder(id="knee", title=title, goal=ids[-1], entries=entries, works=(WORKS,))
    library = Library(pathlib.Path("library"), exercises=exercises, ladders={"knee": ladder})
    heights = {id: {WORKS: scale.height(WORKS, nm)} for id, (_, nm) in zip(ids, rungs, strict=True)}
    ruler = Ruler(EVERY_AXIS, None, scale)
    drawn = MeasuredLadder(ladder, tuple(ids), tuple(steps.values()), ruler=ruler, heights=heights)
    return MeasuredLibrary(library, graph, loads, steps, {"knee": drawn})
