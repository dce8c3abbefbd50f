"""Why nothing fills a step: which axis stays too far apart, and what would have to be added."""

from __future__ import annotations

from rungbook.filling.result import Block
from rungbook.filling.route import Ways, reached
from rungbook.filling.setting import Candidate
from rungbook.ladder.step import AxisStep, Step
from rungbook.ladder.steps import TOLERANCE
from rungbook.ladder.words import axis_in_words, limit_in_words
from rungbook.model.library import Library

MOST_COMPARED = 150
ADD = {
    "demand": "Write an exercise of your own between, with less of what makes {to} heavy: another "
    "position, a shorter lever, part of the weight on something else.",
    "bearing": "Add something fixed to lean on (a rail, a counter, a frame) to "
    "vocabulary/equipment.yml, or write an exercise with part of the weight on the other leg or "
    "the hands.",
    "impact": "Write a smaller hop or landing of your own between: with both feet, or with the "
    "hands on something.",
    "range": "Write an exercise of your own that goes part of the way.",
    "lengthening": "Write an exercise of your own that stretches the muscles part of the way.",
    "speed": "Write the same movement with a slower tempo.",
    "stability": "Write an exercise of your own in a steadier position, or with a hand on "
    "something fixed.",
    "volume": "Give both exercises doses of the same kind (both repeated, or both held), so that "
    "doses between them can be set.",
    "changes": "Write an exercise of your own that changes some of this first.",
}


def what_blocks(ways: Ways, step: Step, needs: Candidate | None, library: Library) -> Block:
    """Of what can be reached from both ends the nearest pair, and what would help.

    `needs` is a candidate on a way that there would be if the library had something it lacks.
    """
    up = reached(ways, forward=True)[:MOST_COMPARED]
    down = reached(ways, forward=False)[:MOST_COMPARED]
    apart = [
        ways.measure(ways.nodes[a].profile, ways.nodes[b].profile)
        for a in up
        for b in down
        if a != b
    ]
    found = [one for one in apart if one.size > 1 + TOLERANCE]
    nearest = min(found, key=lambda one: (one.size, one.from_id, one.to_id), default=step)
    axis = nearest.worst
    if nearest.size <= 1 + TOLERANCE and "changes" in nearest.axes:
        axis = "changes"
    one = nearest.axes.get(axis) or AxisStep(0.0, 0.0, 1.0, 0.0)
    told = axis_in_words(axis, one) if axis in nearest.axes else "nothing that is measured"
    message = f"{told}; one step allows {limit_in_words(axis, one.limit)}."
    add = ADD.get(axis, ADD["demand"]).format(to=step.to_id)
    if needs is not None:
        add = _equipment(needs)
    return Block(axis, one.from_value, one.to_value, one.limit, message, add)


def _equipment(candidate: Candidate) -> str:
    """What to add to the library, with the line to write."""
    setting = next(one for one in candidate.settings if one.needs)
    if setting.handle == "assist":
        line = "sling: {title: Sling, assists: set}"
    else:
        line = f"{setting.by}: {{title: {setting.by.capitalize()}}}"
    return f"It would work with {setting.needs}: add `{line}` to vocabulary/equipment.yml."
