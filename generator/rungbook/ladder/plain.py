"""Steps, routes and easier options as plain values: the shapes of the JSON output."""

from __future__ import annotations

from typing import Any

from rungbook.ladder.certainty import unsure_nm
from rungbook.ladder.crossing import END
from rungbook.ladder.flare_up import WayBack
from rungbook.ladder.measured import MeasuredLadder, MeasuredLibrary
from rungbook.ladder.option import Easier
from rungbook.ladder.routes import NoRoute, Route, days_on
from rungbook.ladder.shortening import Shortened
from rungbook.ladder.step import Step
from rungbook.ladder.within import Within
from rungbook.model.criterion import in_words
from rungbook.model.movement import Action

DIGITS = 6


def number(value: float | None) -> float | None:
    """A number without the noise of the last digits."""
    return None if value is None else round(float(value), DIGITS)


def step_values(step: Step) -> dict[str, Any]:
    """One step: `{"from","to","axes":{axis: {"from","to","limit","size"}},"size","missing"}`."""
    return {
        "from": step.from_id,
        "to": step.to_id,
        "axes": {
            axis: {
                "from": number(one.from_value),
                "to": number(one.to_value),
                "limit": number(one.limit),
                "size": number(one.size),
                **({"works": one.works, "prepared": number(one.prepared)} if one.works else {}),
            }
            for axis, one in step.axes.items()
        },
        "size": number(step.size),
        "missing": step.missing,
        "worst": step.worst,
        "rises": list(step.risen),
        "elsewhere": step.elsewhere,
    }


def ladder_values(measured: MeasuredLibrary, one: MeasuredLadder) -> dict[str, Any]:
    """One ladder: `{"id","rungs","standard","heights","heights_by_action","steps"}`.

    On the axis of demand `unsure` is by how many N·m the difference may be otherwise.
    """
    scale = one.ruler.scale
    steps = [step_values(step) for step in one.steps]
    for step, values in zip(one.steps, steps, strict=True):
        demand = step.axes.get("demand")
        if demand is not None and demand.works is not None:
            unsure = unsure_nm(measured, demand.works, step.from_id, step.to_id)
            values["axes"]["demand"]["unsure"] = number(unsure)
    return {
        "id": one.ladder.id,
        "title": one.ladder.title,
        "rungs": list(one.rungs),
        "standard": {
            str(action): {
                "id": one.ladder.standard_of(action),
                "demand_nm": number(scale.standards.get(action)) if scale else None,
            }
            for action in one.ladder.works
        },
        "heights": {rung: number(one.height(rung)) for rung in one.rungs},
        "heights_by_action": {
            str(action): {rung: number(one.heights[rung][action]) for rung in one.rungs}
            for action in one.ladder.works
        },
        "steps": steps,
    }


def route_values(measured: MeasuredLibrary, found: Route) -> dict[str, Any]:
    """A route: `{"from","to","rungs","largest_step","least_days","steps"}`."""
    exercises, graph = measured.library.exercises, measured.graph
    steps = []
    for step in found.steps:
        index = graph[step.from_id][step.to_id]["index"]
        progression = exercises[step.from_id].progressions[index]
        days = number(days_on(measured, step.from_id, step.to_id))
        when = list(in_words(progression.when))
        steps.append({**step_values(step), "when": when, "least_days": days})
    return {
        "from": found.from_id,
        "to": found.to_id,
        "rungs": list(found.rungs),
        "largest_step": number(found.largest_step),
        "least_days": found.least_days,
        "ladder": found.ladder.ladder.id if found.ladder else None,
        "steps": steps,
    }


def no_route_values(found: NoRoute) -> dict[str, Any]:
    """That there is no route: the same keys, empty, with `message` and `left_out`."""
    return {
        "from": found.from_id,
        "to": found.to_id,
        "rungs": [],
        "largest_step": None,
        "least_days": None,
        "steps": [],
        "message": found.message,
        "left_out": dict(found.left_out),
    }


def way_back_values(
    measured: MeasuredLibrary, from_id: str, lasted: str, found: WayBack
) -> dict[str, Any]:
    """The route up again after a flare-up, and under `back` where to go back to by which rule."""
    up = found.up
    values = no_route_values(up) if isinstance(up, NoRoute) else route_values(measured, up)
    return {
        **values,
        "back": {
            "from": from_id,
            "to": found.back_to,
            "lasted": lasted,
            "rule": found.rule.lasts,
            "do": found.rule.do,
            "source": found.rule.source,
        },
    }


def easier_values(found: Easier) -> dict[str, Any]:
    """Options: `{"exercise","because","options":[{"id","kind","slot","demand_nm","ratio",…}]}`."""
    return {
        "exercise": found.exercise,
        "because": list(found.because),
        "irritability": found.irritability,
        "nothing_first": found.nothing,
        "ladder": found.ladder.ladder.id if found.ladder else None,
        "options": [
            {
                "id": option.exercise.id,
                "title": option.exercise.title,
                "kind": option.kind,
                "slot": option.slot,
                "kind_of_work": option.kind_of_work,
                "back_up": option.back_up,
                "share": option.share,
                "left": {
                    reason: {"before": number(one.before), "now": number(one.now)}
                    for reason, one in option.eased.items()
                },
                "shortened": _shortened(option.shortened),
                "demand_nm": number(option.demand_nm),
                "ratio": number(option.ratio),
                "step_size": number(option.step_size),
                "changes": dict(option.changes),
                "rises": list(option.rises),
                "works_instead": _instead(option.instead),
                "draft": not option.exercise.may_go_on_a_sheet,
                "cautions": list(option.exercise.cautions),
            }
            for option in found.options
        ],
        "left_out": dict(found.left_out),
    }


def _instead(found: tuple[Action, float] | None) -> dict[str, Any] | None:
    return None if found is None else {"action": str(found[0]), "peak_nm": number(found[1])}


def within_values(found: Within) -> dict[str, Any]:
    """What fits: `{"exercises","left_out","leaves_most_out"}`."""
    most = found.leaves_most_out
    return {
        "exercises": [
            {
                "id": one.exercise.id,
                "title": one.exercise.title,
                "kind_of_work": one.kind.word if one.kind else None,
                "demand_nm": number(one.demand_nm),
                "works_instead": _instead(one.instead),
                "shortened": _shortened(one.shortened),
                "draft": not one.exercise.may_go_on_a_sheet,
                "cautions": list(one.exercise.cautions),
            }
            for one in found.fitting
        ],
        "left_out": dict(found.left_out),
        "why": dict(found.why),
        "leaves_most_out": {"limit": most[0], "exercises": most[1]} if most else None,
    }


def _shortened(found: Shortened | None) -> dict[str, Any] | None:
    if found is None:
        return None
    return {
        "movement": found.movement,
        "from_deg": number(found.from_deg),
        "to_deg": number(found.to_deg),
        "instead_of_deg": number(found.instead_of_deg),
        "share_of_movement": number(found.until / END),
        "because": found.because,
    }
