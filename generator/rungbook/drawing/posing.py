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

from rungbook.drawing.arms import free_arms, helping_arm, pushing_arm
from rungbook.drawing.body_shapes import INDEX, RADII, RADII_M, SIDES, facing, units
from rungbook.drawing.clearing import clear_of_ground
from rungbook.drawing.furniture import is_couch
from rungbook.load.result import PHASES, Surface
from rungbook.model.exercise import Exercise

Array = NDArray[np.float64]
Points = dict[str, Array]

ROUND = frozenset({"rail", "bar", "bars", "handle", "stick", "pole", "rope", "grip"})
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
    free_arms(exercise, drawn, surfaces, ahead)
    helping_arm(exercise, drawn, closed)
    pushing_arm(exercise, drawn, closed)
    _helping_leg(exercise, drawn)
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
    clear_of_ground(drawn, surfaces, ahead, couch=any(is_couch(one.kind) for one in surfaces))
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


def on_its_couch(surfaces: tuple[Surface, ...], equipment: Iterable[str]) -> tuple[Surface, ...]:
    """The surfaces, what lies on the floor lying on the couch that is written instead."""
    couch = next((one for one in equipment if is_couch(one)), None)
    lies = {"pelvis", "upper-back", "head"} & {one.at for one in surfaces if one.kind == "floor"}
    if couch is None or len(lies) < 2:
        return surfaces
    return tuple(
        replace(one, kind=couch) if one.kind == "floor" and abs(one.origin_m[2]) < 0.05 else one
        for one in surfaces
    )


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


def _helping_leg(exercise: Exercise, points: Points) -> None:
    """The other foot goes along beneath the ankle that it carries."""
    if any("leg" in (item.by or "").split("-") for item in exercise.assist):
        shank = points["working ankle"] - points["working knee"]
        beneath = 0.06 * units(points["working toe"] - points["working heel"])
        beneath[:, 2] = np.maximum(beneath[:, 2], RADII["ankle"] - points["working ankle"][:, 2])
        moved = points["other knee"] + 0.96 * shank + beneath - points["other ankle"]
        for name in ("ankle", "heel", "ball", "toe"):
            points[f"other {name}"] = points[f"other {name}"] + moved


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
