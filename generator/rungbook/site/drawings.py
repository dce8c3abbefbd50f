"""The drawings that pages show, each made once. Values in, SVG out: see `rungbook.drawing`."""

from __future__ import annotations

from markupsafe import Markup

from rungbook.drawing.curve import moment_curve
from rungbook.drawing.figure import exercise_figure
from rungbook.ladder.measured import MeasuredLadder
from rungbook.site.catalogue import Catalogue


def figure(catalogue: Catalogue, key: str) -> Markup:
    """Start and end posture of an exercise; nothing where no posture is computed."""
    load = catalogue.measured.loads.get(key)
    if load is None or load.skeleton is None:
        return Markup()
    return Markup(exercise_figure(catalogue.library.exercises[key], load))


def curves(catalogue: Catalogue, key: str) -> tuple[Markup, ...]:
    """The moment over the movement, for each action that has one."""
    load = catalogue.measured.loads.get(key)
    if load is None:
        return ()
    return tuple(
        Markup(moment_curve(load, works, prefix=f"{key}-curve-{number}"))
        for number, (works, demand) in enumerate(load.demands.items())
        if demand.basis == "statics" and demand.curve_nm.size
    )


def staircase(catalogue: Catalogue, measured: MeasuredLadder) -> Markup:
    """The rungs as treads at their load."""
    return Markup()


def ladder_map(catalogue: Catalogue, measured: MeasuredLadder) -> Markup:
    """Every way up a ladder."""
    return Markup()


def neighbourhood(catalogue: Catalogue, key: str) -> Markup:
    """An exercise between its neighbours."""
    return Markup()
