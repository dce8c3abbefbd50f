"""One thick arrow along what moves."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from rungbook.drawing import svg
from rungbook.drawing.projection import View

if TYPE_CHECKING:
    from rungbook.drawing.panels import Moment
    from rungbook.drawing.scene import Scene

Array = NDArray[np.float64]

LEAST_PX, MOST_PX = 36.0, 84.0
_CLEAR_PX = 15.0
_PER_PX = 0.7  # what a pixel away from where it happens costs, in pixels covered
_AWAY, _UP = (  # where it is tried beside the way it shows, pixels
    np.array(
        [
            (sign * away, up)
            for away in (0.0, 11.0, 20.0, 30.0, 42.0, 56.0)
            for up in (0.0, 12.0, 24.0, 40.0)
            for sign in (1, -1)
        ]
    ).T
)
_ABOVE_FLOOR_PX = 5.0  # its half width


def arrow_line(scene: Scene, view: View, scale: float, moment: Moment) -> Array | None:
    """Points (n, 2) in pixels about the room's zero, beside the body; None where nothing moves."""
    points = scene.pose.points[scene.moving_point]
    line = view.project(points[:: moment.arrow or 1]) * scale
    steps = np.hypot(*(line[1:] - line[:-1]).T)
    length = float(steps.sum())
    if length < 1.0:
        return None
    along = np.append(0.0, np.cumsum(steps))
    wanted = min(max(length, LEAST_PX), MOST_PX)
    way = line[-1] - line[0]
    if length < wanted or float(((line[1:] - line[:-1]) @ way).min()) < 0:
        way = way / max(1e-6, float(np.hypot(*way)))
        line = line[0] + np.linspace(0.0, wanted, 9)[:, None] * way
    else:
        spots = np.linspace(0.0, wanted, 13)
        line = np.stack([np.interp(spots, along, line[:, axis]) for axis in (0, 1)], 1)
    body = view.project(scene.circles[:, moment.phase]) * scale
    return _clear_of_body(line, body, scene.radii * scale, floor=view.level)


def _clear_of_body(line: Array, centres: Array, radii: Array, *, floor: bool) -> Array:
    """The line moved where it covers least of the body and the floor, as little as possible."""
    way = line[-1] - line[0]
    across = np.array([-way[1], way[0]]) / max(1e-6, float(np.hypot(*way)))
    shifts = _AWAY[:, None] * across - _UP[:, None] * [0.0, 1.0]
    moved = line[::3] + shifts[:, None]  # (t, n, 2)
    apart = moved[:, :, None] - centres
    gap = np.sqrt(apart[..., 0] ** 2 + apart[..., 1] ** 2) - radii
    costs = np.maximum(_CLEAR_PX * 0.6 - gap.min(2), 0.0).sum(1) * 3
    costs += _PER_PX * np.hypot(*shifts.T)
    if floor:
        costs += 12.0 * np.maximum(moved[..., 1] + _ABOVE_FLOOR_PX, 0.0).sum(1)
    return np.asarray(line + shifts[int(np.argmin(costs))])


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
