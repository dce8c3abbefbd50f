"""A drawing-only pass over the computed posture: what rests lies flat, what grips is closed.

The engine knows where a hand or a foot rests, not how fingers lie or where idle arms go. Here
hands lie along what carries them or close round it, soles lie on what they stand on, the head
stays above what is under it, and idle arms go where the text says. No load depends on it.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from rungbook.drawing.body_shapes import INDEX, RADII, RADII_M, SIDES, facing, units
from rungbook.drawing.clearing import clear_of_ground
from rungbook.drawing.furniture import contact_points
from rungbook.load.result import PHASES, Surface
from rungbook.model.exercise import Exercise

Array = NDArray[np.float64]
Points = dict[str, Array]

ROUND = frozenset({"rail", "bar", "bars", "handle", "stick", "pole", "rope", "grip"})
_ON_SHOULDERS = frozenset({"upper-back", "shoulder", "shoulders"})
_PALM_M, _FINGER_M = RADII["wrist"], RADII["fingertip"]  # how deep a flat hand's points lie
# What lies how deep in the skin, by the part that rests.
_LAID_M: Mapping[str, Mapping[str, float]] = {
    at: {name: RADII[name] for name in names}
    for at, names in (
        ("foot", ("heel", "ball", "toe")), ("forefoot", ("ball", "toe")), ("heel", ("heel",)),
        ("elbow", ("elbow",)), ("forearm", ("elbow", "wrist", "fingertip")),
    )
}  # fmt: skip
_HEAD_M = 0.100


@dataclass(frozen=True)
class Pose:
    """Points (11, 3) by name as they are drawn, and which hands are closed, by side."""

    points: Mapping[str, Array]
    closed: frozenset[str]


def pose(exercise: Exercise, points: Mapping[str, Array], surfaces: Iterable[Surface]) -> Pose:
    """The posture as it is drawn."""
    drawn: Points = {name: np.array(place) for name, place in points.items()}
    surfaces = tuple(surfaces)
    closed = {side for side in SIDES if _holds(exercise, side)}
    ahead = facing(drawn)
    _free_arms(exercise, drawn, surfaces, ahead)
    _helping_arm(exercise, drawn, closed)
    for surface in surfaces:
        side = "other" if surface.at.startswith("other-") else "working"
        bare = surface.at.removeprefix("other-")
        there = np.array(surface.phases)
        if bare in ("hand", "wrist"):
            if is_round(surface.kind):
                closed.add(side)
            _lay_hand(drawn, side, surface, there, ahead, closed=side in closed)
        elif bare in _LAID_M:
            _lay(drawn, side, surface, there, _LAID_M[bare])
            if bare == "forefoot":
                _lift_heel(drawn, side, surface, there)
    _straighten_hands(exercise, drawn, surfaces)
    clear_of_ground(drawn, surfaces)
    _clear_head(drawn, surfaces)
    for side in closed:
        wrist, tip = drawn[f"{side} wrist"], drawn[f"{side} fingertip"]
        tip[:] = wrist + 0.55 * (tip - wrist)
    return Pose(drawn, frozenset(closed))


def one_wall(surfaces: tuple[Surface, ...]) -> tuple[Surface, ...]:
    """The surfaces, all that is touched on walls that face one way being one wall."""
    first: dict[tuple[float, ...], Surface] = {}
    found = []
    for one in surfaces:
        if one.kind == "wall":
            wall = first.setdefault(tuple(round(v, 2) for v in one.normal), one)
            normal = np.array(one.normal)
            away = float((np.array(wall.origin_m) - np.array(one.origin_m)) @ normal)
            x, y, z = (float(v) for v in np.array(one.origin_m) + away * normal)
            one = replace(one, origin_m=(x, y, z))
        found.append(one)
    return tuple(found)


def is_round(kind: str) -> bool:
    """Whether a hand closes round it: one of the key's words says so."""
    return bool(ROUND & set(kind.split("-")))


def _holds(exercise: Exercise, side: str) -> bool:
    """Whether something is held in this hand."""
    hand = {"working": ("hand", "hands"), "other": ("other-hand", "hands")}[side]
    names = (*hand, "hand") if exercise.sides == "both" else hand
    held = any(
        item.at in names and (item.weight is not None or item.band is not None)
        for item in exercise.resistance
    )
    return held or "stick" in exercise.equipment


def _height(places: Array, surface: Surface) -> Array:
    """How far above a surface points (p, 3) lie, metres."""
    return np.asarray((places - np.array(surface.origin_m)) @ np.array(surface.normal))


def _lay_hand(
    points: Points, side: str, surface: Surface, there: Array, ahead: Array, *, closed: bool
) -> None:
    normal = np.array(surface.normal)
    wrist, tip = points[f"{side} wrist"], points[f"{side} fingertip"]
    length = np.linalg.norm(tip - wrist, axis=-1, keepdims=True)
    along = wrist - points[f"{side} elbow"]
    up = np.tile([0.0, 0.0, 1.0], (PHASES, 1)) if abs(normal[2]) < 0.5 else ahead
    flat = _flat(along / np.maximum(np.linalg.norm(along, axis=-1, keepdims=True), 1e-9), normal)
    flat = flat + 0.5 * _flat(up, normal)
    size = np.linalg.norm(flat, axis=-1, keepdims=True)
    flat = np.where(size > 1e-3, flat / np.maximum(size, 1e-9), ahead)
    lift = _height(wrist, surface)
    settled = np.clip(_PALM_M - lift, -0.06, 0.06)
    points[f"{side} wrist"] = wrist = np.where(
        there[:, None], wrist + settled[:, None] * normal, wrist
    )
    down = (_FINGER_M - _height(wrist, surface))[:, None] * normal
    if closed:
        down = 0.0 * down
    points[f"{side} fingertip"] = np.where(there[:, None], wrist + length * flat + down, tip)


def _flat(vectors: Array, normal: Array) -> Array:
    return np.asarray(vectors - (vectors @ normal)[:, None] * normal)


def _lay(
    points: Points, side: str, surface: Surface, there: Array, depths: Mapping[str, float]
) -> None:
    """Points of a limb come to lie as deep in the skin as they are, at most 6 cm away."""
    normal = np.array(surface.normal)
    for name, depth in depths.items():
        place = points[f"{side} {name}"]
        move = np.clip(depth - _height(place, surface), -0.06, 0.06)
        points[f"{side} {name}"] = np.where(there[:, None], place + move[:, None] * normal, place)


def _lift_heel(points: Points, side: str, surface: Surface, there: Array) -> None:
    """Of a foot that stands on its ball: lifted, or as low as the sole."""
    heel = points[f"{side} heel"]
    up = np.maximum(RADII["heel"] - _height(heel, surface), 0.0)
    points[f"{side} heel"] = np.where(
        there[:, None], heel + up[:, None] * np.array(surface.normal), heel
    )


def _straighten_hands(exercise: Exercise, points: Points, surfaces: tuple[Surface, ...]) -> None:
    """A hand that has left its surface goes on from the forearm, unless its wrist is written."""
    written = {joint for item in exercise.movement for joint in item} | set(exercise.posture)
    for side in SIDES:
        prefix = "other-" if side == "other" else ""
        if {"wrist", "other-wrist"} & written:
            continue
        rests = np.zeros(PHASES, bool)
        for surface in surfaces:
            if surface.at in (prefix + "hand", prefix + "wrist"):
                rests |= np.array(surface.phases)
        elbow, wrist = points[f"{side} elbow"], points[f"{side} wrist"]
        tip = points[f"{side} fingertip"]
        length = np.linalg.norm(tip - wrist, axis=-1, keepdims=True)
        straight = wrist + length * units(wrist - elbow)
        bent = (units(tip - wrist) * units(wrist - elbow)).sum(-1) < 0.77  # more than 40 degrees
        points[f"{side} fingertip"] = np.where((bent & ~rests)[:, None], straight, tip)


def _clear_head(points: Points, surfaces: tuple[Surface, ...]) -> None:
    """Lift the head where it would sink into the floor or into what carries the trunk."""
    reach = _HEAD_M * RADII_M[INDEX["skull"]] / 0.088
    floor = points["head"][:, 2] - reach
    below = np.minimum(floor, 0.0)
    for surface in surfaces:
        if surface.at in ("upper-back", "head", "back", "pelvis") and surface.normal[2] > 0.5:
            below = np.minimum(below, _height(points["head"], surface) - reach)
    points["head"] = points["head"] - np.minimum(below, 0.0)[:, None] * np.array([0.0, 0.0, 1.0])
    points["neck"] = points["neck"] - 0.4 * np.minimum(below, 0.0)[:, None] * np.array([0, 0, 1.0])


def _free_arms(
    exercise: Exercise, points: Points, surfaces: tuple[Surface, ...], ahead: Array
) -> None:
    """Put arms that neither move, work, hold nor rest where the text or the position has them."""
    named = getattr(exercise, "arms", None)
    style = named or ("on-thighs" if exercise.position in ("sitting", "reclined") else None)
    if style is None and any(surface.at == "seat" for surface in surfaces):
        style = "crossed"  # hanging, they would go through the seat
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


def _helping_arm(exercise: Exercise, points: Points, closed: set[str]) -> None:
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
