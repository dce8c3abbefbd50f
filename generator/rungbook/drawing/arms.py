"""Idle arms: where the text, the position or what they hold has them. No load depends on it."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from rungbook.drawing.body_shapes import SIDES, facing, units
from rungbook.drawing.furniture import contact_points
from rungbook.load.result import Surface
from rungbook.model.exercise import Exercise

Array = NDArray[np.float64]
Points = dict[str, Array]

_ON_SHOULDERS = frozenset({"upper-back", "shoulder", "shoulders"})


def free_arms(
    exercise: Exercise, points: Points, surfaces: tuple[Surface, ...], ahead: Array
) -> None:
    """Put arms that neither move, work, hold nor rest where the text or the position has them."""
    named = getattr(exercise, "arms", None)
    style = named or ("on-thighs" if exercise.position in ("sitting", "reclined") else None)
    if style is None and any(surface.at == "seat" for surface in surfaces):
        style = "crossed"  # hanging, they would go through the seat
    if style is None and any("catch" in key for key in exercise.balance):
        style = "held-out"
    if any(item.at in _ON_SHOULDERS for item in exercise.resistance):
        style = None if "rucksack" in exercise.equipment else "on-bar"
    if style is None:
        return
    for side in SIDES:
        if not _idle(exercise, side, surfaces):
            continue
        shoulder = points[f"{side} shoulder"]
        target = _target(style, points, side, ahead)
        if target is None:
            continue
        _reach(points, side, shoulder, target, style)


def helping_arm(exercise: Exercise, points: Points, closed: set[str]) -> None:
    """The other arm comes to what it carries or to the stick that both hands hold."""
    for item in exercise.assist:
        by = (item.by or "").split("-")
        if "stick" in by:
            across = points["other shoulder"] - points["working shoulder"]
            target = points["working wrist"] + 0.9 * across
        elif "arm" in by or "hands" in by:
            target = contact_path(item.at, points)
        else:
            continue
        closed.add("other")
        _reach(points, "other", points["other shoulder"], target, "held-out")


def pushing_arm(exercise: Exercise, points: Points, closed: set[str]) -> None:
    """Where nothing else is there to push against, the other hand is: on hand or forehead."""
    for item in exercise.resistance:
        at = item.at or ""
        if item.push is None or not by_own_hand(exercise, at):
            continue
        target = contact_path(at, points)
        if at == "head":
            target = target + 0.11 * facing(points)
        closed.discard("other")
        _reach(points, "other", points["other shoulder"], target, "held-out")


def by_own_hand(exercise: Exercise, at: str) -> bool:
    """Whether a push at this point can only come from the own other hand."""
    soft = {"pillow", "cushion", "towel", "chair", "plinth", "mat"}
    against = any(one not in soft for one in exercise.equipment)
    words = f"{exercise.title} {' '.join(exercise.text.values())}".casefold()
    return at in ("hand", "head") and not against and "wall" not in words


def contact_path(at: str, points: Mapping[str, Array]) -> Array:
    """Where a named body point lies over the movement, (11, 3)."""
    places = [contact_points(at, points, phase) for phase in range(len(points["head"]))]
    return np.stack([place.mean(0) for place in places])


def _idle(exercise: Exercise, side: str, surfaces: tuple[Surface, ...]) -> bool:
    prefix = "other-" if side == "other" else ""
    arm = ("shoulder", "elbow", "forearm", "wrist")
    both = exercise.sides == "both"
    names = {*(prefix + joint for joint in arm), *(arm if both else ())}
    written = {joint for item in exercise.movement for joint in item} | set(exercise.posture)
    if names & written:
        return False
    if any(action.joint in arm and (both or side == "working") for action in exercise.works):
        return False
    hands = {prefix + "hand", prefix + "forearm", prefix + "elbow", prefix + "wrist"}
    hands |= {"hands"} | ({"hand"} if both else set())
    if any(surface.at in hands for surface in surfaces):
        return False
    loaded = {item.at for item in exercise.resistance} | {item.at for item in exercise.assist}
    return not hands & loaded


def _target(style: str, points: Points, side: str, ahead: Array) -> Array | None:
    opposite = "other" if side == "working" else "working"
    if style == "crossed":
        across = points[f"{opposite} shoulder"] - points[f"{side} shoulder"]
        trunk = points["lumbar"] - points["chest"]
        return np.asarray(points[f"{side} shoulder"] + 0.6 * across + 0.4 * trunk + 0.14 * ahead)
    if style == "on-bar":
        outward = points[f"{side} shoulder"] - points[f"{opposite} shoulder"]
        return np.asarray(points[f"{side} shoulder"] + 0.3 * outward + [0, 0, 0.05] - 0.06 * ahead)
    if style == "on-thighs":
        hip, knee = points[f"{side} hip"], points[f"{side} knee"]
        thigh = knee - hip
        square = _square(thigh, points["chest"] - points["pelvis"])
        return np.asarray(hip + 0.62 * thigh + 0.088 * square)
    if style == "held-out":
        return np.asarray(points[f"{side} shoulder"] + 0.55 * ahead)
    if style == "by-the-side":
        trunk = points["pelvis"] - points["chest"]
        size = np.linalg.norm(trunk, axis=-1, keepdims=True)
        return np.asarray(points[f"{side} shoulder"] + 0.53 * trunk / size)
    return None


def _square(along: Array, toward: Array) -> Array:
    unit = along / np.maximum(np.linalg.norm(along, axis=-1, keepdims=True), 1e-9)
    rest = toward - (toward * unit).sum(-1, keepdims=True) * unit
    return np.asarray(rest / np.maximum(np.linalg.norm(rest, axis=-1, keepdims=True), 1e-9))


def _reach(points: Points, side: str, shoulder: Array, target: Array, style: str) -> None:
    """Bend the arm so that the wrist comes to the target: the elbow hangs and points back."""
    upper = np.linalg.norm(points[f"{side} elbow"] - shoulder, axis=-1, keepdims=True)
    lower = np.linalg.norm(
        points[f"{side} wrist"] - points[f"{side} elbow"], axis=-1, keepdims=True
    )
    hand = np.linalg.norm(
        points[f"{side} fingertip"] - points[f"{side} wrist"], axis=-1, keepdims=True
    )
    line = target - shoulder
    span = np.linalg.norm(line, axis=-1, keepdims=True)
    reach = np.clip(span, np.abs(upper - lower) + 0.02, upper + lower - 1e-3)
    unit = line / np.maximum(span, 1e-9)
    along = (upper**2 - lower**2 + reach**2) / (2 * reach)
    out = np.sqrt(np.maximum(upper**2 - along**2, 0.0))
    back = np.array([0.0, 0.0, -1.0]) - 0.8 * facing(points)
    sideways = 0.35 * (points[f"{side} shoulder"] - points["chest"]) / 0.2
    bend = _square(unit, back + sideways)
    points[f"{side} elbow"] = shoulder + along * unit + out * bend
    points[f"{side} wrist"] = wrist = shoulder + reach * unit
    onward = unit
    if style == "on-thighs":
        onward = points[f"{side} knee"] - points[f"{side} hip"]
    elif style == "crossed":
        opposite = "other" if side == "working" else "working"
        onward = points[f"{opposite} shoulder"] - points[f"{side} shoulder"]
    points[f"{side} fingertip"] = wrist + hand * units(onward)
