"""Weights, bands, pushes and assistance of an exercise as forces on segments."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rungbook.body.joints import JOINT_LIMB, SEGMENT, Side
from rungbook.body.points import BodyPoint, body_point
from rungbook.load.posture import Setup
from rungbook.load.pulls import OuterForce, pulleys, resisting, where_at
from rungbook.load.resting import MOST_SHARED, NECK, SPINE, limb_of
from rungbook.load.result import Fault
from rungbook.model.acting import Assistance
from rungbook.model.exercise import Exercise

Array = NDArray[np.float64]


@dataclass(frozen=True)
class CarriedShare:
    """Assistance that carries a share of a free limb at some points, about a joint's segment."""

    at: tuple[str, ...]
    points: tuple[BodyPoint, ...]
    pivot: int
    shares: tuple[float, ...]
    index: tuple[int, ...] = ()


@dataclass(frozen=True)
class Forces:
    """All that acts on one way of an exercise besides body weight and contacts."""

    outer: tuple[OuterForce, ...]
    carried: tuple[CarriedShare, ...]
    body_share: tuple[tuple[str, BodyPoint, float], ...]
    effort: float | None
    faults: tuple[Fault, ...]


def forces_of(setup: Setup, stature: float) -> Forces:
    """Reads resistance and assistance of one way.

    Args:
        stature: of the reference person, m: lengths become fractions of it.
    """
    exercise = setup.exercise
    faults: list[Fault] = []
    outer: list[OuterForce] = []
    effort: float | None = None
    for number, part in enumerate(exercise.resistance):
        if part.during in ("up", "down") and part.during != setup.way:
            continue
        if part.effort is not None:
            effort = max(effort or 0.0, part.effort)
        outer += resisting(exercise, number, part, stature, faults)
    helped: list[tuple[int, Assistance, str, Side]] = []
    for number, assist in enumerate(exercise.assist):
        if assist.during in ("up", "down") and assist.during != setup.way:
            continue
        where = where_at(exercise, assist.at, ("assist", number, "at"), faults)
        if assist.weight is not None or assist.force is not None:
            outer += pulleys(exercise, number, assist, where, faults)
        else:
            helped += [(number, assist, name, side) for name, side in where]
    carried, body_share = _shares(setup, helped, faults)
    return Forces(tuple(outer), tuple(carried), tuple(body_share), effort, tuple(faults))


def _shares(
    setup: Setup, helped: list[tuple[int, Assistance, str, Side]], faults: list[Fault]
) -> tuple[list[CarriedShare], list[tuple[str, BodyPoint, float]]]:
    carried: list[CarriedShare] = []
    body: list[tuple[str, BodyPoint, float]] = []
    for side in ("right", "left"):
        for limb in ("leg", "arm"):
            part = [h for h in helped if h[3] == side and body_point(h[2], h[3]).limb == limb]
            if not part:
                continue
            pivot = pivot_segment(setup.exercise, limb, side)
            carried.append(_carried(part, pivot))
    middle: dict[int, list[tuple[int, Assistance, str, Side]]] = {}
    for help_given in helped:
        number, assist, name, side = help_given
        point = body_point(name, side)
        if point.limb != "trunk":
            continue
        if not setup.carried:
            body.append((assist.at, point, 1.0 if assist.share is None else assist.share))
            continue
        lifted = _lifted_from(setup, point)
        if lifted is not None:
            middle.setdefault(lifted, []).append(help_given)
            continue
        message = "the trunk already lies on its surface: help a limb, or leave this out"
        faults.append(Fault("statics-doubtful", message, ("assist", number, "at")))
    carried += [_carried(part, lifted) for lifted, part in middle.items()]
    return carried, _within_body_weight(body, helped, faults)


def _carried(part: list[tuple[int, Assistance, str, Side]], pivot: int) -> CarriedShare:
    return CarriedShare(
        tuple(assist.at for _, assist, _, _ in part),
        tuple(body_point(name, side) for _, _, name, side in part),
        pivot,
        tuple(1.0 if assist.share is None else assist.share for _, assist, _, _ in part),
        tuple(number for number, *_ in part),
    )


def _lifted_from(setup: Setup, point: BodyPoint) -> int | None:
    """The segment that turns where a trunk or head lifts off its surface; None where none does."""
    free, works = setup.supports.free, {action.joint for action in setup.exercise.works}
    if SPINE in free and (limb_of(point) != NECK or "lumbar" in works):
        return SEGMENT["abdomen"] if point.segment != SEGMENT["pelvis"] else None
    return SEGMENT["head"] if limb_of(point) == NECK and NECK in free else None


def _within_body_weight(
    body: list[tuple[str, BodyPoint, float]],
    helped: list[tuple[int, Assistance, str, Side]],
    faults: list[Fault],
) -> list[tuple[str, BodyPoint, float]]:
    """Help of the trunk leaves something to what the body stands on; else it is a fault, and
    halved."""
    total = sum(share for *_, share in body)
    if total <= MOST_SHARED:
        return body
    number = next(n for n, _, name, side in helped if body_point(name, side).limb == "trunk")
    message = (
        f"help carries {total:.0%} of body weight and leaves nothing to the contacts: "
        "write a smaller share"
    )
    faults.append(Fault("not-in-balance", message, ("assist", number, "share")))
    return [(at, point, share / (2 * total)) for at, point, share in body]


_FIRST_SEGMENT = {
    "hip": "thigh", "knee": "shank", "ankle": "foot", "toes": "toes",
    "shoulder": "upper_arm", "elbow": "forearm", "forearm": "forearm", "wrist": "hand",
}  # fmt: skip
_ORDER = tuple(_FIRST_SEGMENT)


def pivot_segment(exercise: Exercise, limb: str, side: str) -> int:
    """The segment that turns at the most proximal joint of `works` in this limb, or its root."""
    joints = [a.joint for a in exercise.works if JOINT_LIMB.get(a.joint) == limb]
    joint = min(joints, key=_ORDER.index) if joints else {"leg": "hip", "arm": "shoulder"}[limb]
    return SEGMENT[f"{_FIRST_SEGMENT[joint]}_{side}"]
