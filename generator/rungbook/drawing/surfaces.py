"""The floor with its hatching, and furniture, on paper."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator

import numpy as np
from numpy.typing import NDArray

from rungbook.drawing import svg
from rungbook.drawing.boxes import Ball, Cuboid
from rungbook.drawing.furniture import Furniture
from rungbook.drawing.paper import Extent, Pair, Paper
from rungbook.drawing.projection import View

Array = NDArray[np.float64]

HATCH_PX = 9.0
# Corners of the faces, by the axis and the sign they look along.
_FACES = (
    (2, 1, (4, 5, 6, 7)), (2, -1, (0, 3, 2, 1)), (0, 1, (1, 2, 6, 5)),
    (0, -1, (0, 4, 7, 3)), (1, -1, (0, 1, 5, 4)), (1, 1, (3, 7, 6, 2)),
)  # fmt: skip
_EDGES = np.array([(0, 1), (1, 2), (2, 3), (3, 0), (4, 5), (5, 6), (6, 7), (7, 4),
                   (0, 4), (1, 5), (2, 6), (3, 7)])  # fmt: skip


def hatching(first: Pair, last: Pair) -> str:
    """Short strokes below the line `first`-`last`, slanted against it."""
    across, down = last[0] - first[0], last[1] - first[1]
    length = math.hypot(across, down)
    count = int(length // HATCH_PX)
    if count < 1:
        return ""
    along_x, along_y = across / length, down / length
    tail = f"l{svg.number(-5.5 * along_x)},{svg.number(5.5 * (1.0 - along_y))}"
    spots = HATCH_PX * (np.arange(count) + 0.8)
    starts = svg.texts(np.array(first) + np.array([along_x, along_y]) * spots[:, None])
    pairs = map("%s,%s".__mod__, zip(starts[::2], starts[1::2], strict=True))
    return "M" + f"{tail}M".join(pairs) + tail


def floor_line(paper: Paper, low: float, high: float) -> list[str]:
    """The floor from x `low` to `high` in pixels: a line, hatched below."""
    first, last = (low, paper.offset[1]), (high, paper.offset[1])
    return [
        svg.path(svg.polyline(np.array([first, last])), "fig-floor"),
        svg.path(hatching(first, last), "fig-hatch"),
    ]


def wedge(paper: Paper, normal: Array, spots: Array) -> tuple[Array, float]:
    """A board that slopes under points (n, 3): its corners (3, 2) in pixels, and its lowest y."""
    across, down = paper.view.project(normal).tolist()
    slope = -across / down
    middle, level = paper.offset
    reach = paper.at(spots)[:, 0]
    ends = np.array([reach.min() - 0.05 * paper.px_per_m, reach.max() + 0.05 * paper.px_per_m])
    heights = level + (ends - middle) * slope
    lowest = float(heights.max())
    high = int(heights.argmin())
    return np.array([*zip(ends, heights, strict=True), (ends[high], lowest)]), lowest


def floor_mat(paper: Paper, ground: Array) -> list[str]:
    """The floor seen from above: a mat around the ground points (n, 3)."""
    return [svg.path(svg.polygon(paper.at(mat_corners(ground))), "fig-mat")]


def mat_corners(ground: Array) -> Array:
    """Corners (4, 3) of the mat around points (n, 3)."""
    (x0, y0, _), (x1, y1, _) = ground.min(0) - 0.12, ground.max(0) + 0.12
    return np.array([[x0, y0, 0], [x1, y0, 0], [x1, y1, 0], [x0, y1, 0]])


def furniture(paper: Paper, things: Iterable[Furniture]) -> list[str]:
    """Plain shapes, behind the body."""
    out = []
    for thing in things:
        css = "fig-prop"
        if thing.kind == "wall":
            css += " fig-wall"
        out.append(svg.path("".join(_shape(paper, shape) for shape in thing.shapes), css))
    return out


def furniture_extents(view: View, things: Iterable[Furniture]) -> Iterator[Extent]:
    """The room that the furniture needs."""
    for thing in things:
        for shape in thing.shapes:
            if isinstance(shape, Cuboid):
                yield Extent.around(view.project(shape.corners))
            else:
                reach = np.array([[-shape.radius], [shape.radius]])
                yield Extent.around(view.project(shape.middle) + reach)


def furniture_edges(paper: Paper, things: Iterable[Furniture]) -> Array:
    """Points (n, 2) in pixels along the edges of boxes: what words should not lie on."""
    boxes = [shape.corners for one in things for shape in one.shapes if isinstance(shape, Cuboid)]
    if not boxes:
        return np.zeros((0, 2))
    corners = paper.at(np.stack(boxes))  # (b, 8, 2)
    first, last = corners[:, _EDGES[:, 0], None], corners[:, _EDGES[:, 1], None]
    return np.asarray((first + np.linspace(0, 1, 9)[:, None] * (last - first)).reshape(-1, 2))


def _shape(paper: Paper, shape: Cuboid | Ball) -> str:
    if isinstance(shape, Ball):
        x, y = np.round(paper.at(shape.middle), 1).tolist()
        r = round(shape.radius * paper.px_per_m, 1)
        return f"M{x - r:g},{y:g}a{r:g},{r:g} 0 1 0 {2 * r:g},0a{r:g},{r:g} 0 1 0 {-2 * r:g},0Z"
    corners, toward = paper.at(shape.corners), paper.view.toward
    return "".join(
        svg.polygon(corners[list(face)])
        for axis, sign, face in _FACES
        if sign * float(shape.axes[axis] @ toward) > 0.05
    )
