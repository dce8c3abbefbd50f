"""The graph of progressions with plain attributes, for the formats that carry graphs."""

from __future__ import annotations

import networkx as nx

from rungbook.ladder.measured import MeasuredLibrary
from rungbook.ladder.plain import number
from rungbook.model.criterion import in_words
from rungbook.model.latest import latest
from rungbook.model.written import written

Attributes = dict[str, str | float | int | bool]


@latest
def plain_graph(measured: MeasuredLibrary) -> nx.DiGraph[str]:
    """Exercises and progressions in the library's order; attributes are text, numbers, booleans.

    Edges lead from the easier to the harder exercise. What is not known is left out.
    """
    graph: nx.DiGraph[str] = nx.DiGraph(name=measured.library.settings.name)
    ladders: dict[str, list[str]] = {}
    for key, ladder in measured.ladders.items():
        for rung in ladder.rungs:
            ladders.setdefault(rung, []).append(key)
    for id in measured.library.exercises:
        graph.add_node(id, **_node(measured, id, ladders.get(id, [])))
    progressions = measured.with_drafts
    for easier, harder in sorted(progressions.edges):
        index = progressions[easier][harder]["index"]
        graph.add_edge(easier, harder, **_edge(measured, easier, harder, index))
    return graph


def _node(measured: MeasuredLibrary, id: str, ladders: list[str]) -> Attributes:
    exercise, load = measured.library.exercises[id], measured.loads.get(id)
    found: dict[str, str | float | int | bool | None] = {
        "title": exercise.title,
        "area": exercise.area,
        "works": "; ".join(str(action) for action in exercise.works),
        "position": exercise.position,
        "sides": exercise.sides,
        "draft": not exercise.may_go_on_a_sheet,
        "reviewed": exercise.reviewed.date.isoformat() if exercise.reviewed else None,
        "ladders": "; ".join(ladders),
    }
    if load is not None:
        found |= {
            "demand_nm": number(load.demand_nm) if load.demands else None,
            "bearing": number(load.bearing),
            "range_deg": number(load.range_deg),
            "stability": load.stability,
            "impact": load.impact,
            "volume_s_per_week": number(load.time_under_tension_week_s),
        }
    return {key: value for key, value in found.items() if value is not None and value != ""}


def _edge(measured: MeasuredLibrary, easier: str, harder: str, index: int) -> Attributes:
    progression = measured.library.exercises[easier].progressions[index]
    found: dict[str, str | float | int | bool | None] = {
        "when": "; ".join(in_words(progression.when)),
        "after": written(progression).get("after"),
        "because": progression.because,
        "draft": progression.draft or None,
    }
    step = measured.steps.get((easier, harder))
    if step is not None:
        found |= {"size": number(step.size), "missing": step.missing, "worst": step.worst}
        found |= {f"size_{axis}": number(one.size) for axis, one in step.axes.items()}
    return {key: value for key, value in found.items() if value is not None and value != ""}
