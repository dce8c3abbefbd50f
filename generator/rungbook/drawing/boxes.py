"""Boxes and balls in the room, and the furniture made of them. Lengths in metres."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

COUCH_HALF_M = 0.34  # half its width
COUCH_M = 0.24  # how high a couch is drawn whose top is the room's zero
_MAT_M = 0.012
LOW_M = 0.2
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


def thin(low: Array, high: Array, top: float, axes: Array) -> tuple[Cuboid, ...]:
    """A sheet, a mat, a cushion: as thick as it is high, and no thinner than a line."""
    under = min(0.0, top - _MAT_M)
    return (box([low[0], low[1], under], [high[0], high[1], top], axes),)


def rail(kind: str, across: Array, top: float, axes: Array) -> tuple[Cuboid, ...]:
    """A rail from side to side before the body; parallel bars run along it, at both sides."""
    low, high = across.min(0) - 0.03, across.max(0) + 0.03
    if "parallel" in kind:
        return tuple(
            box(corner, other, axes)
            for y in sorted({round(float(spot[1]), 1) for spot in across})
            for corner, other in (
                ([low[0] - 0.45, y - 0.02, top - 0.04], [high[0] + 0.45, y + 0.02, top]),
                ([low[0] - 0.40, y - 0.015, 0], [low[0] - 0.36, y + 0.015, top - 0.04]),
                ([high[0] + 0.36, y - 0.015, 0], [high[0] + 0.40, y + 0.015, top - 0.04]),
            )
        )
    middle = (low[0] + high[0]) / 2
    return (
        box([middle - 0.02, low[1], top - 0.04], [middle + 0.02, high[1], top], axes),
        box([middle - 0.012, low[1], 0], [middle + 0.012, low[1] + 0.02, top - 0.04], axes),
    )


def armrests(across: Array, top: float, axes: Array) -> tuple[Cuboid, ...]:
    """Boards beneath points along the axes (n, 3), at either side, each on a post."""
    back, front = float(across[:, 0].min()) - 0.25, float(across[:, 0].max()) + 0.04
    return tuple(
        box(corner, other, axes)
        for y in sorted({round(float(spot[1]), 1) for spot in across})
        for corner, other in (
            ([back, y - 0.03, top - 0.04], [front, y + 0.03, top]),
            ([front - 0.10, y - 0.02, 0], [front - 0.06, y + 0.02, top - 0.04]),
        )
    )


def on_legs(
    low: Array, high: Array, top: float, axes: Array, thick: float, *, couch: bool = False,
    legs_to: float = np.inf, lowest: float = 0.0,
) -> tuple[Cuboid, ...]:  # fmt: skip
    """A board at a height on four legs, none further forward than `legs_to`.

    A couch at the room's zero stands on a ground beneath it, lower than what hangs: `lowest`.
    """
    if top < LOW_M and not couch:
        return thin(low, high, top, axes)
    ground = min(0.0, top - COUCH_M, lowest - 0.05) if couch else 0.0
    legs = [
        box([x, y, ground], [x + 0.04, y + 0.03, top - thick], axes)
        for x in (low[0] + 0.02, max(low[0] + 0.02, min(high[0] - 0.06, legs_to - 0.05)))
        for y in (low[1], high[1] - 0.03)
    ]
    return (*legs, box([low[0], low[1], top - thick], [high[0], high[1], top], axes))


def box(low: Sequence[float], high: Sequence[float], axes: Array) -> Cuboid:
    a, b = np.asarray(low, float), np.asarray(high, float)
    return Cuboid(((a + b) / 2) @ axes, np.maximum((b - a) / 2, 0.005), axes)
