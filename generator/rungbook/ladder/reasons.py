"""What was not tolerated, and when another exercise asks for less of it."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from rungbook.ladder.profile import Profile
from rungbook.ladder.steps import worked_on
from rungbook.model.exercise import Exercise

LEAST_SHARE = 0.8
LEAST_ANGLE = 10.0
ROUNDING = 1e-6


def _lower(option: float | None, provoking: float | None) -> bool:
    if option is None or provoking is None or provoking <= ROUNDING:
        return False
    return option <= LEAST_SHARE * provoking + ROUNDING


def _load(option: Profile, provoking: Profile, *_: Exercise) -> bool:
    demands = worked_on(option, provoking, provoking.works)
    return bool(option.moments) and demands is not None and _lower(*demands)


def _reach(one: Profile, lead: tuple[str, str, int]) -> float | None:
    """How far a joint goes toward a movement, whether or not it leads with it."""
    if one.leads == lead:
        return one.range_deg
    joint, axis, sign = lead
    side = "other" if joint.startswith("other-") else "working"
    name = joint.removeprefix("other-")
    angles = one.extremes.get(f"{side} {name} {axis}") or one.extremes.get(f"{name} {axis}")
    return None if angles is None else max(sign * angle for angle in angles)


def _range(option: Profile, provoking: Profile, *_: Exercise) -> bool:
    if provoking.leads is None:
        return False
    reach = _reach(option, provoking.leads)
    return reach is not None and reach <= provoking.range_deg - LEAST_ANGLE + ROUNDING


def _lengthening(option: Profile, provoking: Profile, *_: Exercise) -> bool:
    less = provoking.lengthening_deg - LEAST_ANGLE + ROUNDING
    return bool(set(option.works) & set(provoking.works)) and option.lengthening_deg <= less


def _position(option: Profile, provoking: Profile, *exercises: Exercise) -> bool:
    other = exercises[0].position != exercises[1].position
    return option.stability < provoking.stability or (
        other and option.stability == provoking.stability
    )


def _contracting(index: int) -> Callable[..., bool]:
    def lower(option: Profile, provoking: Profile, *_: Exercise) -> bool:
        def worst(one: Profile) -> float | None:
            found = [
                moment * one.contraction[action][index]
                for action in provoking.works
                if (moment := one.moments.get(action)) is not None
                and any(one.contraction.get(action, ()))
            ]
            return max(found, default=None)

        return _lower(worst(option), worst(provoking))

    return lower


REASONS: Mapping[str, Callable[..., bool]] = {
    "load": _load,
    "range": _range,
    "lengthening": _lengthening,
    "bearing": lambda option, provoking, *_: _lower(option.bearing, provoking.bearing),
    "position": _position,
    "speed": lambda option, provoking, *_: _lower(option.speed_deg_s, provoking.speed_deg_s),
    "volume": lambda option, provoking, *_: _lower(option.volume_s, provoking.volume_s),
    "impact": lambda option, provoking, *_: option.impact < provoking.impact,
    "lifting": _contracting(0),
    "lowering": _contracting(1),
    "holding": _contracting(2),
    "next day": lambda option, provoking, *_: _lower(option.session_nms, provoking.session_nms),
}
