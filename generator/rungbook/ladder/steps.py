"""The size of the step between two exercises, on every axis of demand.

Demand is measured on the scale of `rungbook.ladder.scale`, in steps. Speed, volume and elsewhere
have the size max(0, ln(b / a) / ln limit), where a and b are the values or the floor, whichever is
larger; the floor is the larger of 10 % of the goal's value and 1 N·m, 90 °/s or 10 s. Every other
axis has the size max(0, (b - a) / limit). The goal is the ladder's; off ladders it is the harder
exercise. An axis that is not known of both exercises, or not comparable (the range of two movements
about different axes), is left out.

An axis *rises by more than a little* where the harder exercise asks for more than a tenth more than
the easier (demand: a tenth of the load that a step is counted from; speed, volume, elsewhere:
floors applied), more than 10 % of body weight more (bearing), more than 10° more (range,
lengthening), or one class more (impact, stability). A group rises where one of its axes does that
is not switched off: load is demand, bearing and impact; motion is range, lengthening and speed;
position is stability; dose is volume. `changes` counts the groups.

The size of a step is that of its worst axis; `changes` and `elsewhere` are shown beside it and have
checks of their own. Sizes are rounded to 1e-9, so that other programs reach the same verdict.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace

from rungbook.ladder.limits import AXES
from rungbook.ladder.profile import Profile
from rungbook.ladder.ruler import Aim, Ruler
from rungbook.ladder.scale import Moments, Scale, scale_between
from rungbook.ladder.step import AxisStep, Step
from rungbook.model.movement import Action

TOLERANCE = 1e-6  # a size of up to 1 + this passes
BESIDE_THE_SIZE = ("changes", "elsewhere")
GROUPS = ("load", "motion", "position", "dose")
Values = tuple[str, float, float, float, bool]  # axis, easier, harder, floor, narrow limit


def step_between(
    easier: Profile, harder: Profile, ruler: Ruler, prepared: Moments | None = None
) -> Step:
    """The step between two profiles.

    `prepared` is what the way to the easier exercise has prepared, N·m by action; its own load
    without it.
    """
    aim, limits = ruler.aim_for(harder), ruler.limits
    axes: dict[str, AxisStep] = {}
    groups: set[str] = set()
    unlimited = False
    for axis, one in _axes(easier, harder, ruler, aim, prepared):
        group = AXES[axis].group
        if one is None:
            continue
        if math.isinf(one.limit):  # switched off
            unlimited = unlimited or one.change > 0
            continue
        axes[axis] = one
        if group and one.change > 0:
            groups.add(group)
    worst = max(axes, key=lambda axis: axes[axis].size, default="demand")
    size = max(0.0, axes[worst].size) if worst in axes else 0.0
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
    return Step(
        from_id=easier.id,
        to_id=harder.id,
        axes=axes,
        size=size,
        missing=missing_rungs(size),
        worst=worst,
        risen=tuple(group for group in GROUPS if group in groups),
        elsewhere=elsewhere[0] if elsewhere else None,
        rises_unlimited=unlimited,
    )


def missing_rungs(size: float) -> int:
    """How many rungs are missing at least: none up to one step allowed."""
    return max(0, math.ceil(size - TOLERANCE) - 1)


def axis_size(axis: str, a: float, b: float, limit: float, floor: float = 0.0) -> float:
    """How many steps a rise from `a` to `b` is, on an axis other than demand."""
    if b <= a:
        return 0.0
    if AXES[axis].kind == "ratio":
        return round(max(0.0, math.log(max(b, floor) / max(a, floor)) / math.log(limit)), 9)
    return round(max(0.0, (b - a) / limit), 9)


def rises(axis: str, a: float, b: float, floor: float = 0.0) -> bool:
    """Whether an axis other than demand rises from `a` to `b` by more than a little."""
    if b <= a:
        return False
    rule = AXES[axis]
    if rule.kind == "rise":
        return b - a > rule.little + 1e-6
    return max(b, floor) / max(a, floor) > rule.little + 1e-6


def falls(axis: str, a: float, b: float) -> bool:
    """Whether an axis falls from `a` to `b` by more than a little."""
    return rises(axis, b, a, AXES[axis].floor or 0.0)


def fallen(step: Step) -> tuple[str, ...]:
    """The axes on which a step leads back: something falls by more than a little, nothing rises.

    None where the load of one of the two is not known: nobody can say. A dose may always fall.
    """
    if step.risen or step.rises_unlimited or "demand" not in step.axes:
        return ()
    return tuple(axis for axis, one in step.axes.items() if one.change < 0 and axis != "volume")


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
    easier: Profile, harder: Profile, ruler: Ruler, aim: Aim, prepared: Moments | None
) -> Iterator[tuple[str, AxisStep | None]]:
    """Every axis that is known of both; one that is switched off has no limit: infinity."""
    scale = ruler.scale_for(easier, harder)
    if scale is not None:
        yield "demand", _demand(easier, harder, scale, prepared, scale.ratio)
    else:
        own = scale_between(easier, harder, AXES["demand"].limit)
        yield "demand", _demand(easier, harder, own, prepared, math.inf)
    for axis, a, b, floor, narrow in _values(easier, harder, aim):
        limit = ruler.limits.of(axis, narrow)
        change = int(rises(axis, a, b, floor)) - int(falls(axis, a, b))
        size = 0.0 if limit is None else axis_size(axis, a, b, limit, floor)
        yield axis, AxisStep(a, b, math.inf if limit is None else limit, size, change)


def _demand(
    easier: Profile, harder: Profile, scale: Scale, prepared: Moments | None, limit: float
) -> AxisStep | None:
    """The action on which the step is largest; of equal ones the one that asks for most."""
    own, there = scale.moments(easier), scale.moments(harder)
    start = own if prepared is None else prepared
    little = AXES["demand"].little
    found: AxisStep | None = None
    best = (-1.0, -1.0)
    rising = falling = harder_somewhere = False
    for action in (one for one in scale.standards if one in start and one in there):
        a, b, before = start[action], there[action], own.get(action, start[action])
        height = scale.height(action, b) or 0.0
        size = round(max(0.0, height - (scale.height(action, a) or 0.0)), 9)
        rising = rising or scale.rises(action, a, b, little - 1)
        falling = falling or falls("demand", before, b)
        harder_somewhere = harder_somewhere or falls("demand", b, before)
        if (size, height) > best:
            best = (size, height)
            found = AxisStep(before, b, limit, size, 0, str(action), a)
    if found is None:
        return None
    change = 1 if rising else -1 if falling and not harder_somewhere else 0
    return replace(found, change=change)


def _values(easier: Profile, harder: Profile, aim: Aim) -> Iterator[Values]:
    before = easier.bearing if easier.limb == harder.limb else 0.0
    yield "bearing", before, harder.bearing, 0.0, harder.limb == "arm"
    yield "impact", float(easier.impact), float(harder.impact), 0.0, False
    ranged = easier.leads is not None and easier.leads == harder.leads
    if ranged:
        yield "range", easier.range_deg, harder.range_deg, 0.0, harder.range_narrow
    if not (ranged and harder.lengthening_is_range) and set(easier.works) & set(harder.works):
        angles = (easier.lengthening_deg, harder.lengthening_deg)
        yield "lengthening", *angles, 0.0, harder.lengthening_narrow
    yield "speed", easier.speed_deg_s, harder.speed_deg_s, aim.floor("speed"), False
    yield "stability", float(easier.stability), float(harder.stability), 0.0, False
    if easier.volume_s is not None and harder.volume_s is not None:
        yield "volume", easier.volume_s, harder.volume_s, aim.floor("volume"), False


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
        elif name not in before or name not in harder.hard:
            continue  # a joint that does not work hard there is no reason to wait
        a = before.get(name, 0.0)
        exact = (b if b > floor else floor) / (a if a > floor else floor)
        if exact < most - 1e-6:  # clearly less, however it is rounded
            continue
        ratio = round(exact, 9)
        if largest is None or (-ratio, name) < (-most, largest[0]):
            largest, most = (name, a, b, floor), ratio
    return largest
