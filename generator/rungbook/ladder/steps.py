"""The size of the step between two exercises, on every axis of demand.

An axis of the kind `ratio` has the size max(0, ln(b / a) / ln limit), where a and b are the
values or the floor, whichever is larger; the floor is the larger of 10 % of the goal's value and
1 N·m, 90 °/s or 10 s. Every other axis has the size max(0, (b - a) / limit). The goal is the
ladder's; off ladders it is the harder exercise. An axis that is not known of both exercises, or
not comparable (the range of two movements about different axes), is left out.

An axis *rises by more than a little* where the harder exercise has more than 1.10 times the value
of the easier (floors applied: demand, speed, volume, elsewhere), more than 10 % of body weight
more (bearing), more than 10° more (range, lengthening), or one class more (impact, stability).
A group rises where one of its axes does that is not switched off: load is demand, bearing and
impact; motion is range, lengthening and speed; position is stability; dose is volume. `changes`
counts the groups.

The size of a step is that of its worst axis; `changes` and `elsewhere` are shown beside it and have
checks of their own. Sizes are rounded to 1e-9, so that other programs reach the same verdict.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping

from rungbook.ladder.limits import AXES, FLOOR_SHARE_OF_GOAL, Limits
from rungbook.ladder.profile import Profile, profile
from rungbook.ladder.step import AxisStep, Step
from rungbook.load.result import ExerciseLoad
from rungbook.model.exercise import Exercise
from rungbook.model.movement import Action

TOLERANCE = 1e-6  # a size of up to 1 + this passes
BESIDE_THE_SIZE = ("changes", "elsewhere")
Values = tuple[float, float, float, bool]  # easier, harder, floor (0 for rises), narrow limit


def step(
    easier: Exercise,
    harder: Exercise,
    loads: Mapping[str, ExerciseLoad],
    limits: Limits,
    goal: ExerciseLoad | None = None,
    works: Iterable[Action] = (),
) -> Step:
    """The step between two exercises. `goal` and `works` are the ladder's, where it has them."""
    from_profile, to_profile = (profile(one, loads[one.id]) for one in (easier, harder))
    aim = Aim.of_load(goal, tuple(works)) if goal is not None else None
    return step_between(from_profile, to_profile, limits, aim, tuple(works))


class Aim:
    """What floors are taken from: the goal's values on the ratio axes."""

    __slots__ = ("_floors", "demand", "speed", "volume")

    def __init__(self, demand: float, speed: float, volume: float) -> None:
        self.demand, self.speed, self.volume = demand, speed, volume
        values = {"demand": demand, "elsewhere": demand, "speed": speed, "volume": volume}
        self._floors = {
            axis: max(AXES[axis].floor or 0.0, FLOOR_SHARE_OF_GOAL * value)
            for axis, value in values.items()
        }

    @classmethod
    def of(cls, goal: Profile, works: tuple[Action, ...] = ()) -> Aim:
        """From a profile, about the ladder's works where they are known of the goal."""
        return cls(goal.demand(works), goal.speed_deg_s, goal.volume_s or 0.0)

    @classmethod
    def of_load(cls, goal: ExerciseLoad, works: tuple[Action, ...] = ()) -> Aim:
        """From a load as the engine returns it, about the ladder's works where it names them."""
        known = [demand.peak_nm for demand in goal.demands.values() if demand.works in works]
        demand = float(max(known, default=goal.demand_nm))
        return cls(demand, goal.peak_speed_deg_s, goal.time_under_tension_week_s)

    def floor(self, axis: str) -> float:
        """The least value that a ratio on this axis is taken from; 0 of other axes."""
        return self._floors.get(axis, 0.0)


def step_between(
    easier: Profile,
    harder: Profile,
    limits: Limits,
    aim: Aim | None = None,
    works: tuple[Action, ...] = (),
) -> Step:
    """The step between two profiles; floors are the harder exercise's without an `aim`."""
    aim = aim or Aim.of(harder, works)
    axes: dict[str, AxisStep] = {}
    groups: set[str] = set()
    unlimited = False
    worst, size = "demand", -1.0
    for axis, (a, b, floor, narrow) in _axes(easier, harder, aim, works):
        limit, group = limits.of(axis, narrow), AXES[axis].group
        if group and rises(axis, a, b, floor):
            if limit is None:
                unlimited = True
            else:
                groups.add(group)
        if limit is not None:
            axes[axis] = one = AxisStep(a, b, limit, axis_size(axis, a, b, limit, floor))
            if one.size > size:
                worst, size = axis, one.size
    most_changes = limits.of("changes")
    if most_changes is not None:
        count = float(len(groups))
        axes["changes"] = AxisStep(
            0.0, count, most_changes, axis_size("changes", 0.0, count, most_changes)
        )
    elsewhere = _elsewhere(easier, harder, aim)
    most_elsewhere = limits.of("elsewhere")
    if elsewhere and most_elsewhere is not None:
        _, a, b, floor = elsewhere
        rise = axis_size("elsewhere", a, b, most_elsewhere, floor)
        axes["elsewhere"] = AxisStep(a, b, most_elsewhere, rise)
    size = max(0.0, size)
    return Step(
        from_id=easier.id,
        to_id=harder.id,
        axes=axes,
        size=size,
        missing=missing_rungs(size),
        worst=worst,
        risen=tuple(group for group in ("load", "motion", "position", "dose") if group in groups),
        elsewhere=elsewhere[0] if elsewhere else None,
        rises_unlimited=unlimited,
    )


def missing_rungs(size: float) -> int:
    """How many rungs are missing at least: none up to one step allowed."""
    return max(0, math.ceil(size - TOLERANCE) - 1)


def axis_size(axis: str, a: float, b: float, limit: float, floor: float = 0.0) -> float:
    """How many steps allowed a rise from `a` to `b` is."""
    if b <= a:
        return 0.0
    if AXES[axis].kind == "ratio":
        return round(max(0.0, math.log(max(b, floor) / max(a, floor)) / math.log(limit)), 9)
    return round(max(0.0, (b - a) / limit), 9)


def rises(axis: str, a: float, b: float, floor: float = 0.0) -> bool:
    """Whether an axis rises from `a` to `b` by more than a little."""
    if b <= a:
        return False
    rule = AXES[axis]
    if rule.kind == "ratio":
        return max(b, floor) / max(a, floor) > rule.little + 1e-6
    return b - a > rule.little + 1e-6


def falls(axis: str, a: float, b: float, floor: float = 0.0) -> bool:
    """Whether an axis falls from `a` to `b` by more than a little."""
    return rises(axis, b, a, floor)


def fallen(step: Step) -> tuple[str, ...]:
    """The axes on which a step leads back: something falls by more than a little, nothing rises.

    None where the load of one of the two is not known: nobody can say. A dose may always fall.
    """
    if step.risen or step.rises_unlimited or "demand" not in step.axes:
        return ()
    return tuple(
        axis
        for axis, one in step.axes.items()
        if axis not in (*BESIDE_THE_SIZE, "volume")
        and falls(axis, one.from_value, one.to_value, AXES[axis].floor or 0.0)
    )


def worked_on(
    easier: Profile, harder: Profile, works: tuple[Action, ...]
) -> tuple[float, float] | None:
    """The demand of both, about the ladder's works or else the harder exercise's: the worst.

    None where an engine gives no moment of one of them.
    """
    for actions in (works, harder.works, easier.works):
        pairs = [(easier.moment(action), harder.moment(action)) for action in actions]
        known = [(a, b) for a, b in pairs if a is not None and b is not None]
        if known:
            return max(a for a, _ in known), max(b for _, b in known)
    return None


def _axes(
    easier: Profile, harder: Profile, aim: Aim, works: tuple[Action, ...]
) -> Iterable[tuple[str, Values]]:
    demand = worked_on(easier, harder, works)
    if demand:
        yield "demand", (*demand, aim.floor("demand"), False)
    before = easier.bearing if easier.limb == harder.limb else 0.0
    yield "bearing", (before, harder.bearing, 0.0, harder.limb == "arm")
    yield "impact", (float(easier.impact), float(harder.impact), 0.0, False)
    ranged = easier.leads is not None and easier.leads == harder.leads
    if ranged:
        yield "range", (easier.range_deg, harder.range_deg, 0.0, harder.range_narrow)
    if not (ranged and harder.lengthening_is_range) and set(easier.works) & set(harder.works):
        angles = (easier.lengthening_deg, harder.lengthening_deg)
        yield "lengthening", (*angles, 0.0, harder.lengthening_narrow)
    yield "speed", (easier.speed_deg_s, harder.speed_deg_s, aim.floor("speed"), False)
    yield "stability", (float(easier.stability), float(harder.stability), 0.0, False)
    if easier.volume_s is not None and harder.volume_s is not None:
        yield "volume", (easier.volume_s, harder.volume_s, aim.floor("volume"), False)


def _elsewhere(
    easier: Profile, harder: Profile, aim: Aim
) -> tuple[str, float, float, float] | None:
    """Where else the largest rise is: its name, both values and the floor."""
    if not easier.others or not harder.others:
        return None
    weight_floor = AXES["bearing"].little
    # Of what ends below every floor nothing rises: looked at only where nothing else does.
    risen = _largest_rise(easier, harder, aim.floor("elsewhere"), weight_floor, weight_floor)
    if risen is not None and risen[2] > max(risen[1], risen[3]) * (1 + 1e-6):
        return risen
    return _largest_rise(easier, harder, aim.floor("elsewhere"), weight_floor, -1.0)


def _largest_rise(
    easier: Profile, harder: Profile, moment_floor: float, weight_floor: float, over: float
) -> tuple[str, float, float, float] | None:
    before = easier.others
    largest: tuple[str, float, float, float] | None = None
    most = 0.0
    for name, b in harder.others.items():
        if b <= over:
            continue
        floor = moment_floor
        if name.startswith("weight on"):
            floor = weight_floor
        elif name not in before:
            continue
        a = before.get(name, 0.0)
        exact = (b if b > floor else floor) / (a if a > floor else floor)
        if exact < most - 1e-6:  # clearly less, however it is rounded
            continue
        ratio = round(exact, 9)
        if largest is None or (-ratio, name) < (-most, largest[0]):
            largest, most = (name, a, b, floor), ratio
    return largest
