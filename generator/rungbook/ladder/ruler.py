"""What steps are measured by: limits, the goal's floors, the scale of demand."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from rungbook.ladder.limits import AXES, FLOOR_SHARE_OF_GOAL, Limits, limits_for
from rungbook.ladder.profile import Profile
from rungbook.ladder.scale import Scale, scale_between, scale_of
from rungbook.model.ladder import Ladder
from rungbook.model.library import Settings
from rungbook.model.movement import Action


@dataclass(frozen=True, slots=True)
class Aim:
    """The goal's values, from which the floors of ratios are taken: N·m, °/s, seconds a week."""

    demand: float
    speed: float
    volume: float

    @classmethod
    def of(cls, goal: Profile, works: tuple[Action, ...] = ()) -> Aim:
        """From a profile, about the ladder's works where they are known of the goal."""
        return cls(goal.demand(works), goal.speed_deg_s, goal.volume_s or 0.0)

    def floor(self, axis: str) -> float:
        """The least value that a ratio on this axis is taken from; 0 of other axes."""
        match axis:
            case "elsewhere":
                value = self.demand
            case "speed":
                value = self.speed
            case "volume":
                value = self.volume
            case _:
                return 0.0
        return max(AXES[axis].floor or 0.0, FLOOR_SHARE_OF_GOAL * value)


@dataclass(frozen=True, slots=True)
class Ruler:
    """By what a step is measured.

    Without an `aim` floors are the harder exercise's; without a `scale` the demand is measured by
    what the harder exercise itself demands.
    """

    limits: Limits
    aim: Aim | None = None
    scale: Scale | None = None

    @classmethod
    def of_ladder(
        cls, settings: Settings, ladder: Ladder, profiles: Mapping[str, Profile]
    ) -> Ruler:
        """A ladder's own: its limits, its goal, its standard exercises."""
        limits = limits_for(settings, ladder)
        goal = profiles.get(ladder.goal)
        aim = Aim.of(goal, ladder.works) if goal is not None else None
        ratio = limits.of("demand")
        return cls(limits, aim, None if ratio is None else scale_of(ladder, profiles, ratio))

    def aim_for(self, harder: Profile) -> Aim:
        """Whose values floors are taken from."""
        return self.aim or Aim.of(harder)

    def scale_for(self, easier: Profile, harder: Profile) -> Scale | None:
        """The scale of a step; None where demand is switched off."""
        ratio = self.limits.of("demand")
        if ratio is None:
            return None
        return self.scale or scale_between(easier, harder, ratio)
