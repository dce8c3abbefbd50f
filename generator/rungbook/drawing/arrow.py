"""One thick arrow along what moves."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from rungbook.drawing import svg
from rungbook.drawing.projection import View

if TYPE_CHECKING:
    from rungbook.drawing.scene import Scene

Array = NDArray[np.float64]

LEAST_PX, MOST_PX = 36.0, 84.0
_CLEAR_PX = 15.0


def arrow_line(scene: Scene, view: View, scale: float) -> Array | None:
    """Points (n, 2) in pixels about the room's zero, beside the body; None where nothing moves."""
    if len(scene.moments) == 1:
        return None
    points = scene.pose.points[scene.moving_point]
    line = view.project(points) * scale
    steps = np.hypot(*(line[1:] - line[:-1]).T)
    length = float(steps.sum())
    if length < 1.0:
        return None
    along = np.append(0.0, np.cumsum(steps))
    wanted = min(max(length, LEAST_PX), MOST_PX)
    if length < wanted:
        way = line[-1] - line[0]
        way = way / max(1e-6, float(np.hypot(*way)))
        line = line[0] + np.linspace(0.0, wanted, 9)[:, None] * way
    else:
        spots = np.linspace(0.0, wanted, 13)
        line = np.stack([np.interp(spots, along, line[:, axis]) for axis in (0, 1)], 1)
    return _clear_of_body(line, view.project(scene.circles[:, 0]) * scale, scene.radii * scale)


def _clear_of_body(line: Array, centres: Array, radii: Array) -> Array:
    """The line moved to the side where it covers least of the body, as little as possible."""
    way = line[-1] - line[0]
    across = np.array([-way[1], way[0]]) / max(1e-6, float(np.hypot(*way)))
    tries = [
        line + sign * away * across
        for away in (0.0, 12.0, 24.0, 36.0, 50.0, 66.0)
        for sign in (1, -1)
    ]

    def covered(moved: Array) -> float:
        gap = np.hypot(*(moved[:, None] - centres[None]).transpose(2, 0, 1)) - radii[None]
        return float(np.maximum(_CLEAR_PX * 0.6 - gap.min(1), 0.0).sum())

    costs = [covered(moved) + 1.2 * index for index, moved in enumerate(tries)]
    return tries[int(np.argmin(costs))]


def arrow(line: Array) -> list[str]:
    """The arrow with its head at the end."""
    tip = line[-1]
    along = line[-1] - line[-3]
    along = along / max(1e-6, float(np.hypot(*along)))
    cut = line[np.hypot(*(line - tip).T) > 9.0]
    shaft = np.concatenate([cut, (tip - along * 8.0)[None]])
    return [
        svg.path(svg.polyline(shaft), "fig-arrow-halo"),
        svg.path(svg.polyline(shaft), "fig-arrow"),
        svg.path(svg.arrow_head(tip, along, 14), "fig-arrow-head"),
    ]
