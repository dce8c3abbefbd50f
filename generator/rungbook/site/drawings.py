"""The drawings that pages show, each made once. Values in, SVG out: see `rungbook.drawing`."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from markupsafe import Markup

from rungbook.drawing import maps
from rungbook.drawing.curve import moment_curve
from rungbook.drawing.diagram import Diagram, draw
from rungbook.drawing.figure import exercise_figure
from rungbook.drawing.staircase import NARROW_PX, WIDE_PX
from rungbook.drawing.staircase import staircase as draw_staircase
from rungbook.ladder.measured import MeasuredLibrary


@dataclass(frozen=True, slots=True)
class Map:
    """A map of progressions and the same in words; no drawing where there is no engine."""

    drawing: Markup
    sentences: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Maps:
    """Every map of the site, drawn in one go. `warning` says why there are no drawings."""

    ladders: Mapping[str, Map]
    exercises: Mapping[str, Map]
    warning: str


NO_MAP = Map(Markup(), ())


def _page_beside(exercise: str) -> str:
    return f"{exercise}.html"


def _page_from_ladder(exercise: str) -> str:
    return f"../exercises/{exercise}.html"


def all_maps(measured: MeasuredLibrary) -> Maps:
    """The maps of all ladders and the neighbourhoods of all exercises."""
    wanted: dict[tuple[str, str], Diagram] = {}
    for key in measured.ladders:
        wanted["ladder", key] = maps.ladder_map(measured, key, href=_page_from_ladder)
    for key in measured.library.exercises:
        near = maps.neighbourhood(measured, key, href=_page_beside)
        if near is not None:
            wanted["exercise", key] = near
    drawn = draw(tuple(wanted.values()), measured.library.settings.diagrams.engine)
    pictures = drawn.drawings or ("",) * len(wanted)
    found: dict[str, dict[str, Map]] = {"ladder": {}, "exercise": {}}
    for ((kind, key), diagram), picture in zip(wanted.items(), pictures, strict=True):
        found[kind][key] = Map(Markup(picture), diagram.sentences)
    return Maps(found["ladder"], found["exercise"], drawn.reason)


def figure(measured: MeasuredLibrary, key: str) -> Markup:
    """Start and end posture of an exercise; nothing where no posture is computed."""
    load = measured.loads.get(key)
    if load is None or load.skeleton is None:
        return Markup()
    return Markup(exercise_figure(measured.library.exercises[key], load))


def curves(measured: MeasuredLibrary, key: str) -> tuple[Markup, ...]:
    """The moment over the movement, for each action that has one."""
    load = measured.loads.get(key)
    if load is None:
        return ()
    return tuple(
        Markup(moment_curve(load, works, prefix=f"{key}-{number}"))
        for number, (works, demand) in enumerate(load.demands.items())
        if demand.basis == "statics" and demand.curve_nm.size
    )


def staircases(measured: MeasuredLibrary, ladder: str) -> tuple[Markup, Markup]:
    """The rungs as treads at their load, for a phone and for a wide page."""
    narrow, wide = (
        Markup(
            draw_staircase(
                measured,
                ladder,
                href=_page_from_ladder,
                width_px=width,
                prefix=f"{ladder}-{round(width)}",
            )
        )
        for width in (NARROW_PX, WIDE_PX)
    )
    return narrow, wide
