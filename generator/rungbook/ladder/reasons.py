"""What was not tolerated, and how much of it another exercise still asks for."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass

from rungbook.ladder.profile import Profile
from rungbook.ladder.steps import worked_on
from rungbook.model.exercise import Exercise
from rungbook.model.movement import Action

ROUNDING = 1e-6  # to which profiles are rounded
SHARES = 10_000  # as finely as they are told, so that browser and command line order alike
SETTLED_DEG = 0.5  # postures are no surer: less than this is the same angle
LEAST_ARC = 1.0  # degrees: what moves less is no arc to take a part of


@dataclass(frozen=True, slots=True)
class Eased:
    """What is left of a reason: its measure before and now, in its own unit.

    `share` is how much of it that is; of an angle by how much of the arc it is less. None where
    the measure is no amount: a position, a class of impact.
    """

    before: float
    now: float
    share: float | None


def rounded_share(share: float) -> float:
    """A share as it is compared."""
    return math.floor(share * SHARES + 0.5) / SHARES


def _part(option: float | None, provoking: float | None) -> Eased | None:
    if option is None or provoking is None or provoking <= ROUNDING:
        return None
    if option >= provoking - ROUNDING:
        return None
    return Eased(provoking, option, rounded_share(option / provoking))


def _load(option: Profile, provoking: Profile, *_: Exercise) -> Eased | None:
    demands = worked_on(option, provoking, provoking.works)
    return _part(*demands) if option.moments and demands is not None else None


def _extremes(one: Profile, lead: tuple[str, str, int]) -> tuple[float, float] | None:
    joint, axis, _ = lead
    side = "other" if joint.startswith("other-") else "working"
    name = joint.removeprefix("other-")
    return one.extremes.get(f"{side} {name} {axis}") or one.extremes.get(f"{name} {axis}")


def _reach(one: Profile, lead: tuple[str, str, int]) -> float | None:
    """How far a joint goes toward a movement, whether or not it leads with it."""
    if one.leads == lead:
        return one.range_deg
    angles = _extremes(one, lead)
    return None if angles is None else max(lead[2] * angle for angle in angles)


def _angle(option: float | None, provoking: float, whole: Profile) -> Eased | None:
    """An angle less far; the share is of the arc that the provoking exercise moves through."""
    if option is None or option > provoking - SETTLED_DEG:
        return None
    ends = _extremes(whole, whole.leads) if whole.leads else None
    arc = ends[1] - ends[0] if ends else 0.0
    share = rounded_share(max(0.0, 1 - (provoking - option) / arc)) if arc >= LEAST_ARC else None
    return Eased(provoking, option, share)


def _range(option: Profile, provoking: Profile, *_: Exercise) -> Eased | None:
    if provoking.leads is None:
        return None
    return _angle(_reach(option, provoking.leads), provoking.range_deg, provoking)


def _lengthening(option: Profile, provoking: Profile, *_: Exercise) -> Eased | None:
    if not set(option.works) & set(provoking.works):
        return None
    if provoking.lengthening_deg > LEAST_ARC:
        return _angle(option.lengthening_deg, provoking.lengthening_deg, provoking)
    long = {action: far for action in provoking.works
            if (far := _drawn_long(provoking, action)) is not None}  # fmt: skip
    action = max(long, key=lambda one: long[one], default=None)
    if action is None:
        return None
    return _angle(_drawn_long(option, action), long[action], provoking)


def _drawn_long(one: Profile, action: Action) -> float | None:
    """How far muscles are lengthened past the anatomical position, degrees."""
    return _reach(one, (_written(action), action.axis, -action.sign))


def _written(action: Action) -> str:
    return f"other-{action.joint}" if action.other_side else action.joint


def _next_day(option: Profile, provoking: Profile, *_: Exercise) -> Eased | None:
    """The work of one session; where that is the same, days of rest between."""
    if option.session_nms == provoking.session_nms:
        return _part(option.volume_s, provoking.volume_s)
    return _part(option.session_nms, provoking.session_nms)


def _position(option: Profile, provoking: Profile, *exercises: Exercise) -> Eased | None:
    other = exercises[0].position != exercises[1].position
    less = option.stability < provoking.stability or (
        other and option.stability == provoking.stability
    )
    return Eased(provoking.stability, option.stability, None) if less else None


def _impact(option: Profile, provoking: Profile, *_: Exercise) -> Eased | None:
    less = option.impact < provoking.impact
    return Eased(provoking.impact, option.impact, None) if less else None


def contracting(one: Profile, provoking: Profile, index: int) -> float | None:
    """N·m while lifting (0), lowering (1) or holding (2), about what provokes: the worst.

    An action that an exercise does not name works as those that it names do.
    """
    found = []
    own = any(peaks[index] for peaks in one.contracting.values())
    for action in provoking.works:
        named = one.contracting.get(action)
        peak = named[index] if named else one.moment(action) if one.contracting else None
        if peak is not None:
            found.append(peak if named or own else 0.0)
    return max(found, default=None)


def _contracting(index: int) -> Callable[..., Eased | None]:
    def less(option: Profile, provoking: Profile, *_: Exercise) -> Eased | None:
        return _part(
            contracting(option, provoking, index), contracting(provoking, provoking, index)
        )

    return less


REASONS: Mapping[str, Callable[..., Eased | None]] = {
    "load": _load,
    "range": _range,
    "lengthening": _lengthening,
    "bearing": lambda option, provoking, *_: _part(option.bearing, provoking.bearing),
    "position": _position,
    "speed": lambda option, provoking, *_: _part(option.speed_deg_s, provoking.speed_deg_s),
    "volume": lambda option, provoking, *_: _part(option.volume_s, provoking.volume_s),
    "impact": _impact,
    "lifting": _contracting(0),
    "lowering": _contracting(1),
    "holding": _contracting(2),
    "next day": _next_day,
}
