"""The figure in all eleven postures, on one piece of paper: what a handle moves it through."""

from __future__ import annotations

from dataclasses import dataclass

from rungbook.drawing.figure import bodies
from rungbook.drawing.layers import draw_panel
from rungbook.drawing.panels import Moment
from rungbook.drawing.paper import Paper
from rungbook.drawing.scene import make_scene
from rungbook.drawing.strip import Panel, Strip, beside_of, room_of
from rungbook.load.result import PHASES, ExerciseLoad
from rungbook.model.exercise import Exercise

PX_PER_M = 118.0


@dataclass(frozen=True, slots=True)
class Motion:
    """`box` is x, y, width, height in pixels; `postures` the SVG inside it, one a phase."""

    box: tuple[float, float, float, float]
    postures: tuple[str, ...]


def motion(exercise: Exercise, load: ExerciseLoad) -> Motion:
    """Every posture as the figure draws it, of an exercise whose posture is computed."""
    scene = make_scene(exercise, load)
    paper = Paper(scene.view, PX_PER_M)
    moments = [Moment(phase, ()) for phase in range(PHASES)]
    besides = [beside_of(scene, one, paper, labelled=True) for one in moments]
    rooms = (
        room_of(scene, one, paper, beside) for one, beside in zip(moments, besides, strict=True)
    )
    lows, highs = zip(*rooms, strict=True)
    low = min(x for x, _ in lows), min(y for _, y in lows)
    high = max(x for x, _ in highs), max(y for _, y in highs)
    panels = tuple(
        Panel(scene, one, paper, low, high, beside)
        for one, beside in zip(moments, besides, strict=True)
    )
    outlines = bodies([(paper, scene, one) for one in moments])
    return Motion(
        Strip(panels).box,
        tuple(
            "".join(draw_panel(panel, *body)) for panel, body in zip(panels, outlines, strict=True)
        ),
    )
