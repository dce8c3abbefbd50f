"""What the body rests on, as boxes in the room: chairs, benches, counters, steps, walls.

An equipment key is the library's own word; its shape follows from the part of the body that
rests on it, and from a few plain words within the key.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

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


_SIGNS = np.array([[x, y, z] for z in (-1, 1) for x, y in ((-1, -1), (1, -1), (1, 1), (-1, 1))])


@dataclass(frozen=True)
class Cuboid:
    """A box: its middle (3,), its half sizes (3,) along `axes` (3, 3), rows being unit vectors."""

    middle: Array
    half: Array
    axes: Array

    @cached_property
    def corners(self) -> Array:
        """The eight corners (8, 3), the first four at the low end of the last axis."""
        return self.middle + (_SIGNS * self.half) @ self.axes


@dataclass(frozen=True)
class Ball:
    """A round thing: its middle (3,) and radius in metres."""

    middle: Array
    radius: float


@dataclass(frozen=True)
class Furniture:
    """A piece of furniture."""

    kind: str
    shapes: tuple[Cuboid | Ball, ...]


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


def furnish(
    surfaces: Iterable[Surface], points: Mapping[str, Array], facing: Array
) -> tuple[Furniture, ...]:
    """Everything but the floor, one thing for each kind at each height.

    Each stands where the body first rests on it; `facing` (3,) is where the chest points then.
    """
    groups: dict[tuple[object, ...], list[Surface]] = {}
    for surface in surfaces:
        if surface.kind != "floor":
            key = (
                surface.kind,
                *(round(v, 1) for v in surface.normal),
                round(surface.origin_m[2], 1),
            )
            if surface.kind == "wall":
                key = (surface.kind, *(round(v, 1) for v in surface.normal))
            groups.setdefault(key, []).append(surface)
    forward = np.array([facing[0], facing[1], 0.0])
    length = float(np.linalg.norm(forward))
    forward = forward / length if length > 0.2 else np.array([1.0, 0.0, 0.0])
    return tuple(_thing(group, points, forward) for group in groups.values())


def _thing(group: list[Surface], points: Mapping[str, Array], forward: Array) -> Furniture:
    first = group[0]
    normal = np.array(first.normal)
    phase = first.phases.index(True) if True in first.phases else 0
    where = [contact_points(surface.at, points, phase) for surface in group]
    spots = np.concatenate([w for w in where if len(w)] or [np.array([first.origin_m])])
    axes = np.stack([forward, np.cross([0.0, 0.0, 1.0], forward), [0.0, 0.0, 1.0]])
    shapes: tuple[Cuboid | Ball, ...]
    if abs(normal[2]) < 0.5:
        shapes = _upright(first, spots, points, normal)
    else:
        shapes = _level(
            first.kind, {s.at for s in group}, first.origin_m[2], spots, points, axes, phase
        )
    return Furniture(first.kind, shapes)


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
    kind: str, ats: set[str], top: float, spots: Array, points: Mapping[str, Array],
    axes: Array, phase: int,
) -> tuple[Cuboid | Ball, ...]:  # fmt: skip
    across = spots @ axes.T
    low, high = across.min(0), across.max(0)
    trunk = points["chest"][phase] - points["pelvis"][phase]
    lying = abs(trunk[2]) < 0.6 * float(np.linalg.norm(trunk))
    rests = ats & {"seat", "pelvis", "thigh", "thighs", "upper-back", "back", "head"}
    if "ball" in kind:
        middle = spots.mean(0)
        return (Ball(np.array([middle[0], middle[1], top / 2]), max(top / 2, 0.05)),)
    if rests and not lying:
        low, high = low - np.array([0.20, 0.22, 0]), high + np.array([0.26, 0.22, 0])
        return _on_legs(low, high, top, axes, 0.05)
    if rests:
        everything = np.stack([p[phase] for p in points.values()]) @ axes.T
        low, high = everything.min(0) - 0.10, everything.max(0) + 0.10
        return _on_legs(low, high, top, axes, 0.07)
    if any(word in kind for word in ("rail", "bar", "handle", "stick", "pole")):
        low, high = low - 0.03, high + 0.03
        middle = (low[0] + high[0]) / 2
        return (
            _box([middle - 0.02, low[1], top - 0.04], [middle + 0.02, high[1], top], axes),
            _box([middle - 0.012, low[1], 0], [middle + 0.012, low[1] + 0.02, top - 0.04], axes),
        )
    hands = any("hand" in at or "forearm" in at or "elbow" in at for at in ats)
    if hands and top > 0.3:
        low, high = low - np.array([0.06, 0.12, 0]), high + np.array([0.30, 0.12, 0])
        return (
            _box([low[0], low[1], top - 0.045], [high[0], high[1], top], axes),
            _box([low[0] + 0.05, low[1] + 0.03, 0], [high[0], high[1] - 0.03, top - 0.045], axes),
        )
    low, high = low - np.array([0.07, 0.09, 0]), high + np.array([0.07, 0.09, 0])
    return (_box([low[0], low[1], 0], [high[0], high[1], max(top, 0.02)], axes),)


def _on_legs(low: Array, high: Array, top: float, axes: Array, thick: float) -> tuple[Cuboid, ...]:
    if top < 0.2:  # a mat, a pad
        return (_box([low[0], low[1], 0], [high[0], high[1], top], axes),)
    legs = [
        _box([x, y, 0], [x + 0.04, y + 0.04, top - thick], axes)
        for x in (low[0] + 0.02, high[0] - 0.06)
        for y in (low[1] + 0.02, high[1] - 0.06)
    ]
    return (*legs, _box([low[0], low[1], top - thick], [high[0], high[1], top], axes))


def _box(low: Sequence[float], high: Sequence[float], axes: Array) -> Cuboid:
    a, b = np.asarray(low, float), np.asarray(high, float)
    return Cuboid(((a + b) / 2) @ axes, np.maximum((b - a) / 2, 0.005), axes)
