"""One panel of paper: where a point of the room comes to lie, in pixels."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rungbook.drawing.projection import View

Array = NDArray[np.float64]
Pair = tuple[float, float]


@dataclass(frozen=True)
class Paper:
    """A view at a scale, moved by `offset` (2,) pixels."""

    view: View
    px_per_m: float
    offset: Pair = (0.0, 0.0)

    def at(self, points_m: Array) -> Array:
        """Room points (..., 3) in metres to pixels (..., 2)."""
        return self.on(self.view.project(points_m))

    def on(self, seen_m: Array) -> Array:
        """Points that are seen already (..., 2), in metres of paper, to pixels (..., 2)."""
        return np.asarray(seen_m * self.px_per_m + np.array(self.offset))

    def moved(self, x: float, y: float) -> Paper:
        """The same paper, moved by some pixels."""
        return Paper(self.view, self.px_per_m, (self.offset[0] + x, self.offset[1] + y))


@dataclass(frozen=True, slots=True)
class Extent:
    """The room that something takes: corners in metres of paper, pixels to keep free around."""

    low: Pair
    high: Pair
    before: Pair = (0.0, 0.0)
    after: Pair = (0.0, 0.0)

    @classmethod
    def around(cls, seen_m: Array, before: Pair = (0.0, 0.0), after: Pair = (0.0, 0.0)) -> Extent:
        """Around points (..., 2) in metres of paper."""
        flat = seen_m.reshape(-1, 2)
        (x0, y0), (x1, y1) = flat.min(0).tolist(), flat.max(0).tolist()
        return cls((x0, y0), (x1, y1), before, after)


def corners(extents: Iterable[Extent], px_per_m: float) -> tuple[Pair, Pair]:
    """The corners in pixels of all extents together."""
    rows = [
        (
            one.low[0] * px_per_m - one.before[0],
            one.low[1] * px_per_m - one.before[1],
            one.high[0] * px_per_m + one.after[0],
            one.high[1] * px_per_m + one.after[1],
        )
        for one in extents
    ]
    left, top, right, bottom = zip(*rows, strict=True)
    return (min(left), min(top)), (max(right), max(bottom))
