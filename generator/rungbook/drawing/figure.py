"""The start and the end posture of an exercise, from its computed skeleton.

Start in outline, end in ink; one picture where the parts that move come apart, two panels
where start and end would cover each other. The working side is the right one; `side="left"`
is the exact mirror image.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from rungbook.drawing import svg
from rungbook.drawing.arc import draw_arc
from rungbook.drawing.limbs import layer
from rungbook.drawing.paper import Pair, Paper, corners
from rungbook.drawing.props import draw_applied
from rungbook.drawing.scene import END, START, Scene, make_scene
from rungbook.drawing.sight import Paths, Sight, bodies
from rungbook.drawing.surfaces import floor_line, floor_mat, furniture
from rungbook.drawing.wording import figure_description, figure_title
from rungbook.load.result import ExerciseLoad
from rungbook.model.exercise import Exercise
from rungbook.model.latest import latest

Array = NDArray[np.float64]
Side = Literal["right", "left", "both"]

PX_PER_M = 150.0
MARGIN = 10.0
GAP = 26.0
CAPTION = 20.0


@dataclass(frozen=True, slots=True)
class Wanted:
    """A figure to be drawn.

    `px_per_m` is the same for all rungs of a ladder, so that they compare at a glance; a figure
    larger than `within` (width, height in pixels) is drawn smaller, down to a third.
    `prefix` begins the ids (default: the exercise's id); give different ones to two figures of
    the same exercise in one page.
    """

    exercise: Exercise
    load: ExerciseLoad
    side: Side = "right"
    px_per_m: float = PX_PER_M
    within: tuple[float, float] | None = None
    prefix: str | None = None
    say: svg.Say = svg.as_written


def exercise_figure(
    exercise: Exercise,
    load: ExerciseLoad,
    side: Side = "right",
    *,
    px_per_m: float = PX_PER_M,
    within: tuple[float, float] | None = None,
    prefix: str | None = None,
    say: svg.Say = svg.as_written,
) -> str:
    """The figure as one `<svg>`; "" where the load has no skeleton. For the rest see `Wanted`."""
    return exercise_figures([Wanted(exercise, load, side, px_per_m, within, prefix, say)])[0]


def exercise_figures(wanted: Sequence[Wanted]) -> list[str]:
    """Many figures, their bodies computed at once; those of one exercise in a row share more."""
    layouts = [_laid_out(one) for one in wanted]
    different = dict.fromkeys(layout for layout in layouts if layout)
    places = [
        (layout.sight, panel.paper, phase)
        for layout in different
        for panel in layout.panels
        for phase in panel.phases
    ]
    paths = iter(bodies(places))
    drawn = {layout: _drawn(layout, paths) for layout in different}
    return [
        _framed(one, layout, drawn[layout]) if layout else ""
        for one, layout in zip(wanted, layouts, strict=True)
    ]


def _drawn(layout: _Layout, paths: Iterator[Paths]) -> str:
    return "".join(
        drawn
        for panel in layout.panels
        for drawn in _draw_panel(layout.sight, panel, [next(paths) for _ in panel.phases])
    )


def _framed(one: Wanted, layout: _Layout, drawn: str) -> str:
    return svg.frame(
        [drawn],
        css=f"drawn-figure drawn-{layout.sight.scene.plan}",
        prefix=f"fig-{one.prefix or one.exercise.id}-{one.side}",
        box=(*layout.low, *layout.size),
        title=figure_title(one.exercise, one.side, one.say),
        desc=figure_description(one.exercise, one.load, one.say),
    )


@latest
def _sights(exercise: Exercise, load: ExerciseLoad) -> tuple[Sight, Sight]:
    """From the right and mirrored: the figures of an exercise, drawn in a row, share them."""
    scene = make_scene(exercise, load)
    return Sight(scene, scene.view), Sight(scene, scene.view.mirror())


@dataclass(frozen=True, eq=False)
class _Layout:
    """What is seen, the panels, and the corner and the size of what they show, in pixels."""

    sight: Sight
    panels: list[_Panel]
    low: Pair
    size: Pair


def _laid_out(one: Wanted) -> _Layout | None:
    if one.load.skeleton is None:
        return None
    sight = _sights(one.exercise, one.load)[1 if one.side == "left" else 0]
    px_per_m, least = one.px_per_m, one.px_per_m / 3
    layout = _at_scale(sight, px_per_m, one.say)
    while one.within and _exceeds(layout.size, one.within) and px_per_m > least:
        px_per_m *= 0.9
        layout = _at_scale(sight, px_per_m, one.say)
    return layout


def _exceeds(size: Pair, room: Pair) -> bool:
    return size[0] > room[0] or size[1] > room[1]


@lru_cache(maxsize=16)  # figures of an exercise in a row often have one layout
def _at_scale(sight: Sight, px_per_m: float, say: svg.Say) -> _Layout:
    panels = _panels(sight, px_per_m, say)
    x = min(panel.low[0] for panel in panels)
    y = min(panel.low[1] for panel in panels)
    right = max(panel.high[0] for panel in panels)
    below = max(panel.high[1] for panel in panels)
    return _Layout(sight, panels, (x, y), (right - x, below - y))


@dataclass(frozen=True)
class _Panel:
    """One panel: which phases it shows, where, and the corners it needs, in pixels."""

    paper: Paper
    phases: tuple[int, ...]
    low: Pair
    high: Pair
    caption: str = ""


def _panels(sight: Sight, px_per_m: float, say: svg.Say) -> list[_Panel]:
    paper, plan = Paper(sight.view, px_per_m), sight.scene.plan
    if plan != "panels":
        phases = (END,) if plan == "hold" else (START, END)
        low, high = _box(sight, px_per_m, phases)
        caption = say("hold") if plan == "hold" else ""
        return [_Panel(paper, phases, low, _with_room(high, caption), caption)]
    ((x0, y0), (right0, below0)), ((x1, y1), (right1, below1)) = (
        _box(sight, px_per_m, (phase,)) for phase in (START, END)
    )
    width, height = max(right0, right1) - min(x0, x1), max(below0, below1) - min(y0, y1)
    if width > 1.25 * height:  # a lying body: one below the other
        across, down = 0.0, below0 - y1 + CAPTION + GAP
    else:
        across, down = right0 - x1 + GAP, 0.0
        below0 = below1 = max(below0, below1)  # captions on one line
    low, high = (x1 + across, y1 + down), (right1 + across, below1 + down)
    start, end = say("start"), say("end")
    return [
        _Panel(paper, (START,), (x0, y0), _with_room((right0, below0), start), start),
        _Panel(paper.moved(across, down), (END,), low, _with_room(high, end), end),
    ]


def _with_room(high: Pair, caption: str) -> Pair:
    """The lower right corner, with room for a caption below."""
    return high[0], high[1] + (CAPTION if caption else 0.0)


def _box(sight: Sight, px_per_m: float, phases: tuple[int, ...]) -> tuple[Pair, Pair]:
    """Corners of what a panel shows, with a margin."""
    (x, y), (right, below) = corners(sight.extents(phases, px_per_m), px_per_m)
    return (x - MARGIN, y - MARGIN), (right + MARGIN, below + MARGIN)


def _draw_panel(sight: Sight, panel: _Panel, paths: Sequence[Paths]) -> list[str]:
    scene, paper, phases = sight.scene, panel.paper, panel.phases
    drawn = _floor(sight, panel)
    drawn += furniture(paper, scene.things)
    bodies = [_body(scene, *one) for one in zip(paths, phases, strict=True)]
    if len(phases) == 2:  # what moves leaves its outline behind: each side behind its own ink
        start, end = bodies
        for group in (start["other"], end["other"], end["trunk"], end["still"], start["near"]):
            drawn += group
        drawn += end["near"]
    else:
        drawn += [part for layers in bodies[0].values() for part in layers]
    if END in phases and scene.movement and sight.turn and (arc := sight.turn.arc(paper)):
        drawn += draw_arc(
            arc, scene.movement, start_line=len(phases) == 1, clear_px=0.055 * paper.px_per_m
        )
    for item in scene.applied:
        drawn += draw_applied(item, paper, phases[-1], labelled=END in phases)
    if panel.caption:
        x, y = (panel.low[0] + panel.high[0]) / 2, panel.high[1] - CAPTION + 12
        drawn.append(svg.text(x, y, panel.caption, "fig-caption", "middle"))
    return drawn


def _floor(sight: Sight, panel: _Panel) -> list[str]:
    scene = sight.scene
    assert scene.load.skeleton is not None
    if not scene.view.level:
        return floor_mat(panel.paper, sight.ground(panel.phases))
    tilts = [s.normal for s in scene.load.skeleton.surfaces if s.kind == "floor"]
    tilt = np.array(tilts[0]) if tilts and tilts[0][2] < 0.9999 else None
    return floor_line(panel.paper, panel.low[0] + 4, panel.high[0] - 4, tilt)


def _body(scene: Scene, paths: Paths, phase: int) -> dict[str, list[str]]:
    """The layers of one posture from back to front: other side, trunk and head, the working
    side's limbs that stay, and those that move or work.

    At the start of a figure in one panel, only what moves.
    """
    posture = "fig-start" if phase == START else "fig-end"
    layers = {}
    for place, plain, strong in scene.layers(outline=scene.plan == "overlay" and phase == START):
        css = "fig-limb fig-" + ("near" if place == "still" else place)
        drawn = svg.path(layer(paths, plain), css) + svg.path(
            layer(paths, strong), f"{css} fig-working"
        )
        layers[place] = [f'<g class="{posture}">{drawn}</g>'] if drawn else []
    return layers
