"""What one exercise asks for on every axis: the few numbers that steps are computed from."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

import numpy as np

from rungbook.ladder.limits import is_narrow
from rungbook.load.curves import arrays_of, axis_of
from rungbook.load.others import hard_axes
from rungbook.load.result import Array, Demand, ExerciseLoad
from rungbook.model.exercise import Exercise
from rungbook.model.movement import MOVEMENTS, Action, split_side

IMPACTS = ("none", "both feet", "one foot")
DIGITS = 6
BEARING_POINTS = frozenset({"hand", "hands", "knee", "knees"})


@dataclass(frozen=True, slots=True)
class Profile:
    """Moments in N·m, angles in degrees, speeds in °/s, volume in seconds a week.

    `moments` are the peaks about every action the exercise names, `others` the peaks at every
    joint axis by its name ("other knee flexion", both directions) and the shares of body weight
    on hands and knees ("weight on the hand"). `leads` is the joint, axis and direction
    that the movement leads with, as it goes; None without any. `session_nms` is the impulse of
    one session, `contracting` the peaks while lifting and while lowering, and the peak times the
    share of the time that is held, `extremes` the least and greatest angle of every joint axis.
    `statics` is whether statics gives moments at all: not of a hop, nor of an effort whose maximum
    is unknown. None stands for what is not known.
    Numbers are rounded to 1e-6, so that whoever reads them from a file computes the same steps.
    """

    id: str
    works: tuple[Action, ...]
    statics: bool
    moments: Mapping[Action, float]
    directed: Mapping[str, tuple[float, float]]  # joint axis -> greatest moment, + and - (>= 0)
    bearing: float
    limb: str
    impact: int
    leads: tuple[str, str, int] | None
    range_deg: float
    range_narrow: bool
    lengthening_deg: float
    lengthening_narrow: bool
    lengthening_is_range: bool
    speed_deg_s: float
    stability: int
    volume_s: float | None
    session_nms: float | None
    contracting: Mapping[Action, tuple[float, float, float]]
    extremes: Mapping[str, tuple[float, float]]
    others: Mapping[str, float]
    hard: frozenset[str] = frozenset()  # of the others, where muscles work hard

    def moment(self, action: Action) -> float | None:
        """Peak moment about an action, also one that the exercise does not name."""
        known = self.moments.get(action)
        if known is not None or not self.statics:
            return known
        side = "" if action.joint in ("lumbar", "neck") else _side(action)
        both = self.directed.get(f"{side}{action.joint} {action.axis}")
        return None if both is None else both[0 if action.sign > 0 else 1]

    def demand(self, works: Iterable[Action]) -> float:
        """The worst peak about `works` where any is known, else about the exercise's own."""
        known = [peak for action in works if (peak := self.moment(action)) is not None]
        return max(known or self.moments.values(), default=0.0)


def _side(action: Action) -> str:
    return "other " if action.other_side else "working "


def rounded(value: float) -> float:
    """A number as profiles hold it."""
    return round(float(value), DIGITS)


def profile(exercise: Exercise, load: ExerciseLoad) -> Profile:
    """The profile of an exercise from its load."""
    moving = leading(exercise)
    works = exercise.works
    angles, moments = arrays_of(load.joints)
    directed = _directed(exercise, load, moments)
    return Profile(
        id=exercise.id,
        works=works,
        statics=load.withheld is None,
        moments={d.works: rounded(d.peak_nm) for d in load.demands.values()},
        directed=directed,
        bearing=rounded(load.bearing),
        limb=load.bearing_limb,
        impact=IMPACTS.index(load.impact),
        leads=moving and _direction(exercise, *moving),
        range_deg=rounded(load.range_deg),
        range_narrow=moving is not None and is_narrow(split_side(moving[0])[0], moving[1]),
        lengthening_deg=rounded(load.lengthening_deg),
        lengthening_narrow=_lengthening_narrow(moving, works),
        lengthening_is_range=_lengthens(exercise, moving, works),
        speed_deg_s=rounded(load.peak_speed_deg_s),
        stability=int(load.stability),
        volume_s=rounded(load.time_under_tension_week_s) or None,
        session_nms=_session(exercise, load),
        contracting={
            one.works: _contracting(one)
            for one in load.demands.values()
            if any(one.contraction.values())
        },
        extremes=dict(zip(load.joints, _ranges(angles), strict=True)),
        others=_others(exercise, load, directed),
        hard=frozenset(name.removeprefix("working ") for name in hard_axes(load)),
    )


def _session(exercise: Exercise, load: ExerciseLoad) -> float | None:
    sessions = exercise.dose.sessions if exercise.dose else None
    return rounded(load.volume_nms / sessions) or None if sessions else None


def _contracting(demand: Demand) -> tuple[float, float, float]:
    """Lifting is the way up, lowering the way down, whichever comes first."""
    shares, ways = demand.contraction, demand.per_way
    up, down = (max(0.0, float(ways.get(way, demand.curve_nm).max())) for way in ("up", "down"))
    if demand.basis == "measured":
        up = down = demand.peak_nm
    return (
        rounded(up if shares.get("concentric") else 0.0),
        rounded(down if shares.get("eccentric") else 0.0),
        rounded(demand.peak_nm * shares.get("held", 0.0)),
    )


def leading(exercise: Exercise) -> tuple[str, str] | None:
    """Joint (as written) and movement that the movement leads with, if it is one of a joint."""
    for item in exercise.movement[:1]:
        for joint, movements in item.items():
            for movement in movements:
                if movement in MOVEMENTS.get(split_side(joint)[0], {}):
                    return joint, movement
    return None


def _direction(exercise: Exercise, joint: str, movement: str) -> tuple[str, str, int]:
    """Joint as written, axis, and which way along it the movement goes; a hold by its name."""
    axis, sign = MOVEMENTS[split_side(joint)[0]][movement]
    start, end = exercise.movement[0][joint][movement]
    return joint, axis, -sign if end < start else sign


def _lengthening_narrow(moving: tuple[str, str] | None, works: tuple[Action, ...]) -> bool:
    """By the joint that moves if the muscles cross it, else by the first action named."""
    for action in works:
        if moving is not None and action.joint == split_side(moving[0])[0]:
            return is_narrow(action.joint, action.movement)
    return bool(works) and is_narrow(works[0].joint, works[0].movement)


def _lengthens(
    exercise: Exercise, moving: tuple[str, str] | None, works: tuple[Action, ...]
) -> bool:
    """Whether the far end of the movement is itself how far the muscles are lengthened."""
    if moving is None or len(works) != 1:
        return False
    (joint, other), action = split_side(moving[0]), works[0]
    _, axis, sign = _direction(exercise, *moving)
    return (joint, other, axis) == (action.joint, action.other_side, action.axis) and (
        sign == -action.sign
    )


def _ranges(rows: Array) -> list[tuple[float, float]]:
    """Least and greatest value of each curve; all at once, since there are dozens of them."""
    if not rows.size:
        return []
    ends = np.round([rows.min(axis=1), rows.max(axis=1)], DIGITS)
    return list(zip(*ends.tolist(), strict=True))


def _directed(
    exercise: Exercise, load: ExerciseLoad, moments: Array
) -> dict[str, tuple[float, float]]:
    """Greatest moments either way; nothing has to act at a joint that is moved for the patient."""
    found = {
        name: (max(0.0, high), max(0.0, -low))
        for name, (low, high) in zip(load.joints, _ranges(moments), strict=True)
    }
    moved = moved_for_the_patient(exercise)
    for name in found if moved else ():
        if axis_of(name)[1] in moved:
            found[name] = (0.0, 0.0)
    return found


def moved_for_the_patient(exercise: Exercise) -> frozenset[str]:
    """The joints that a passive exercise moves or stretches: no muscle acts there."""
    if not exercise.passive:
        return frozenset()
    moved = {split_side(joint)[0] for item in exercise.movement for joint in item}
    return frozenset(moved | {action.joint for action in exercise.works})


def _others(
    exercise: Exercise, load: ExerciseLoad, directed: Mapping[str, tuple[float, float]]
) -> dict[str, float]:
    """Peaks at the joints that the exercise is not about, and what hands and knees bear.

    In an exercise of both sides the other side is the same and is left out. Nothing is told where
    statics gives no moments.
    """
    if load.withheld is not None:
        return {}
    both = exercise.sides == "both"
    named = {(action.joint, action.other_side and not both) for action in exercise.works}
    found: dict[str, float] = {}
    for name, (up, down) in directed.items():
        side, joint, _ = axis_of(name)
        other = side == "other"
        if (joint, other) in named or (both and other):
            continue
        found[name.removeprefix("working ")] = max(up, down)
    for reaction in load.reactions:
        point = reaction.at.removeprefix("other-").removeprefix("other ").removeprefix("working ")
        if point in BEARING_POINTS:
            key = f"weight on the {point}"
            found[key] = max(found.get(key, 0.0), abs(rounded(reaction.share)))
    return found
