"""Where the panels of a figure lie: one ground a row, one scale, rows no wider than a column."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from rungbook.drawing import svg
from rungbook.drawing.arrow import arrow_line
from rungbook.drawing.labels import Label, placed
from rungbook.drawing.panels import Moment
from rungbook.drawing.paper import Extent, Pair, Paper, corners
from rungbook.drawing.scene import Scene
from rungbook.drawing.surfaces import furniture_edges, furniture_extents, mat_corners
from rungbook.drawing.things import ends
from rungbook.drawing.words import width_px

Array = NDArray[np.float64]

MARGIN = 4.0
GAP = 8.0
WIDEST_GAP = 26.0
CAPTION = 18.0
CAPTION_PX = 12.5
ROW_GAP = 4.0


@dataclass(frozen=True)
class Beside:
    """What stands beside a body, in pixels about the room's zero: the arrow (n, 2), words."""

    arrow: Array | None
    labels: tuple[Label, ...]


@dataclass(frozen=True, eq=False)
class Panel:
    """One posture on its piece of paper, and the corners it takes in pixels."""

    scene: Scene
    moment: Moment
    paper: Paper
    low: Pair
    high: Pair
    beside: Beside
    caption: str = ""
    numbered: bool = False


@dataclass(frozen=True, eq=False)
class Strip:
    """All panels of a figure; on a column that is `width_px` wide they stand in its middle.

    `parts` stand in the second one's place, for who may go a part of the way.
    """

    panels: tuple[Panel, ...]
    width_px: float | None = None
    parts: tuple[Panel, ...] = ()

    @property
    def all_panels(self) -> tuple[Panel, ...]:
        """As they are drawn."""
        return self.panels + self.parts

    @cached_property
    def box(self) -> tuple[float, float, float, float]:
        """x, y, width, height in pixels."""
        lows, highs = [p.low for p in self.panels], [p.high for p in self.panels]
        x, y = min(low[0] for low in lows), min(low[1] for low in lows)
        width, height = max(h[0] for h in highs) - x, max(h[1] for h in highs) - y
        spare = max(0.0, (self.width_px or 0.0) - width)
        return x - spare / 2, y, width + spare, height


@dataclass(frozen=True, slots=True)
class Column:
    """The paper for a figure: as wide and as high as its panels may become, pixels."""

    width_px: float
    height_px: float
    px_per_m: float
    numbered: bool


def laid_out(
    shown: Sequence[tuple[Scene, Moment]], mirrored: bool, column: Column, say: svg.Say
) -> tuple[Panel, ...]:
    """In one row at the column's scale, else in rows of two, else as large as fits."""
    scale, rows = _fitted(shown, mirrored, len(shown), column, say)
    if scale < column.px_per_m and len(shown) > 2:
        smaller = (scale, rows)
        scale, rows = _fitted(shown, mirrored, 2, column, say)
        scale, rows = (scale, rows) if scale > smaller[0] else smaller
    view = shown[0][0].view
    return _placed(rows, Paper(view.mirror() if mirrored else view, scale), column)


@dataclass(frozen=True)
class _Box:
    """What a panel takes about the room's zero, in pixels, its caption below apart."""

    scene: Scene
    moment: Moment
    low: Pair
    high: Pair
    caption: str
    beside: Beside

    @property
    def width(self) -> float:
        """Room for body and caption."""
        return max(self.high[0] - self.low[0], width_px(self.caption, CAPTION_PX) + 6)


_Rows = list[list[_Box]]


def _fitted(
    shown: Sequence[tuple[Scene, Moment]], mirrored: bool, per_row: int, column: Column,
    say: svg.Say,
) -> tuple[float, _Rows]:  # fmt: skip
    """The largest scale up to the column's at which rows of so many fit, and the rows."""
    scale = column.px_per_m
    for _ in range(6):
        boxes = _boxes(shown, mirrored, scale, column.numbered, say)
        rows = [boxes[first : first + per_row] for first in range(0, len(boxes), per_row)]
        less = min(*(_room(row, column.width_px) for row in rows), _room_below(rows, column))
        if less >= 1:
            break
        scale *= max(0.4, less - 0.002)
    return scale, rows


def _room(row: list[_Box], width: float) -> float:
    """How much of the scale is left for a row to be no wider."""
    apart = GAP * (len(row) - 1) + 2 * MARGIN * len(row)
    taken = sum(box.width for box in row) - 2 * MARGIN * len(row)
    return (width - apart) / max(taken, 1.0)


def _room_below(rows: _Rows, column: Column) -> float:
    apart = len(rows) * (CAPTION + 2 * MARGIN) + ROW_GAP * (len(rows) - 1)
    taken = sum(_bottom(row) - _top(row) - 2 * MARGIN for row in rows)
    return (column.height_px - apart) / max(taken, 1.0)


def _top(row: list[_Box]) -> float:
    return min(box.low[1] for box in row)


def _bottom(row: list[_Box]) -> float:
    return max(box.high[1] for box in row)


def _boxes(
    shown: Sequence[tuple[Scene, Moment]], mirrored: bool, scale: float, numbered: bool,
    say: svg.Say,
) -> list[_Box]:  # fmt: skip
    found = []
    for number, (scene, moment) in enumerate(shown, 1):
        roles = () if numbered else [role for role in moment.roles if role != "between"]
        words = ", ".join(say(role) for role in roles)
        caption = f"{number} {words}".strip() if len(shown) > 1 else words
        view = scene.view.mirror() if mirrored else scene.view
        paper = Paper(view, scale)
        beside = beside_of(scene, moment, paper, labelled=number == len(shown))
        found.append(_Box(scene, moment, *room_of(scene, moment, paper, beside), caption, beside))
    return found


def _placed(rows: _Rows, zero: Paper, column: Column) -> tuple[Panel, ...]:
    """The panels of each row on one ground, row below row, beneath those above."""
    panels = []
    down = 0.0
    most = max(sum(box.width for box in row) + GAP * (len(row) - 1) for row in rows)
    columns = max(len(row) for row in rows)
    gap = GAP + min(WIDEST_GAP - GAP, (column.width_px - most) / max(1, columns - 1))
    wide = [max(row[n].width for row in rows if n < len(row)) for n in range(columns)]
    aligned = sum(wide) + gap * (columns - 1) <= column.width_px
    for row in rows:
        top, bottom, across = _top(row), _bottom(row), 0.0
        for n, box in enumerate(row):
            width = wide[n] if aligned else box.width
            spare = (width - (box.high[0] - box.low[0])) / 2
            paper = zero.moved(across - box.low[0] + spare, down - top)
            low, high = (across, down), (across + width, down + bottom - top + CAPTION)
            panels.append(
                Panel(box.scene, box.moment, paper, low, high, box.beside, box.caption,
                      column.numbered)
            )  # fmt: skip
            across += width + gap
        down += bottom - top + CAPTION + ROW_GAP
    return tuple(panels)


def beside_of(scene: Scene, moment: Moment, paper: Paper, *, labelled: bool) -> Beside:
    """The arrow and the words of a panel whose paper has the room's zero at its own."""
    line = arrow_line(scene, paper.view, paper.px_per_m, moment) if moment.arrow else None
    return Beside(line, tuple(_labels(scene, moment, paper)) if labelled else ())


def part_way(panels: Sequence[Panel], phase: int) -> Panel:
    """The posture at a phase in the second panel's place, with the words of the last."""
    second = panels[1]
    moment = Moment(phase, ())
    zero = Paper(second.paper.view, second.paper.px_per_m)
    beside = beside_of(second.scene, moment, zero, labelled=True)
    low, high = room_of(second.scene, moment, zero, beside)
    middle = (second.low[0] + second.high[0]) / 2 - (low[0] + high[0]) / 2
    paper = zero.moved(middle, second.paper.offset[1])
    return replace(second, moment=moment, paper=paper, beside=beside)


def room_of(scene: Scene, moment: Moment, paper: Paper, beside: Beside) -> tuple[Pair, Pair]:
    """What a panel has to hold, in pixels about the room's zero."""
    view, scale = paper.view, paper.px_per_m
    lift = np.array([0.0, 0.0, moment.lift_m])
    seen = view.project(scene.circles[:, moment.phase] + lift)
    reach = np.stack([-scene.radii, scene.radii])[:, :, None]
    extents = [Extent.around(seen + reach), *furniture_extents(view, scene.furniture)]
    for thing in scene.things:
        extents.append(Extent.around(view.project(ends(thing, moment.phase)), (8, 8), (8, 8)))
    if not view.level:
        extents.append(Extent.around(view.project(mat_corners(scene.circles[:, moment.phase]))))
    ground = -scene.ground_m if view.level else 0.0
    extents.append(Extent((seen[:, 0].min(), ground), (seen[:, 0].max(), ground)))
    if beside.arrow is not None:
        extents.append(Extent.around(beside.arrow / scale, (8, 8), (8, 8)))
    for label in beside.labels:
        extents.append(Extent.around(np.array([label.low, label.high]) / scale))
    (x0, y0), (x1, y1) = corners(extents, scale)
    return (x0 - MARGIN, y0 - MARGIN), (x1 + MARGIN, y1 + MARGIN)


def _labels(scene: Scene, moment: Moment, paper: Paper) -> list[Label]:
    """Where the labels of a panel stand: what is there twice has one that says so."""
    spots: dict[str, list[Array]] = {}
    for thing in scene.things:
        if thing.label:
            spots.setdefault(thing.label, []).append(paper.at(ends(thing, moment.phase)))
    if not spots:
        return []
    body = paper.at(scene.circles[:, moment.phase])
    lines = furniture_edges(paper, scene.furniture)
    marks = [paper.at(ends(thing, moment.phase)) for thing in scene.things]
    return placed(
        [
            (words if len(places) == 1 else f"{len(places)} × {words}", np.concatenate(places))
            for words, places in spots.items()
        ],
        np.concatenate([body, lines, *marks]),
        np.concatenate(
            [scene.radii * paper.px_per_m, np.full(len(lines) + sum(map(len, marks)), 6.0)]
        ),
        paper.offset[1] if paper.view.level else None,
    )
