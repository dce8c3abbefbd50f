"""What the body rests on, as boxes in the room: chairs, benches, counters, steps, walls.

An equipment key is the library's own word; its shape follows from the part of the body that
rests on it, and from a few plain words within the key.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from rungbook.drawing.body_shapes import INDEX, SIDES
from rungbook.drawing.body_shapes import facing as facing_of
from rungbook.drawing.boxes import (
    COUCH_HALF_M,
    LOW_M,
    Ball,
    Cuboid,
    armrests,
    box,
    on_legs,
    rail,
    thin,
)
from rungbook.load.result import Surface

Array = NDArray[np.float64]

_ENDS = {
    "foot": ("heel", "toe"), "forefoot": ("ball", "toe"), "heel": ("heel",),
    "ankle": ("ankle",), "shank": ("knee", "ankle"), "knee": ("knee",), "thigh": ("hip", "knee"),
    "hand": ("wrist", "fingertip"), "wrist": ("wrist",), "forearm": ("elbow", "wrist"),
    "elbow": ("elbow",), "shoulder": ("shoulder",), "hip": ("hip",),
}  # fmt: skip
_PLURALS = {"feet": "foot", "forefeet": "forefoot", "thighs": "thigh", "knees": "knee"}
_MIDDLE = {
    "pelvis": ("pelvis",), "seat": ("pelvis",), "upper-back": ("chest",), "back": ("chest",),
    "head": ("head",), "chest": ("chest",), "trunk": ("pelvis", "chest"),
}  # fmt: skip


_TRUNK = frozenset(
    {"seat", "pelvis", "thigh", "thighs", "upper-back", "back", "head", "hip", "shoulder"}
)
_BACK = frozenset({"upper-back", "back", "head"})
_COUCH = ("plinth", "bed", "couch", "bench", "sofa")
_SOFT = ("pillow", "cushion", "sheet", "towel")
# Beyond what rests: backward, sideways; forward, sideways.
_FOR_SEAT = np.array([[0.20, 0.16, 0], [0.26, 0.16, 0]])
_FOR_HANDS = np.array([[0.06, 0.12, 0], [0.30, 0.12, 0]])
_FOAM_M = 0.06
_SINKS_M = 0.008  # what a cushion gives way
_LEGS = [INDEX[f"{side} {name}"] for side in SIDES for name in ("thigh", "knee", "calf", "ankle",
         "heel", "ball", "toe")]  # fmt: skip
_HANDS = [INDEX[f"{side} {name}"] for side in SIDES for name in ("knuckles", "fingertip")]
_NOT_ARMS = [
    row for name, row in INDEX.items()
    if name.split()[-1] not in ("elbow", "forearm", "wrist", "knuckles", "fingertip")
]  # fmt: skip


@dataclass(frozen=True)
class Furniture:
    """A piece of furniture, and the lowest it reaches: below 0 where the body lies on it."""

    kind: str
    shapes: tuple[Cuboid | Ball, ...]

    @cached_property
    def bottom_m(self) -> float:
        """The lowest corner's height."""
        boxes = [shape.corners for shape in self.shapes if isinstance(shape, Cuboid)]
        return min((float(box[:, 2].min()) for box in boxes), default=0.0)


def contact_points(at: str, points: Mapping[str, Array], phase: int) -> Array:
    """The skeleton's points (n, 3) that stand for a named part of the body."""
    name = at.removeprefix("other-").removeprefix("working-")
    sides: Sequence[str] = ("other",) if at.startswith("other") else ("working",)
    if name in _PLURALS or (name.endswith("s") and name.removesuffix("s") in _ENDS):
        name, sides = _PLURALS.get(name, name.removesuffix("s")), ("working", "other")
    names = _MIDDLE.get(name) or tuple(
        f"{side} {end}" for side in sides for end in _ENDS.get(name, ())
    )
    found = [points[n][phase] for n in names if n in points]
    return np.array(found) if found else np.zeros((0, 3))


def furnish(surfaces: Iterable[Surface], body: Body) -> tuple[Furniture, ...]:
    """Everything but the floor, one thing for each kind at each height.

    Each stands where the body first rests on it, and no part of the body is in it.
    """
    groups: dict[tuple[object, ...], list[Surface]] = {}
    for surface in surfaces:
        if surface.kind != "floor" or surface.origin_m[2] > 0.1:  # a wedge, a raised end
            height = 0.0 if surface.kind == "wall" else round(surface.origin_m[2], 1)
            key = (surface.kind, *(round(v, 1) for v in surface.normal), height)
            groups.setdefault(key, []).append(surface)
    return tuple(_thing(group, body) for group in groups.values())


@dataclass(frozen=True, eq=False)
class Body:
    """What furniture has to fit: points and circles (c, 11, 3) with radii (c,) over the movement.

    `facing` (3,) is where the chest points at the start.
    """

    points: Mapping[str, Array]
    circles: Array
    radii: Array
    facing: Array

    @cached_property
    def axes(self) -> Array:
        """Forward, to the left and up (3, 3), level."""
        forward = np.array([self.facing[0], self.facing[1], 0.0])
        length = float(np.linalg.norm(forward))
        forward = forward / length if length > 0.2 else np.array([1.0, 0.0, 0.0])
        return np.stack([forward, np.cross([0.0, 0.0, 1.0], forward), [0.0, 0.0, 1.0]])

    @cached_property
    def along(self) -> Array:
        """Centres of the circles along the axes, (c, 11, 3)."""
        return np.asarray(self.circles @ self.axes.T)

    def steepness(self, phase: int) -> float:
        """How upright the trunk is: 0 lying, 1 upright."""
        trunk = self.points["chest"][phase] - self.points["pelvis"][phase]
        return float(abs(trunk[2]) / max(1e-9, float(np.linalg.norm(trunk))))

    def reaches(self, names: Sequence[int], low: Array, high: Array) -> tuple[float, float]:
        """How far back and forward circles reach at heights and sides between two corners.

        (inf, -inf) where nothing is there.
        """
        where, radius = self.along[names], self.radii[names][:, None]
        beyond = np.maximum(np.maximum(low - where, where - high), 0.0)[..., 1:]
        half = radius**2 - (beyond**2).sum(-1)
        there = half > 0
        if not there.any():
            return np.inf, -np.inf
        reach = np.sqrt(np.maximum(half, 0.0))
        return (
            float(np.where(there, where[..., 0] - reach, np.inf).min()),
            float(np.where(there, where[..., 0] + reach, -np.inf).max()),
        )


def _thing(group: list[Surface], body: Body) -> Furniture:
    first = group[0]
    phase = first.phases.index(True) if True in first.phases else 0
    where = [contact_points(surface.at, body.points, phase) for surface in group]
    spots = np.concatenate([w for w in where if len(w)] or [np.array([first.origin_m])])
    if abs(first.normal[2]) < 0.5:
        return Furniture(first.kind, _upright(first, spots, body.points, np.array(first.normal)))
    ats = bare_names(surface.at for surface in group)
    return Furniture(first.kind, _level(first.kind, ats, first.origin_m[2], spots, body, phase))


def _upright(
    surface: Surface, spots: Array, points: Mapping[str, Array], normal: Array
) -> tuple[Cuboid, ...]:
    """A wall, or the back of a seat: thin, behind the plane that is touched."""
    flat = np.array([normal[0], normal[1], 0.0]) / max(1e-9, float(np.hypot(normal[0], normal[1])))
    axes = np.stack([flat, np.cross([0.0, 0.0, 1.0], flat), [0.0, 0.0, 1.0]])
    everything = np.stack(list(points.values()))
    if surface.kind == "wall":
        low, high = 0.0, float(everything[..., 2].max()) + 0.12
    else:
        low, high = float(spots[:, 2].min()) - 0.35, float(spots[:, 2].max()) + 0.12
    middle = spots.mean(0)
    middle += flat * float((np.array(surface.origin_m) - middle) @ flat) - flat * 0.03
    middle[2] = (low + high) / 2
    return (Cuboid(middle, np.array([0.03, 0.45, (high - low) / 2]), axes),)


def _level(
    kind: str, ats: set[str], top: float, spots: Array, body: Body, phase: int
) -> tuple[Cuboid | Ball, ...]:
    axes = body.axes
    across = spots @ axes.T
    low, high = across.min(0), across.max(0)
    if "ball" in kind:
        middle = spots.mean(0)
        return (Ball(np.array([middle[0], middle[1], top / 2]), max(top / 2, 0.05)),)
    if "foam" in kind and top < LOW_M:  # its height is not written: it gives way
        low, high = low - 0.10, high + 0.10
        return (box([*low[:2], top - _FOAM_M], [*high[:2], top], axes),)
    if _is(kind, _SOFT):
        return thin(low - 0.12, high + 0.12, top, axes)
    steepness = body.steepness(phase)
    if ats <= _BACK and top > 0.1 and 0.2 < steepness < 0.95:
        return (_backrest(body.points, phase),)
    if ats & _TRUNK and (top < LOW_M or (steepness <= 0.95 and "seat" not in ats)):
        everything = np.stack([p[phase] for p in body.points.values()]) @ axes.T
        low, high = everything.min(0) - 0.10, everything.max(0) + 0.10
        if not is_couch(kind) or top > LOW_M:
            return on_legs(low, high, top, axes, 0.07)
        along = body.points["chest"][phase] - body.points["pelvis"][phase]
        side = int(abs(along @ axes[0]) > abs(along @ axes[1]))  # the axis of its width
        middle = float(body.points["chest"][phase] @ axes[side])
        low[side], high[side] = middle - COUCH_HALF_M, middle + COUCH_HALF_M
        lowest = float((body.circles[..., 2] - body.radii[:, None]).min())
        return on_legs(low, high, top, axes, 0.07, couch=True, lowest=lowest)
    if ats & _TRUNK:
        return _seat(kind, top, across, body)
    if _is(kind, ("rail", "bar", "handle", "stick", "pole")):
        return rail(kind, across, top, axes)
    if "chair" in kind and ats <= {"hand", "wrist", "forearm", "elbow"}:
        return armrests(across, top, axes)
    if ats & {"hand", "wrist", "forearm", "elbow"} and top > 0.3:
        return _worktop(kind, ats, top, spots, body)
    low, high = low - np.array([0.07, 0.09, 0]), high + np.array([0.07, 0.09, 0])
    if top < 0.03:
        return thin(low, high, top, axes)
    return (box([low[0], low[1], 0], [high[0], high[1], top], axes),)


def _seat(kind: str, top: float, across: Array, body: Body) -> tuple[Cuboid, ...]:
    """A seat as deep as thighs and calves leave room for, at most 0.46 m."""
    low, high = across.min(0) - _FOR_SEAT[0], across.max(0) + _FOR_SEAT[1]
    low[2], high[2] = 0.0, top - _SINKS_M
    under = high - [0.0, 0.0, 0.05 - _SINKS_M]
    legs_to = min(high[0], body.reaches(_LEGS, low, under)[0])
    low = np.array([*low[:2], under[2]])
    high[0] = max(min(high[0], body.reaches(_LEGS, low, high)[0]), low[0] + 0.07)
    back = (box([low[0] - 0.03, low[1], top], [low[0], high[1], top + 0.42], body.axes),)
    return (
        *(back if "chair" in kind else ()),
        *on_legs(low, high, top, body.axes, 0.05, legs_to=legs_to),
    )


def _worktop(kind: str, ats: set[str], top: float, spots: Array, body: Body) -> tuple[Cuboid, ...]:
    """A counter with its cupboard, or a table on legs, where the body leans to it."""
    toward = spots.mean(0) - body.points["pelvis"][0]
    if abs(toward @ body.axes[1]) > 1.5 * abs(toward @ body.axes[0]):
        body = replace(body, facing=toward)
    across = spots @ body.axes.T
    low, high = across.min(0) - _FOR_HANDS[0], across.max(0) + _FOR_HANDS[1]
    low[2], high[2] = top - 0.045, top - _SINKS_M
    if "hand" not in ats:  # it ends where the hand hangs over its edge
        high[0] = max(across[:, 0].max() - 0.02, min(high[0], body.reaches(_HANDS, low, high)[0]))
    plate = max(low[0], min(body.reaches(_NOT_ARMS, low, high)[1], across[:, 0].min() + 0.05))
    if _is(kind, ("table", "desk")) and body.steepness(0) > 0.8:
        outward = np.sign(across[:, 1].mean()) if np.ptp(across[:, 1]) < 0.1 else 0.0
        low[1] = min(low[1], -0.015 if outward > 0 else -0.36)
        high[1] = max(high[1], 0.015 if outward < 0 else 0.36)
        return on_legs(np.array([plate, *low[1:]]), high, top, body.axes, 0.04)
    low[2], high[2] = 0.0, top - 0.045
    cupboard = max(plate + 0.05, body.reaches(_NOT_ARMS, low, high)[1] + 0.01)
    far = max(high[0], cupboard + 0.2)
    return (
        box([plate, low[1], top - 0.045], [far, high[1], top], body.axes),
        box([cupboard, low[1] + 0.03, 0], [far, high[1] - 0.03, top - 0.045], body.axes),
    )


def bare_names(ats: Iterable[str]) -> set[str]:
    """Parts of the body without their side."""
    return {at.removeprefix("other-") for at in ats}


def is_couch(kind: str) -> bool:
    """Whether somebody lies on it above the floor: one of the key's words says so."""
    return _is(kind, _COUCH)


def _is(kind: str, words: Iterable[str]) -> bool:
    return any(word in kind for word in words)


def _backrest(points: Mapping[str, Array], phase: int) -> Cuboid:
    """A padded board along the back."""
    pelvis, chest = points["pelvis"][phase], points["chest"][phase]
    along = (chest - pelvis) / np.linalg.norm(chest - pelvis)
    face = facing_of({name: place[phase : phase + 1] for name, place in points.items()})[0]
    axes = np.stack([along, np.cross(face, along), face])
    middle = (pelvis + chest) / 2 + 0.17 * along - (0.115 + 0.025) * face
    return Cuboid(middle, np.array([0.34, 0.28, 0.025]), axes)
