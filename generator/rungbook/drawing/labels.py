"""Words beside things: where they cover neither the body nor one another."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rungbook.drawing.words import width_px

Array = NDArray[np.float64]

LABEL_PX = 12.0
_ROOM = 4.0


@dataclass(frozen=True, slots=True)
class Label:
    """Words whose base line starts at `x`, `y`; `low` and `high` are their corners, pixels."""

    words: str
    x: float
    y: float

    @property
    def low(self) -> tuple[float, float]:
        """The upper left corner."""
        return self.x - 1, self.y - LABEL_PX

    @property
    def high(self) -> tuple[float, float]:
        """The lower right corner."""
        return self.x + width_px(self.words, LABEL_PX) + 1, self.y + 4


def placed(
    spots: Iterable[tuple[str, Array]], centres: Array, radii: Array, floor: float | None
) -> list[Label]:
    """A label for each `(words, points (n, 2))`, at the side of the points that is most free.

    `centres` (c, 2) and `radii` (c,) are the body's circles in pixels, `floor` its height there.
    """
    found: list[Label] = []
    for words, points in spots:
        wide = width_px(words, LABEL_PX)
        (x0, y0), (x1, y1) = points.min(0), points.max(0)
        middle_x, middle_y = (x0 + x1) / 2, (y0 + y1) / 2
        tries = []
        for away in (0.0, 14.0, 28.0, 42.0):
            tries += [
                Label(words, x1 + _ROOM + away, middle_y + 4),
                Label(words, x0 - _ROOM - away - wide, middle_y + 4),
                Label(words, middle_x - wide / 2, y1 + LABEL_PX + _ROOM + away),
                Label(words, middle_x - wide / 2, y0 - _ROOM - away),
            ]
        found.append(tries[int(np.argmin(_costs(tries, found, centres, radii, floor)))])
    return found


def _costs(
    tries: list[Label], others: list[Label], centres: Array, radii: Array, floor: float | None
) -> Array:
    """What each place covers, pixels."""
    corners = np.array([(label.low, label.high) for label in tries])  # (t, 2, 2)
    low, high = corners[:, :1], corners[:, 1:]
    apart = centres - np.clip(centres, low, high)
    near = np.sqrt(apart[..., 0] ** 2 + apart[..., 1] ** 2)
    cost: Array = np.maximum(radii - near, 0.0).sum(1)
    if floor is not None:
        cost = cost + 3.0 * np.maximum(high[:, 0, 1] - floor, 0.0)
    for other in others:
        over = (low[:, 0] < other.high) & (high[:, 0] > other.low)
        cost = cost + 1000.0 * over.all(1)
    return cost
