"""The figure of an exercise: the postures worth seeing, side by side, as a person.

Start, hardest and end of a movement; a hold once; a hop with its flight; both ways where they
differ. All figures of a page stand at one scale, where they fit a phone's column. The working
side is the right one; `side="left"` is the exact mirror image.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from rungbook.drawing import svg
from rungbook.drawing.layers import draw_panel
from rungbook.drawing.outlines import hair_and_nose, part_paths
from rungbook.drawing.panels import Moment
from rungbook.drawing.paper import Paper
from rungbook.drawing.scene import Scene, scenes_of
from rungbook.drawing.strip import Column, Panel, Strip, laid_out, part_way
from rungbook.drawing.wording import figure_description, figure_title
from rungbook.load.result import PHASES, ExerciseLoad
from rungbook.model.exercise import Exercise
from rungbook.model.latest import latest

Side = Literal["right", "left", "both"]
_PANEL = re.compile(r'<g class="(fig-panel|fig-part)" data-to="(\d+)">.*?</g>')
_STOP = re.compile(r'<g class="fig-part" data-to="(\d+)">')

PX_PER_M = 80.0
OF_POSITION = {"plank": 62.0}  # leaning bodies and what they lean on: one scale from wall to floor
WIDTH_PX = 356.0  # a phone's column: words keep their size there
HEIGHT_PX = 250.0  # what follows on an exercise's page stays on a phone's first screen


@dataclass(frozen=True, slots=True)
class Wanted:
    """A figure to be drawn, panels in rows no wider than `width_px`.

    `numbered` panels have their number alone, large, and the drawing is as wide as they are.
    `prefix` begins its ids: give different ones to two figures of an exercise in one page.
    `parts` are phases at which a patient may have to stop: each is a further panel in place of the
    second one, which `limited` leaves out or shows instead of what goes further.
    """

    exercise: Exercise
    load: ExerciseLoad
    side: Side = "right"
    px_per_m: float | None = None  # that of the position
    width_px: float = WIDTH_PX
    height_px: float = HEIGHT_PX
    prefix: str | None = None
    say: svg.Say = svg.as_written
    numbered: bool = False
    parts: tuple[int, ...] = ()


def limited(figure: str, share: int = 100) -> str:
    """A figure with `parts` as one shows it who goes `share` per cent of the way: no further."""
    stops = [int(stop) for stop in _STOP.findall(figure)]
    if share >= 100 or not stops:
        return _PANEL.sub(lambda panel: panel[0] if panel[1] == "fig-panel" else "", figure)
    kept = {("fig-panel", "0")}  # the start, and the furthest stop that is not too far
    kept.add(("fig-part", str(max((stop for stop in stops if stop <= share), default=-1))))
    return _PANEL.sub(lambda panel: panel[0] if (panel[1], panel[2]) in kept else "", figure)


def exercise_figures(wanted: Sequence[Wanted]) -> list[str]:
    """Many figures as `<svg>`, their bodies computed at once; "" where there is no skeleton."""
    strips = [_strip(one) for one in wanted]
    postures = [
        (panel.paper, panel.scene, panel.moment)
        for strip in strips
        if strip
        for panel in strip.all_panels
    ]
    paths = iter(bodies(postures))
    return [
        _framed(one, strip, [next(paths) for _ in strip.all_panels]) if strip else ""
        for one, strip in zip(wanted, strips, strict=True)
    ]


@latest
def _shown(exercise: Exercise, load: ExerciseLoad) -> tuple[tuple[Scene, Moment], ...]:
    return scenes_of(exercise, load)


def _strip(one: Wanted) -> Strip | None:
    if one.load.skeleton is None:
        return None
    scale = one.px_per_m or OF_POSITION.get(one.exercise.position, PX_PER_M)
    column = Column(one.width_px, one.height_px, scale, one.numbered)
    panels = laid_out(_shown(one.exercise, one.load), one.side == "left", column, one.say)
    return Strip(
        panels,
        None if one.numbered else one.width_px,
        tuple(part_way(panels, phase) for phase in one.parts) if _has_parts(panels) else (),
    )


def _has_parts(panels: Sequence[Panel]) -> bool:
    """Whether one may stop on the way: of a movement that is there and back the same."""
    phases = [panel.moment.phase for panel in panels]
    return len(phases) == 3 and phases == sorted(phases)


def bodies(
    wanted: Sequence[tuple[Paper, Scene, Moment]],
) -> list[tuple[dict[str, str], tuple[str, str]]]:
    """Outlines, hair and nose of bodies, each at its place; many at once are far cheaper."""
    if not wanted:
        return []
    centres = np.stack(
        [
            paper.at(scene.circles[:, moment.phase] + np.array([0, 0, moment.lift_m]))
            for paper, scene, moment in wanted
        ]
    )
    radii = np.stack([scene.radii * paper.px_per_m for paper, scene, _ in wanted])
    heads = [
        hair_and_nose(
            c,
            r,
            paper.view.project(face),
            float(face @ paper.view.toward),
            eyes_closed=scene.eyes_closed,
        )
        for c, r, (paper, scene, moment) in zip(centres, radii, wanted, strict=True)
        for face in (scene.facing[moment.phase],)
    ]
    return list(zip(part_paths(centres, radii), heads, strict=True))


def _framed(
    one: Wanted, strip: Strip, bodies: Sequence[tuple[dict[str, str], tuple[str, str]]]
) -> str:
    drawn = []
    for panel, (paths, head) in zip(strip.all_panels, bodies, strict=True):
        pieces = draw_panel(panel, paths, head)
        if strip.parts:
            css = "fig-part" if panel in strip.parts else "fig-panel"
            to = round(100 * panel.moment.phase / (PHASES - 1))
            pieces = [f'<g class="{css}" data-to="{to}">', *pieces, "</g>"]
        drawn += pieces
    return svg.frame(
        drawn,
        css="drawn-figure",
        prefix=f"fig-{one.prefix or one.exercise.id}-{one.side}",
        box=strip.box,
        title=figure_title(one.exercise, one.side, one.say),
        desc=figure_description(one.exercise, one.load, one.say),
    )
