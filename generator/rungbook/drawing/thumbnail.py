"""The hardest posture of an exercise, or half the way to it, as a small picture and a file.

A page shows many: each is fetched once, lies in the browser's cache, and looks right in both
colour schemes. Words beside it name the exercise, so that it has none.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from rungbook.drawing import svg
from rungbook.drawing.figure import bodies
from rungbook.drawing.layers import body_layers, hidden
from rungbook.drawing.panels import Moment, hardest_phase
from rungbook.drawing.paper import Extent, Pair, Paper, corners
from rungbook.drawing.scene import Scene, make_scene
from rungbook.drawing.surfaces import furniture, furniture_extents
from rungbook.drawing.thing_shapes import draw_thing
from rungbook.drawing.things import ends
from rungbook.load.result import ExerciseLoad
from rungbook.model.exercise import Exercise

WIDE, HIGH = 112.0, 84.0
PX_PER_M = 43.0
_MARGIN = 3.0
# The page's colours (base.css), for a file that is shown as a picture.
STYLE = (
    "svg{--p:#fbfaf6;--i:#1d2a33;--l:#ece6d8;--f:#c3bfb4;--w:#a63f17;--q:#56626b;--t:#0b5563}"
    "@media(prefers-color-scheme:dark){svg{--p:#12181c;--i:#ece9e2;--l:#39444b;--f:#232b30;"
    "--w:#f2a07a;--q:#a9b4bb;--t:#86cbd6}}"
    ".fig-body{fill:var(--l);stroke:var(--i);stroke-width:1.6;paint-order:stroke;"
    "stroke-linejoin:round}.fig-far{fill:var(--f);stroke:var(--q)}"
    ".fig-work{fill:var(--w);stroke:var(--i)}.fig-hair,.fig-hub{fill:var(--i)}"
    ".fig-prop,.fig-wheel{fill:var(--p);stroke:var(--q);stroke-width:1}"
    ".fig-load{fill:var(--q);stroke:var(--i)}.fig-helper{fill:var(--f);stroke:var(--q)}"
    ".fig-band,.fig-push{fill:none;stroke:var(--t);stroke-width:1.6}.fig-push-head{fill:var(--t)}"
    ".fig-strap,.fig-rope,.fig-handle,.fig-hook,.fig-stick,.fig-wall-line,.fig-floor"
    "{fill:none;stroke:var(--i);stroke-width:1.4}"
)


def thumbnails(
    wanted: Sequence[tuple[Exercise, ExerciseLoad]], *, inline: bool = False
) -> list[str]:
    """SVG files of exercises, their bodies computed at once; "" where there is no skeleton.

    `inline` ones have no style of their own: they stand in a page that has `drawing.css`.
    """
    scenes = [make_scene(*one) if one[1].skeleton is not None else None for one in wanted]
    placed = [(scene, *_placed(scene)) for scene in scenes if scene is not None]
    drawn = iter(bodies([(paper, scene, moment) for scene, paper, moment in placed]))
    pictures = iter(
        _picture(scene, paper, moment, *next(drawn), inline) for scene, paper, moment in placed
    )
    return [next(pictures) if scene is not None else "" for scene in scenes]


def _placed(scene: Scene) -> tuple[Paper, Moment]:
    """The paper on which a posture stands in the middle of its ground: the hardest, or half-way."""
    phase = hardest_phase(scene.load)
    flight = next((m for m in scene.moments if m.lift_m), None)
    if phase is None or (phase <= 1 and len(scene.moments) > 1):
        phase = scene.moments[len(scene.moments) // 2].phase  # a start looks like any other
    moment = flight or Moment(phase, ("hardest",))
    scale = PX_PER_M
    low, high = _corners(scene, moment, scale)
    room = min((WIDE - 2 * _MARGIN) / (high[0] - low[0]), (HIGH - 2 * _MARGIN) / (high[1] - low[1]))
    if room < 1:
        scale *= room
        low, high = _corners(scene, moment, scale)
    across = WIDE / 2 - (low[0] + high[0]) / 2
    return Paper(scene.view, scale, (across, HIGH - _MARGIN - high[1])), moment


def _corners(scene: Scene, moment: Moment, scale: float) -> tuple[Pair, Pair]:
    seen = scene.view.project(scene.circles[:, moment.phase] + np.array([0, 0, moment.lift_m]))
    reach = np.stack([-scene.radii, scene.radii])[:, :, None]
    extents = [Extent.around(seen + reach), *furniture_extents(scene.view, scene.furniture)]
    extents += [
        Extent.around(scene.view.project(ends(thing, moment.phase)), (4, 4), (4, 4))
        for thing in scene.things
    ]
    if scene.view.level:
        ground = -scene.ground_m
        extents.append(Extent((seen[:, 0].min(), ground), (seen[:, 0].max(), ground)))
    return corners(extents, scale)


def _picture(
    scene: Scene, paper: Paper, moment: Moment, paths: dict[str, str],
    head: tuple[str, str], inline: bool,
) -> str:  # fmt: skip
    parts = [] if inline else [f"<style>{STYLE}</style>"]
    if scene.view.level:
        y = paper.offset[1] - scene.ground_m * paper.px_per_m
        parts.append(svg.path(svg.polyline(np.array([[4.0, y], [WIDE - 4.0, y]])), "fig-floor"))
    parts += furniture(paper, scene.furniture)
    behind = [thing for thing in scene.things if hidden(thing, scene, scene.view)]
    parts += [draw_thing(one, paper, moment.phase) for one in behind]
    parts += body_layers(scene, paths, head)
    parts += [draw_thing(one, paper, moment.phase) for one in scene.things if one not in behind]
    css = ' class="drawn-small" aria-hidden="true"' if inline else ""
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{WIDE:g}" height="{HIGH:g}" '
        f'viewBox="0 0 {WIDE:g} {HIGH:g}"{css}>' + "".join(parts) + "</svg>"
    )
