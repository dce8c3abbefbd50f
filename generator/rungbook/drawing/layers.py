"""One panel from back to front: floor, furniture, the body's far and near limbs, things, words."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from rungbook.drawing import svg
from rungbook.drawing.arrow import arrow
from rungbook.drawing.body_shapes import SIDES
from rungbook.drawing.boxes import Cuboid
from rungbook.drawing.furniture import Furniture
from rungbook.drawing.outlines import joined
from rungbook.drawing.projection import View
from rungbook.drawing.scene import Limb, Scene
from rungbook.drawing.strip import Panel
from rungbook.drawing.surfaces import floor_line, floor_mat, wedge
from rungbook.drawing.surfaces import furniture as draw_furniture
from rungbook.drawing.thing_shapes import draw_thing
from rungbook.drawing.things import Thing


def draw_panel(panel: Panel, paths: dict[str, str], head: tuple[str, str]) -> list[str]:
    """The pieces of SVG of one panel, from back to front."""
    scene, paper, moment = panel.scene, panel.paper, panel.moment
    view, phase = paper.view, moment.phase
    drawn = _floor(panel)
    between = [one for one in scene.furniture if _before_far_limbs(one, scene, view, phase)]
    drawn += draw_furniture(paper, (one for one in scene.furniture if one not in between))
    behind = [thing for thing in scene.things if hidden(thing, scene, view)]
    drawn += [draw_thing(one, paper, phase) for one in behind]
    drawn += body_layers(scene, paths, head, draw_furniture(paper, between))
    drawn += [draw_thing(one, paper, phase) for one in scene.things if one not in behind]
    x, y = paper.offset
    if panel.beside.arrow is not None:
        drawn += arrow(panel.beside.arrow + np.array(paper.offset))
    for label in panel.beside.labels:
        drawn.append(svg.text(label.x + x, label.y + y, label.words, "fig-label", "start"))
    if panel.caption:
        x, y = (panel.low[0] + panel.high[0]) / 2, panel.high[1] - 5
        css = "fig-number" if panel.numbered else "fig-caption"
        drawn.append(svg.text(x, y, panel.caption, css, "middle"))
    return drawn


def _floor(panel: Panel) -> list[str]:
    skeleton = panel.scene.skeleton
    if not panel.paper.view.level:
        if panel.scene.ground_m < -0.1:  # a couch is there
            return []
        return floor_mat(panel.paper, panel.scene.circles[:, panel.moment.phase])
    paper = panel.paper.moved(0.0, -panel.scene.ground_m * panel.paper.px_per_m)
    low, high = panel.low[0] + 2, panel.high[0] - 2
    sloping = next(
        (s for s in skeleton.surfaces if s.kind == "floor" and s.normal[2] < 0.9999), None
    )
    if sloping is None:
        return floor_line(paper, low, high)
    soles = [panel.scene.pose.points[f"{s} {n}"] for s in SIDES for n in ("heel", "toe")]
    spots = np.stack([place[panel.moment.phase] for place in soles])
    board, lowest = wedge(paper, np.array(sloping.normal), spots)
    return [
        *floor_line(paper.moved(0.0, lowest - paper.offset[1]), low, high),
        svg.path(svg.polygon(board), "fig-prop"),
    ]


def hidden(thing: Thing, scene: Scene, view: View) -> bool:
    """Whether the body is before it: by what it is, or as the far hand holds it."""
    away = float(((thing.at - scene.pose.points["pelvis"]) @ view.toward).mean())
    return thing.behind or (thing.held and away < -0.12)


def _before_far_limbs(one: Furniture, scene: Scene, view: View, phase: int) -> bool:
    """Whether it stands nearer than the far leg: the step under one foot hides the other."""
    far = min(
        float(scene.pose.points[f"{side} ankle"][phase] @ view.toward)
        for side in ("working", "other")
    )
    boxes = [shape.corners for shape in one.shapes if isinstance(shape, Cuboid)]
    return bool(boxes) and min(float((box @ view.toward).min()) for box in boxes) > far + 0.02


def body_layers(
    scene: Scene, paths: dict[str, str], head: tuple[str, str], between: Sequence[str] = ()
) -> list[str]:
    """The body from back to front: far limbs, what is `between`, trunk and head, near limbs."""
    behind, before = (
        [_limb(scene, paths, limb) for limb in scene.limbs if (limb.depth_m > 0.03) is near]
        for near in (False, True)
    )
    trunk_css = "fig-body fig-work" if "trunk" in scene.working else "fig-body"
    head_css = "fig-body fig-work" if "head" in scene.working else "fig-body"
    hair, nose = head
    return [
        *behind,
        *between,
        svg.path(nose + joined(paths, ["head"]), head_css),
        svg.path(hair, "fig-hair"),
        svg.path(joined(paths, ["trunk"]), trunk_css),
        *before,
    ]


def _limb(scene: Scene, paths: dict[str, str], limb: Limb) -> str:
    plain = [name for name in limb.parts if name not in scene.working]
    strong = [name for name in limb.parts if name in scene.working]
    css = "fig-body fig-far" if limb.far else "fig-body"
    return svg.path(joined(paths, plain), css) + svg.path(
        joined(paths, strong), "fig-body fig-work"
    )
