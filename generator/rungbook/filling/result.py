"""What a filling is: a path of rungs, drafts on it, or why there is none."""

from __future__ import annotations

from dataclasses import dataclass

from rungbook.filling.setting import Candidate
from rungbook.ladder.step import AxisStep, Step
from rungbook.ladder.steps import TOLERANCE
from rungbook.ladder.words import axis_in_words, limit_in_words
from rungbook.load.result import ExerciseLoad

DISCRETE = frozenset({"stability", "impact"})


@dataclass(frozen=True, slots=True)
class Proposal:
    """A draft exercise of a filling with its load, and the size of the step that leads to it."""

    candidate: Candidate
    load: ExerciseLoad
    step_size: float


@dataclass(frozen=True, slots=True)
class Block:
    """What keeps a filling from being found: the axis that stays too far apart."""

    axis: str
    from_value: float
    to_value: float
    limit: float
    message: str


@dataclass(frozen=True, slots=True)
class Filling:
    """The whole path in `rungs`, the drafts on it in `proposals`, in order.

    `step` is the direct step. `blocked_by` says why there is no path. `capped` is true where
    there were more candidates than are computed.
    """

    from_id: str
    to_id: str
    step: Step
    rungs: tuple[str, ...]
    proposals: tuple[Proposal, ...]
    last_step_size: float | None
    blocked_by: Block | None
    capped: bool = False
    computed: int = 0


def blocked_by(step: Step) -> Block:
    """The axis of a step that keeps its ends apart, in words."""
    axis = step.worst
    if step.size <= 1 + TOLERANCE and "changes" in step.axes:
        axis = "changes"
    one = step.axes.get(axis) or AxisStep(0.0, 0.0, 1.0, 0.0)
    told = axis_in_words(axis, one) if axis in step.axes else "nothing that is measured"
    message = f"{told}; one step allows {limit_in_words(axis, one.limit)}."
    if axis in DISCRETE:
        message += " Only another position, or another kind of exercise, could lie between."
    return Block(axis, one.from_value, one.to_value, one.limit, message)


def refused(from_id: str, to_id: str, message: str) -> Filling:
    step = Step(from_id, to_id, {}, 0.0, 0, "demand")
    block = Block("demand", 0.0, 0.0, 0.0, message)
    return Filling(from_id, to_id, step, (), (), None, block)
