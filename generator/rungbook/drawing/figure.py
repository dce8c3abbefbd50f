"""The start and the end posture of an exercise, from its computed skeleton.

Start in outline, end in ink; one picture where the parts that move come apart, two panels
where start and end would cover each other. The working side is the right one; `side="left"`
is the exact mirror image.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from rungbook.drawing import svg
from rungbook.drawing.arc import Arc, arc_box, draw_arc, movement_arc
from rungbook.drawing.limbs import (
    HEAD,
    LAYER,
    PARTS,
    layer,
    nose_path,
    part_paths,
)  # fmt: skip
from rungbook.drawing.paper import Paper
from rungbook.drawing.props import applied_box, draw_applied
from rungbook.drawing.scene import END, START, Scene, make_scene
from rungbook.drawing.surfaces import (
    floor_line,
    floor_mat,
    furniture,
    furniture_box,
    mat_corners,
)
from rungbook.drawing.wording import figure_description, figure_title
from rungbook.load.result import ExerciseLoad
from rungbook.model.exercise import Exercise

Array = NDArray[np.float64]
Side = Literal["right", "left", "both"]

PX_PER_M = 150.0
MARGIN = 10.0
GAP = 26.0
CAPTION = 20.0


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
    """The figure as one `<svg>`; "" where the load has no skeleton.

    `px_per_m` is the same for all rungs of a ladder, so that they compare at a glance; a figure
    larger than `within` (width, height in pixels) is drawn smaller, down to a third.
    `prefix` begins the ids (default: the exercise's id); give different ones to two figures of
    the same exercise in one page.
    """
    if load.skeleton is None:
        return ""
    scene = make_scene(exercise, load, mirrored=side == "left")
    panels, low, size = _laid_out(scene, px_per_m, say)
    least = px_per_m / 3
    while within and (size > within).any() and px_per_m > least:
        px_per_m *= 0.9
        panels, low, size = _laid_out(scene, px_per_m, say)
    return svg.frame(
        [drawn for panel in panels for drawn in _draw(scene, panel)],
        css=f"drawn-figure drawn-{scene.plan}",
        prefix=f"fig-{prefix or exercise.id}-{side}",
        box=(float(low[0]), float(low[1]), float(size[0]), float(size[1])),
        title=figure_title(exercise, side, say),
        desc=figure_description(exercise, load, say),
    )


def _laid_out(scene: Scene, px_per_m: float, say: svg.Say) -> tuple[list[_Panel], Array, Array]:
    """The panels, and the corner and the size of what they show."""
    panels = _panels(scene, px_per_m, say)
    low = np.min([panel.low for panel in panels], 0)
    high = np.max([panel.high for panel in panels], 0)
    return panels, low, high - low


@dataclass(frozen=True)
class _Panel:
    """One panel: which phases it shows, where, and the corners it needs, in pixels."""

    paper: Paper
    phases: tuple[int, ...]
    low: Array
    high: Array
    caption: str = ""


def _panels(scene: Scene, px_per_m: float, say: svg.Say) -> list[_Panel]:
    paper = Paper(scene.view, px_per_m)
    if scene.plan != "panels":
        phases = (END,) if scene.plan == "hold" else (START, END)
        low, high = _box(scene, paper, phases)
        caption = say("hold") if scene.plan == "hold" else ""
        return [_Panel(paper, phases, low, high + _room(caption), caption)]
    (low0, high0), (low1, high1) = (_box(scene, paper, (phase,)) for phase in (START, END))
    size = np.maximum(high0, high1) - np.minimum(low0, low1)
    if size[0] > 1.25 * size[1]:  # a lying body: one below the other
        shift = np.array([0.0, high0[1] - low1[1] + CAPTION + GAP])
    else:
        shift = np.array([high0[0] - low1[0] + GAP, 0.0])
        high0[1] = high1[1] = max(high0[1], high1[1])  # captions on one line
    room = _room("start")
    moved = paper.moved(float(shift[0]), float(shift[1]))
    return [
        _Panel(paper, (START,), low0, high0 + room, say("start")),
        _Panel(moved, (END,), low1 + shift, high1 + shift + room, say("end")),
    ]


def _room(caption: str) -> Array:
    return np.array([0.0, CAPTION if caption else 0.0])


def _box(scene: Scene, paper: Paper, phases: tuple[int, ...]) -> tuple[Array, Array]:
    """Corners of what a panel shows, with a margin."""
    assert scene.load.skeleton is not None
    corners = [furniture_box(paper, scene.things)]
    radii = scene.radii[:, None] * paper.px_per_m
    for phase in phases:
        centres = paper.at(scene.circles[:, phase])
        corners += [centres - radii, centres + radii]
    for item in scene.applied:
        corners.append(applied_box(item, paper, phases[-1]))
    if END in phases and (arc := _arc(scene, paper)) is not None:
        corners.append(arc_box(arc))
    if not scene.view.level:
        corners.append(paper.at(mat_corners(_ground(scene, phases))))
    corners.append(np.array([[corners[1][:, 0].mean(), paper.at(np.zeros(3))[1] + 8]]))
    every = np.concatenate(corners)
    return every.min(0) - MARGIN, every.max(0) + MARGIN


def _draw(scene: Scene, panel: _Panel) -> list[str]:
    assert scene.load.skeleton is not None
    paper, phases, scale = panel.paper, panel.phases, panel.paper.px_per_m
    drawn = _floor(scene, panel)
    drawn += furniture(paper, scene.things)
    bodies = {phase: _body(scene, paper, phase) for phase in phases}
    if len(phases) == 2:  # what moves leaves its outline behind: each side behind its own ink
        start, end = bodies[START], bodies[END]
        for group in (start["other"], end["other"], end["trunk"], end["still"], start["near"]):
            drawn += group
        drawn += end["near"]
    else:
        drawn += [part for layers in bodies[phases[0]].values() for part in layers]
    if END in phases and scene.movement is not None and (arc := _arc(scene, paper)) is not None:
        drawn += draw_arc(arc, scene.movement, start_line=len(phases) == 1, clear_px=0.055 * scale)
    for item in scene.applied:
        drawn += draw_applied(item, paper, phases[-1], labelled=END in phases)
    if panel.caption:
        x, y = float(panel.low[0] + panel.high[0]) / 2, float(panel.high[1]) - CAPTION + 12
        drawn.append(svg.text(x, y, panel.caption, "fig-caption", "middle"))
    return drawn


def _arc(scene: Scene, paper: Paper) -> Arc | None:
    return movement_arc(scene.movement, scene.points, paper) if scene.movement else None


def _floor(scene: Scene, panel: _Panel) -> list[str]:
    assert scene.load.skeleton is not None
    if not scene.view.level:
        return floor_mat(panel.paper, _ground(scene, panel.phases))
    tilts = [s.normal for s in scene.load.skeleton.surfaces if s.kind == "floor"]
    tilt = np.array(tilts[0]) if tilts and tilts[0][2] < 0.9999 else None
    return floor_line(panel.paper, float(panel.low[0]) + 4, float(panel.high[0]) - 4, tilt)


def _ground(scene: Scene, phases: tuple[int, ...]) -> Array:
    return np.concatenate([scene.circles[:, phase] for phase in phases])


def _body(scene: Scene, paper: Paper, phase: int) -> dict[str, list[str]]:
    """The layers of one posture from back to front: other side, trunk and head, the working
    side's limbs that stay, and those that move or work.

    At the start of a figure in one panel, only what moves.
    """
    radii = scene.radii * paper.px_per_m
    paths = part_paths(paper.at(scene.circles[:, phase]), radii)
    paths["head"] += _nose(scene, paper, phase)
    ghost = scene.plan == "overlay" and phase == START
    shown = [part for part in PARTS if not ghost or part in scene.moved]
    still = {
        part
        for part in PARTS
        if LAYER[part] == "near" and part not in scene.moved | scene.working
        if scene.plan == "overlay"
    }
    layers = {}
    for place in ("other", "trunk", "still", "near"):
        names = [p for p in shown if ("still" if p in still else LAYER[p]) == place]
        plain = layer(paths, [part for part in names if part not in scene.working])
        strong = layer(paths, [part for part in names if part in scene.working])
        css = "fig-limb fig-" + ("near" if place == "still" else place)
        drawn = svg.path(plain, css) + svg.path(strong, f"{css} fig-working")
        posture = "fig-start" if phase == START else "fig-end"
        layers[place] = [f'<g class="{posture}">{drawn}</g>'] if drawn else []
    return layers


def _nose(scene: Scene, paper: Paper, phase: int) -> str:
    facing = paper.view.project(scene.facing[0 if phase == START else 1])
    if float(np.hypot(*facing)) < 0.45:
        return ""
    head = paper.at(scene.circles[HEAD, phase])
    return nose_path(head, facing, float(scene.radii[HEAD]) * paper.px_per_m)
