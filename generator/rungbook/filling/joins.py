"""Which of many exercises are one allowed step apart: the sizes of `ladder.steps` in arrays.

What is computed here for all pairs is computed again by `ladder.steps` for the path that is chosen;
a property test holds the two together.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rungbook.ladder.limits import AXES, Limits
from rungbook.ladder.profile import Profile
from rungbook.ladder.ruler import Aim, Ruler
from rungbook.ladder.scale import Moments, Scale
from rungbook.ladder.step import Step
from rungbook.ladder.steps import TOLERANCE, fallen, step_between
from rungbook.model.movement import Action

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]
NOWHERE, EVERYWHERE = np.zeros((), dtype=bool), np.ones((), dtype=bool)
Indices = NDArray[np.int64]


@dataclass(frozen=True, slots=True)
class Judge:
    """By what a step is judged: limits, floors and one scale for the whole question.

    `start` is what the way to the easier end has prepared, N·m by action: the rest lies above.
    """

    limits: Limits
    aim: Aim
    scale: Scale | None
    start: Moments

    def step(self, easier: Profile, harder: Profile) -> Step:
        """The step between two exercises on the way."""
        own = self.scale.moments(easier) if self.scale else {}
        before = {a: max(own.get(a, 0.0), self.start.get(a, 0.0)) for a in {**own, **self.start}}
        return step_between(
            easier, harder, Ruler(self.limits, self.aim, self.scale), before or None
        )


@dataclass(frozen=True)
class Nodes:
    """Profiles as columns, one row an exercise; unknown values are nan.

    `demand` has one column a judge: the peak about his works, else about those of the goal;
    `moments` is one array a judge, (exercises, actions of his scale).
    """

    profiles: tuple[Profile, ...]
    demand: Floats
    moments: tuple[Floats, ...]
    bearing: Floats
    arm: Bools
    impact: Floats
    leads: NDArray[np.int64]
    range_deg: Floats
    range_narrow: Bools
    lengthening: Floats
    lengthening_narrow: Bools
    lengthening_is_range: Bools
    works: NDArray[np.int64]
    speed: Floats
    stability: Floats
    volume: Floats


def nodes(profiles: Sequence[Profile], judges: Sequence[Judge], goal: Profile) -> Nodes:
    """The columns of some profiles, on a way to `goal`."""
    leads: dict[object, int] = {None: -1}
    works: dict[object, int] = {}
    return Nodes(
        profiles=tuple(profiles),
        demand=np.array(
            [[_demand(one, _actions(judge) or goal.works) for judge in judges] for one in profiles]
        ).reshape(len(profiles), len(judges)),
        moments=tuple(
            np.array([[_demand(one, (action,)) for action in _actions(judge)] for one in profiles])
            for judge in judges
        ),
        bearing=_column(profiles, "bearing"),
        arm=np.array([one.limb == "arm" for one in profiles], dtype=bool),
        impact=_column(profiles, "impact"),
        leads=np.array([leads.setdefault(one.leads, len(leads)) for one in profiles], dtype=int),
        range_deg=_column(profiles, "range_deg"),
        range_narrow=np.array([one.range_narrow for one in profiles], dtype=bool),
        lengthening=_column(profiles, "lengthening_deg"),
        lengthening_narrow=np.array([one.lengthening_narrow for one in profiles], dtype=bool),
        lengthening_is_range=np.array([one.lengthening_is_range for one in profiles], dtype=bool),
        works=np.array(
            [sum(1 << works.setdefault(a, len(works) % 60) for a in set(one.works))
             for one in profiles], dtype=np.int64,
        ),
        speed=_column(profiles, "speed_deg_s"),
        stability=_column(profiles, "stability"),
        volume=np.array([np.nan if one.volume_s is None else one.volume_s for one in profiles]),
    )  # fmt: skip


def _column(profiles: Sequence[Profile], field: str) -> Floats:
    return np.array([float(getattr(one, field)) for one in profiles], dtype=np.float64)


def _actions(judge: Judge) -> tuple[Action, ...]:
    return tuple(judge.scale.standards) if judge.scale else ()


def _demand(one: Profile, works: Sequence[Action]) -> float:
    known = [moment for action in works if (moment := one.moment(action)) is not None]
    return max(known, default=np.nan)


def sizes(
    columns: Nodes, easier: Indices, harder: Indices, judges: Sequence[Judge]
) -> tuple[Floats, Bools]:
    """Steps between rows: their sizes, and whether they are allowed on every axis.

    `easier` and `harder` are row numbers that broadcast: `(n, 1)` and `(m,)` give all pairs.
    Allowed also means that no more groups rise than `changes` allows, and that it does not lead
    back (`ladder.steps.fallen`).
    """
    shape = np.broadcast_shapes(easier.shape, harder.shape)
    size, allowed = np.zeros(shape), np.ones(shape, dtype=bool)
    for number, judge in enumerate(judges):
        axis_sizes, changes, back = _judged(columns, easier, harder, number, judge)
        size = np.maximum(size, axis_sizes)
        allowed &= (axis_sizes <= 1 + TOLERANCE) & ~back
        most = judge.limits.of("changes")
        if most is not None:
            allowed &= changes <= most * (1 + TOLERANCE)
    return size, allowed


def _judged(
    columns: Nodes, easier: Indices, harder: Indices, number: int, judge: Judge
) -> tuple[Floats, Floats, Bools]:
    """Sizes, how many groups rise, and whether something falls while nothing rises."""
    shape = np.broadcast_shapes(easier.shape, harder.shape)
    worst = np.zeros(shape)
    fallen, known, rises = (np.zeros(shape, dtype=bool) for _ in range(3))
    groups: dict[str, Bools] = {}
    if judge.scale is not None and judge.scale.standards:
        worst, rises, fallen, known = _demands(columns.moments[number], easier, harder, judge)
        groups["load"] = rises
    for axis, (before, after, narrow, counts) in _values(columns, easier, harder):
        rule = AXES[axis]
        if rule.kind == "ratio":
            floor = judge.aim.floor(axis)
            rise = np.log(np.maximum(after, floor) / np.maximum(before, floor))
            rising = counts & (rise > np.log(rule.little + 1e-6))
        else:
            rise = after - before
            rising = counts & (rise > rule.little + 1e-6)
        wide, thin = judge.limits.of(axis), judge.limits.of(axis, narrow=True)
        rises = rises | rising
        if wide is None or thin is None:
            continue
        group = str(rule.group)
        groups[group] = groups.get(group, np.zeros(shape, dtype=bool)) | rising
        limit = np.where(narrow, thin, wide)
        size = rise / (np.log(limit) if rule.kind == "ratio" else limit)
        worst = np.maximum(worst, np.where(counts, size, 0.0))
        if axis != "volume":
            fallen = fallen | (counts & _falls(axis, before, after))
    changes = np.sum([group.astype(float) for group in groups.values()], axis=0)
    return np.round(worst, 9), changes, fallen & known & ~rises


def _demands(
    moments: Floats, easier: Indices, harder: Indices, judge: Judge
) -> tuple[Floats, Bools, Bools, Bools]:
    """The worst step of demand; where it rises, where it only falls, and where it is known."""
    assert judge.scale is not None
    shape, little = np.broadcast_shapes(easier.shape, harder.shape), AXES["demand"].little
    worst = np.zeros(shape)
    rises, falls, gains, known = (np.zeros(shape, dtype=bool) for _ in range(4))
    for column, (action, standard) in enumerate(judge.scale.standards.items()):
        own, after = moments[:, column][easier], moments[:, column][harder]
        before = np.fmax(own, judge.start.get(action, np.nan))
        counts = np.isfinite(before) & np.isfinite(after)
        heights = [_heights(one, standard, judge.scale.ratio) for one in (before, after)]
        worst = np.maximum(worst, np.where(counts, heights[1] - heights[0], 0.0))
        least = (little - 1) * np.fmax(before, standard / 2) + 1e-6
        rises |= counts & (after - before > least)
        alone = np.where(np.isfinite(own), own, before)
        falls |= counts & _falls("demand", alone, after)
        gains |= counts & _falls("demand", after, alone)
        known |= counts
    return worst, rises, falls & ~rises & ~gains, known


def _heights(moments: Floats, standard: float, ratio: float) -> Floats:
    """`Scale.height` in arrays."""
    half = standard / 2
    above = 1 / (ratio - 1) + np.log(np.fmax(moments, half) / half) / np.log(ratio)
    return np.asarray(np.where(moments <= half, moments / ((ratio - 1) * half), above))


def _falls(axis: str, before: Floats, after: Floats) -> Bools:
    rule = AXES[axis]
    if rule.kind != "rise":
        floor = rule.floor or 0.0
        ratio = np.maximum(before, floor) / np.maximum(after, floor)
        return np.asarray(ratio > rule.little + 1e-6, dtype=bool)
    return np.asarray(before - after > rule.little + 1e-6, dtype=bool)


def _values(
    columns: Nodes, easier: Indices, harder: Indices
) -> Iterator[tuple[str, tuple[Floats, Floats, Bools, Bools]]]:
    """By axis: both values, where the narrow limit holds, and where the axis counts."""
    arm = columns.arm[harder]
    bearing = np.where(columns.arm[easier] == arm, columns.bearing[easier], 0.0)
    yield "bearing", (bearing, columns.bearing[harder], arm, EVERYWHERE)
    yield "impact", _known(columns.impact, easier, harder)
    ranged = (columns.leads[easier] == columns.leads[harder]) & (columns.leads[harder] >= 0)
    narrow = columns.range_narrow[harder]
    yield "range", (columns.range_deg[easier], columns.range_deg[harder], narrow, ranged)
    same = (columns.works[easier] & columns.works[harder]) != 0
    counts = ~(ranged & columns.lengthening_is_range[harder]) & same
    narrow = columns.lengthening_narrow[harder]
    yield "lengthening", (columns.lengthening[easier], columns.lengthening[harder], narrow, counts)
    yield "speed", _known(columns.speed, easier, harder)
    yield "stability", _known(columns.stability, easier, harder)
    yield "volume", _known(columns.volume, easier, harder)


def _known(column: Floats, easier: Indices, harder: Indices) -> tuple[Floats, Floats, Bools, Bools]:
    before, after = column[easier], column[harder]
    counts = np.isfinite(before) & np.isfinite(after)
    return np.nan_to_num(before), np.nan_to_num(after), NOWHERE, counts


def allowed_by_all(easier: Profile, harder: Profile, judges: Sequence[Judge]) -> bool:
    """The same verdict as `sizes_from` gives, for one pair and from the steps themselves."""
    for judge in judges:
        step = judge.step(easier, harder)
        changes = step.axes.get("changes")
        if step.size > 1 + TOLERANCE or (changes and changes.size > 1 + TOLERANCE):
            return False
        if fallen(step):
            return False
    return True
