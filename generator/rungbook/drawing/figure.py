"""The figure of an exercise: the postures worth seeing, side by side, as a person.

Start, hardest and end of a movement; a hold once; a hop with its flight. All panels stand on
one ground at one scale; lying bodies one below the other. The working side is the right one;
`side="left"` is the exact mirror image.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from rungbook.drawing import svg
from rungbook.drawing.arrow import arrow, arrow_line
from rungbook.drawing.labels import Label, placed
from rungbook.drawing.objects import draw_thing, ends
from rungbook.drawing.outlines import hair_and_nose, joined, part_paths
from rungbook.drawing.panels import Moment
from rungbook.drawing.paper import Extent, Pair, Paper, corners
from rungbook.drawing.projection import View
from rungbook.drawing.scene import Scene, depths_of, make_scene
from rungbook.drawing.surfaces import floor_line, floor_mat, furniture_extents, mat_corners
from rungbook.drawing.surfaces import furniture as draw_furniture
from rungbook.drawing.wording import figure_description, figure_title
from rungbook.drawing.words import width_px
from rungbook.load.result import ExerciseLoad
from rungbook.model.exercise import Exercise
from rungbook.model.latest import latest

Array = NDArray[np.float64]
Side = Literal["right", "left", "both"]

PX_PER_M = 118.0
WIDTH_PX = 356.0  # a phone's column: words keep their size there
MARGIN = 7.0
GAP = 12.0
CAPTION = 18.0
CAPTION_PX = 11.5


@dataclass(frozen=True, slots=True)
class Wanted:
    """A figure to be drawn, panels in rows no wider than `width_px`.

    `numbered` panels have their number alone, large. `prefix` begins its ids: give different
    ones to two figures of an exercise in one page.
    """

    exercise: Exercise
    load: ExerciseLoad
    side: Side = "right"
    px_per_m: float = PX_PER_M
    width_px: float = WIDTH_PX
    prefix: str | None = None
    say: svg.Say = svg.as_written
    numbered: bool = False


def exercise_figures(wanted: Sequence[Wanted]) -> list[str]:
    """Many figures as `<svg>`, their bodies computed at once; "" where there is no skeleton."""
    strips = [_strip(one) for one in wanted]
    postures = [
        (strip.view, panel.paper, strip.scene, panel.moment)
        for strip in strips
        if strip
        for panel in strip.panels
    ]
    paths = iter(bodies(postures))
    return [
        _framed(one, strip, [next(paths) for _ in strip.panels]) if strip else ""
        for one, strip in zip(wanted, strips, strict=True)
    ]


@latest
def _scene(exercise: Exercise, load: ExerciseLoad) -> Scene:
    return make_scene(exercise, load)


@dataclass(frozen=True)
class Panel:
    """One posture on its piece of paper, and the corners it takes in pixels."""

    moment: Moment
    paper: Paper
    low: Pair
    high: Pair
    caption: str
    numbered: bool


@dataclass(frozen=True, eq=False)
class Strip:
    """All panels of a figure as one side sees them."""

    scene: Scene
    view: View
    panels: tuple[Panel, ...]

    @cached_property
    def box(self) -> tuple[float, float, float, float]:
        """x, y, width, height in pixels."""
        lows, highs = [p.low for p in self.panels], [p.high for p in self.panels]
        x, y = min(low[0] for low in lows), min(low[1] for low in lows)
        return x, y, max(h[0] for h in highs) - x, max(h[1] for h in highs) - y


def _strip(one: Wanted) -> Strip | None:
    if one.load.skeleton is None:
        return None
    scene = _scene(one.exercise, one.load)
    view = scene.view.mirror() if one.side == "left" else scene.view
    return Strip(scene, view, _laid_out(scene, view, one))


def _laid_out(scene: Scene, view: View, one: Wanted) -> tuple[Panel, ...]:
    """In one row where they fit at this scale or a little less, else in rows."""
    for less in (1.0, 0.9, 0.8, 0.7, 0.62):
        scale = one.px_per_m * less
        boxes = _boxes(scene, view, scale, one)
        if sum(box.width for box in boxes) + GAP * (len(boxes) - 1) <= one.width_px:
            return _rows([boxes], view, scale, one.numbered)
    widest = max(box.width for box in _boxes(scene, view, one.px_per_m, one))
    scale = one.px_per_m * min(1.0, one.width_px / widest)
    rows: list[list[_Box]] = []
    across = one.width_px
    for box in _boxes(scene, view, scale, one):
        if across + GAP + box.width > one.width_px:
            rows.append([])
            across = -GAP
        rows[-1].append(box)
        across += GAP + box.width
    return _rows(rows, view, scale, one.numbered)


@dataclass(frozen=True)
class _Box:
    """What a panel takes about the room's zero, in pixels, its caption below apart."""

    moment: Moment
    low: Pair
    high: Pair
    caption: str

    @property
    def width(self) -> float:
        """Room for body and caption."""
        return max(self.high[0] - self.low[0], width_px(self.caption, CAPTION_PX) + 6)


def _boxes(scene: Scene, view: View, scale: float, one: Wanted) -> list[_Box]:
    several = len(scene.moments) > 1
    found = []
    for number, moment in enumerate(scene.moments, 1):
        words = "" if one.numbered else _caption(moment, one.say)
        caption = f"{number} {words}".strip() if several else words
        found.append(_Box(moment, *room_of(scene, view, moment, scale), caption))
    return found


def _rows(
    rows: Sequence[Sequence[_Box]], view: View, scale: float, numbered: bool
) -> tuple[Panel, ...]:
    """The panels of each row on one ground, row below row."""
    panels = []
    down = 0.0
    for row in rows:
        top, bottom = min(box.low[1] for box in row), max(box.high[1] for box in row)
        across = 0.0
        for box in row:
            spare = (box.width - (box.high[0] - box.low[0])) / 2
            paper = Paper(view, scale, (across - box.low[0] + spare, down - top))
            low, high = (across, down), (across + box.width, down + bottom - top + CAPTION)
            panels.append(Panel(box.moment, paper, low, high, box.caption, numbered))
            across += box.width + GAP
        down += bottom - top + CAPTION + 4
    return tuple(panels)


def _caption(moment: Moment, say: svg.Say) -> str:
    return ", ".join(say(role) for role in moment.roles if role != "between")


def room_of(scene: Scene, view: View, moment: Moment, scale: float) -> tuple[Pair, Pair]:
    """What a panel has to hold, in pixels about the room's zero."""
    lift = np.array([0.0, 0.0, moment.lift_m])
    seen = view.project(scene.circles[:, moment.phase] + lift)
    reach = np.stack([-scene.radii, scene.radii])[:, :, None]
    extents = [Extent.around(seen + reach), *furniture_extents(view, scene.furniture)]
    for thing in scene.things:
        extents.append(Extent.around(view.project(ends(thing, moment.phase)), (8, 8), (8, 8)))
    if not view.level:
        extents.append(Extent.around(view.project(mat_corners(scene.circles[:, moment.phase]))))
    extents.append(Extent((seen[:, 0].min(), 0.0), (seen[:, 0].max(), 0.0)))
    if moment.phase == 0 and "start" in moment.roles:
        line = arrow_line(scene, view, scale)
        if line is not None:
            extents.append(Extent.around(line / scale, (8, 8), (8, 8)))
    for label in _labels(scene, view, moment, Paper(view, scale), scale):
        extents.append(Extent.around(np.array([label.low, label.high]) / scale))
    (x0, y0), (x1, y1) = corners(extents, scale)
    return (x0 - MARGIN, y0 - MARGIN), (x1 + MARGIN, y1 + MARGIN)


def _labels(scene: Scene, view: View, moment: Moment, paper: Paper, scale: float) -> list[Label]:
    if moment is not scene.moments[-1]:
        return []
    body = paper.on(view.project(scene.circles[:, moment.phase]))
    spots = [
        (thing.label, paper.at(ends(thing, moment.phase))) for thing in scene.things if thing.label
    ]
    return placed(spots, body, scene.radii * scale)


def bodies(
    wanted: Sequence[tuple[View, Paper, Scene, Moment]],
) -> list[tuple[dict[str, str], tuple[str, str]]]:
    """Outlines, hair and nose of bodies, each at its place; many at once are far cheaper."""
    if not wanted:
        return []
    centres = np.stack(
        [
            paper.at(scene.circles[:, moment.phase] + np.array([0, 0, moment.lift_m]))
            for _, paper, scene, moment in wanted
        ]
    )
    radii = np.stack([scene.radii * paper.px_per_m for _, paper, scene, _ in wanted])
    faces = [scene.facing[moment.phase] for _, _, scene, moment in wanted]
    heads = [
        hair_and_nose(c, r, view.project(face), float(face @ view.toward))
        for c, r, face, (view, *_) in zip(centres, radii, faces, wanted, strict=True)
    ]
    return list(zip(part_paths(centres, radii), heads, strict=True))


def _framed(
    one: Wanted, strip: Strip, bodies: Sequence[tuple[dict[str, str], tuple[str, str]]]
) -> str:
    drawn = [
        part
        for panel, (paths, head) in zip(strip.panels, bodies, strict=True)
        for part in draw_panel(strip, panel, paths, head)
    ]
    return svg.frame(
        drawn,
        css="drawn-figure",
        prefix=f"fig-{one.prefix or one.exercise.id}-{one.side}",
        box=strip.box,
        title=figure_title(one.exercise, one.side, one.say),
        desc=figure_description(one.exercise, one.load, one.say),
    )


def draw_panel(
    strip: Strip, panel: Panel, paths: dict[str, str], head: tuple[str, str]
) -> list[str]:
    """The pieces of SVG of one panel, from back to front."""
    scene, view, paper, phase = strip.scene, strip.view, panel.paper, panel.moment.phase
    drawn = _floor(strip, panel)
    drawn += draw_furniture(paper, scene.furniture)
    drawn += [draw_thing(t, paper, phase) for t in scene.things if t.behind]
    drawn += body_layers(scene, view, phase, paths, head)
    drawn += [draw_thing(t, paper, phase) for t in scene.things if not t.behind]
    if "start" in panel.moment.roles:
        line = arrow_line(scene, view, paper.px_per_m)
        if line is not None:
            drawn += arrow(line + np.array(paper.offset))
    for label in _labels(scene, view, panel.moment, paper, paper.px_per_m):
        drawn.append(svg.text(label.x, label.y, label.words, "fig-label", "start"))
    if panel.caption:
        x, y = (panel.low[0] + panel.high[0]) / 2, panel.high[1] - 5
        css = "fig-number" if panel.numbered else "fig-caption"
        drawn.append(svg.text(x, y, panel.caption, css, "middle"))
    return drawn


def _floor(strip: Strip, panel: Panel) -> list[str]:
    skeleton = strip.scene.load.skeleton
    assert skeleton is not None
    if not strip.view.level:
        return floor_mat(panel.paper, strip.scene.circles[:, panel.moment.phase])
    tilts = [s.normal for s in skeleton.surfaces if s.kind == "floor"]
    tilt = np.array(tilts[0]) if tilts and tilts[0][2] < 0.9999 else None
    return floor_line(panel.paper, panel.low[0] + 2, panel.high[0] - 2, tilt)


# Joints of a limb, its parts, and what of the trunk it lies before or behind.
_LIMBS = (
    (("hip", "knee", "ankle"), ("thigh", "shank", "foot"), ("pelvis", "lumbar")),
    (("shoulder", "elbow", "wrist"), ("upper arm", "forearm", "hand"), ("chest", "lumbar")),
)


def body_layers(
    scene: Scene, view: View, phase: int, paths: dict[str, str], head: tuple[str, str]
) -> list[str]:
    """The body from back to front: far limbs, trunk and head, near limbs."""
    points = scene.pose.points
    sideways = (
        abs(float((points["other hip"][phase] - points["working hip"][phase]) @ view.toward)) > 0.05
    )
    behind: list[tuple[float, str]] = []
    before: list[tuple[float, str]] = []
    for side in ("working", "other"):
        for joints, parts, trunk in _LIMBS:
            depths = depths_of(points, tuple(f"{side} {j}" for j in joints), view)
            depths -= depths_of(points, trunk, view)
            depth, mostly = float(depths[phase]), float(depths.mean())
            before_it = depth > 0.03
            far = sideways and mostly < 0 and not before_it  # one shade all the way
            names = [f"{side} {part}" for part in parts]
            group = before if before_it else behind
            group.append((depth, _limb(scene, paths, names, far)))
    trunk_css = "fig-body fig-work" if "trunk" in scene.working else "fig-body"
    head_css = "fig-body fig-work" if "head" in scene.working else "fig-body"
    hair, nose = head
    return [
        *(drawn for _, drawn in sorted(behind)),
        svg.path(nose + joined(paths, ["head"]), head_css),
        svg.path(hair, "fig-hair"),
        svg.path(joined(paths, ["trunk"]), trunk_css),
        *(drawn for _, drawn in sorted(before)),
    ]


def _limb(scene: Scene, paths: dict[str, str], names: list[str], far: bool) -> str:
    plain = [name for name in names if name not in scene.working]
    strong = [name for name in names if name in scene.working]
    css = "fig-body fig-far" if far else "fig-body"
    return svg.path(joined(paths, plain), css) + svg.path(
        joined(paths, strong), "fig-body fig-work"
    )
