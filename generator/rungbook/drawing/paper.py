"""One panel of paper: where a point of the room comes to lie, in pixels."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rungbook.drawing.projection import View

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Paper:
    """A view at a scale, moved by `offset` (2,) pixels."""

    view: View
    px_per_m: float
    offset: tuple[float, float] = (0.0, 0.0)

    def at(self, points_m: Array) -> Array:
        """Room points (..., 3) in metres to pixels (..., 2)."""
        return np.asarray(self.view.project(points_m) * self.px_per_m + np.array(self.offset))

    def moved(self, x: float, y: float) -> Paper:
        """The same paper, moved by some pixels."""
        return Paper(self.view, self.px_per_m, (self.offset[0] + x, self.offset[1] + y))
