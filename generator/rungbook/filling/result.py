"""What fills a step: a path of rungs, drafts on it, or why there is none; as plain values too."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from rungbook.filling.setting import Candidate
from rungbook.filling.written import changed_fields
from rungbook.ladder.plain import number
from rungbook.ladder.step import Step
from rungbook.load.result import ExerciseLoad


@dataclass(frozen=True, slots=True)
class Proposal:
    """A draft exercise with its load, and the size of the step that leads to it.

    `opposite` are the muscles that work the other way in it, where gravity turns round: their
    group in words and the greatest moment, N·m.
    """

    candidate: Candidate
    load: ExerciseLoad
    step_size: float
    opposite: tuple[str, float] | None = None


@dataclass(frozen=True, slots=True)
class Block:
    """What keeps a filling from being found: the axis that stays too far apart, and what to add."""

    axis: str
    from_value: float
    to_value: float
    limit: float
    message: str
    add: str = ""


@dataclass(frozen=True, slots=True)
class Filling:
    """The whole path in `rungs`, the drafts on it in `proposals`, in order.

    `step` is the direct step, `ladder` the one whose limits it is judged by. `blocked_by` says why
    there is no path. Of the candidates `computed` were, and `left_out` were not.
    """

    from_id: str
    to_id: str
    step: Step
    rungs: tuple[str, ...] = ()
    proposals: tuple[Proposal, ...] = ()
    last_step_size: float | None = None
    blocked_by: Block | None = None
    ladder: str | None = None
    computed: int = 0
    left_out: int = 0
    sizes: Mapping[str, float] = field(default_factory=dict)  # the step into each rung


def refused(from_id: str, to_id: str, message: str) -> Filling:
    """A filling that nothing has to be computed for to know there is none."""
    step = Step(from_id, to_id, {}, 0.0, 0, "demand")
    return Filling(from_id, to_id, step, blocked_by=Block("demand", 0.0, 0.0, 0.0, message))


def filling_values(found: Filling) -> dict[str, Any]:
    """`{"from","to","size","rungs","proposals","last_step_size","blocked_by"}`, and more."""
    return {
        "from": found.from_id,
        "to": found.to_id,
        "ladder": found.ladder,
        "size": number(found.step.size),
        "missing": found.step.missing,
        "rungs": list(found.rungs),
        "proposals": [_proposal(one) for one in found.proposals],
        "last_step_size": number(found.last_step_size),
        "blocked_by": found.blocked_by and _block(found.blocked_by),
        "candidates": found.computed,
        "left_out": found.left_out,
    }


def _proposal(one: Proposal) -> dict[str, Any]:
    exercise, base = one.candidate.exercise, one.candidate.base
    return {
        "id": exercise.id,
        "title": exercise.title,
        "variation_of": base.id,
        "changes": changed_fields(exercise, base),
        "levers": {setting.lever: setting.words for setting in one.candidate.settings},
        "demand_nm": number(one.load.demand_nm),
        "step_size": number(one.step_size),
        "opposite": one.opposite
        and {"muscles": one.opposite[0], "peak_nm": number(one.opposite[1])},
        "reviewed": False,
    }


def _block(block: Block) -> dict[str, Any]:
    return {
        "axis": block.axis,
        "from": number(block.from_value),
        "to": number(block.to_value),
        "limit": number(block.limit),
        "message": block.message,
        "add": block.add or None,
    }
