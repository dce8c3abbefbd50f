"""By what the steps of a search are judged: one ladder's rules, the same from end to end.

The ladder that was asked for, else the first by id that holds both exercises, else the library's
limits. Sizes come from `ladder.steps` alone.
"""

from __future__ import annotations

from dataclasses import dataclass

from rungbook.ladder.limits import Limits, limits_for
from rungbook.ladder.measured import MeasuredLadder, MeasuredLibrary
from rungbook.ladder.profile import Profile, profile
from rungbook.ladder.routes import ladder_of
from rungbook.ladder.step import Step
from rungbook.ladder.steps import TOLERANCE, Aim, fallen, step_between
from rungbook.model.movement import Action

ABOUT_THE_SAME = 0.05  # a load that falls by less is no fall


@dataclass(frozen=True, slots=True)
class Judge:
    """What a step between two exercises is measured by."""

    ladder: MeasuredLadder | None
    limits: Limits
    aim: Aim | None
    works: tuple[Action, ...]

    @classmethod
    def of(
        cls, measured: MeasuredLibrary, from_id: str, to_id: str, ladder: str | None = None
    ) -> Judge:
        """The judge of a question; `ladder` is the one asked for."""
        one = measured.ladders[ladder] if ladder else ladder_of(measured, from_id, to_id)
        if one is None:
            return cls(None, limits_for(measured.library.settings), None, ())
        goal = measured.library.exercises.get(one.ladder.goal)
        aim = None
        if goal is not None and goal.id in measured.loads:
            aim = Aim.of(profile(goal, measured.loads[goal.id]), one.ladder.works)
        return cls(one, limits_for(measured.library.settings, one.ladder), aim, one.ladder.works)

    def step(self, easier: Profile, harder: Profile) -> Step:
        """The step between two exercises."""
        return step_between(easier, harder, self.limits, self.aim, self.works)

    def demand(self, one: Profile, goal: Profile) -> float:
        """The load that decides whether a way falls, N·m."""
        return one.demand(self.works or goal.works)

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
