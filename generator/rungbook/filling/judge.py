"""By what the steps of a search are judged: one scale for the question, the same from end to end.

That of the ladder that was asked for, else of the first by id that holds both exercises, else the
library's limits with the harder end's own demand. Sizes come from `ladder.steps` alone.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from rungbook.ladder.measured import MeasuredLadder, MeasuredLibrary
from rungbook.ladder.profile import Profile
from rungbook.ladder.question import Question
from rungbook.ladder.ruler import Ruler
from rungbook.ladder.scale import Moments
from rungbook.ladder.step import Step
from rungbook.ladder.steps import TOLERANCE, fallen, step_between
from rungbook.model.movement import Action

ABOUT_THE_SAME = 0.05  # a load that falls by less is no fall


@dataclass(frozen=True, slots=True)
class Judge:
    """What the steps of a question are measured by.

    `start` is what the way to the easier end has prepared, N·m by action: all others lie above.
    """

    ruler: Ruler
    start: Moments = field(default_factory=dict)
    ladder: MeasuredLadder | None = None

    @classmethod
    def of(
        cls,
        measured: MeasuredLibrary,
        easier: Profile,
        harder: Profile,
        ladder: str | None = None,
    ) -> Judge:
        """The judge of a question; `ladder` is the one asked for."""
        question = Question.of(measured, easier.id, harder.id, ladder)
        return cls(question.ruler, question.start(easier.id) or {}, question.ladder)

    def step(self, easier: Profile, harder: Profile) -> Step:
        """The step between two exercises on the way."""
        own = self.ruler.scale.moments(easier) if self.ruler.scale else {}
        prepared = {
            action: max(own.get(action, 0.0), self.start.get(action, 0.0))
            for action in {**own, **self.start}
        }
        return step_between(easier, harder, self.ruler, prepared or None)

    def counted(self, step: Step, goal: Profile) -> tuple[Action, ...]:
        """The actions whose load may not fall on the way: the one on which the step is largest."""
        scale, demand = self.ruler.scale, step.axes.get("demand")
        known = tuple(scale.standards) if scale else goal.works
        named = tuple(one for one in known if demand is not None and str(one) == demand.works)
        return named or known or goal.works

    @property
    def id(self) -> str | None:
        """The ladder's id."""
        return self.ladder.ladder.id if self.ladder else None


def is_one_step(step: Step) -> bool:
    """Whether a step may be taken: within the limit on every axis, and not leading back."""
    changes = step.axes.get("changes")
    most = 1 + TOLERANCE
    return step.size <= most and (changes is None or changes.size <= most) and not fallen(step)


def too_large(step: Step) -> tuple[str, ...]:
    """The axes on which a step is larger than one."""
    return tuple(
        axis
        for axis, one in step.axes.items()
        if one.size > 1 + TOLERANCE and axis not in ("changes", "elsewhere")
    )
