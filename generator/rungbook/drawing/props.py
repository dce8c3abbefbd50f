"""What loads or helps the body: weights, bands, pushes, and what carries a limb."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from rungbook.drawing import svg
from rungbook.drawing.paper import Extent, Paper
from rungbook.drawing.projection import View
from rungbook.drawing.words import width_px
from rungbook.load.result import Applied

Array = NDArray[np.float64]

LABEL_PX = 12.5


def draw_applied(item: Applied, paper: Paper, phase: int, labelled: bool) -> list[str]:
    """One applied thing at one phase."""
    at = paper.at(item.point_m[phase])
    if item.kind == "weight":
        return _weight(at, item.label if labelled else "")
    towards = _direction(item, paper.view, phase)
    if item.kind == "band":
        reach = towards * _band_length(item, phase) * paper.px_per_m
        return _band(at, reach, item.label if labelled else "")
    if item.kind == "push":
        tail, tip = at - towards * 0.34 * paper.px_per_m, at - towards * 0.06 * paper.px_per_m
        return _arrow(tail, tip, item.label if labelled else "", "fig-push", at_tail=True)
    tip = at + towards * 0.34 * paper.px_per_m
    return [
        svg.path(_sling(at, towards, 0.075 * paper.px_per_m), "fig-sling"),
        *_arrow(at + towards * 0.075 * paper.px_per_m, tip, item.label if labelled else "",
                "fig-assist", at_tail=False),
    ]  # fmt: skip


def applied_extents(item: Applied, view: View, phase: int) -> tuple[Extent, ...]:
    """The room that the thing and its label need."""
    at = view.project(item.point_m[phase])
    if item.kind == "weight":
        return (Extent.around(at, (21.0, 21.0), (21.0, 21.0)),)
    metres = {"push": -0.36, "band": _band_length(item, phase)}.get(item.kind, 0.44)
    end = at + _direction(item, view, phase) * metres
    wide = width_px(item.label, LABEL_PX)
    room = (wide + 14 if item.kind == "band" else wide / 2 + 2, 18.0)
    return Extent.around(at, (10.0, 10.0), (10.0, 10.0)), Extent.around(end, room, room)


def _direction(item: Applied, view: View, phase: int) -> Array:
    """Where the force points on paper, a unit vector (2,); upward where it cannot be seen."""
    force = view.project(item.force_n[phase])
    size = float(np.hypot(*force))
    whole = float(np.linalg.norm(item.force_n[phase]))
    if size < 0.25 * whole or size < 1e-9:
        return np.array([0.0, -1.0])
    return force / size


def _weight(at: Array, label: str) -> list[str]:
    radius = min(20.0, max(11.0, width_px(label, 11) / 2 + 3))
    x, y = (svg.number(float(v)) for v in at)
    out = [f'<circle class="fig-weight" cx="{x}" cy="{y}" r="{svg.number(radius)}"/>']
    if label:
        out.append(svg.text(float(at[0]), float(at[1]) + 4, label, "fig-weight-label", "middle"))
    return out


def _band(at: Array, reach: Array, label: str) -> list[str]:
    along = reach / max(1e-6, float(np.hypot(*reach)))
    across = np.array([-along[1], along[0]])
    size = float(np.hypot(*reach))
    teeth = 2 * max(3, round(size / 16))
    shares = np.concatenate(
        [[0.0, 0.15], 0.15 + 0.7 * (np.arange(teeth) + 0.5) / teeth, [0.85, 1.0]]
    )
    sways = np.concatenate([[0, 0], np.where(np.arange(teeth) % 2, -5.0, 5.0), [0, 0]])
    line = at + shares[:, None] * reach + sways[:, None] * across
    end = at + reach
    anchor = np.stack([end - across * 7, end + across * 7])
    return [
        svg.path(svg.polyline(line), "fig-band"),
        svg.path(svg.polyline(anchor), "fig-anchor"),
        *_band_label(at + 0.5 * reach, along, label),
    ]


def _band_length(item: Applied, phase: int) -> float:
    """To the floor where it pulls straight down, else a piece of it, in metres."""
    down = -float(item.force_n[phase][2]) / max(1e-9, float(np.linalg.norm(item.force_n[phase])))
    return max(0.25, float(item.point_m[phase][2]) - 0.02) if down > 0.95 else 0.42


def _band_label(middle: Array, along: Array, label: str) -> list[str]:
    """Beside the middle of the band."""
    if not label:
        return []
    if abs(along[0]) > 0.5:
        return [svg.text(float(middle[0]), float(middle[1]) - 12, label, "fig-label", "middle")]
    return [svg.text(float(middle[0]) + 12, float(middle[1]) + 4, label, "fig-label", "start")]


def _arrow(tail: Array, tip: Array, label: str, css: str, *, at_tail: bool) -> list[str]:
    along = (tip - tail) / max(1e-6, float(np.hypot(*(tip - tail))))
    out = [
        svg.path(svg.polyline(np.stack([tail, tip - along * 8])), css),
        svg.path(svg.arrow_head(tip, along, 11), f"{css}-head"),
    ]
    return out + (_label(tail, -along, label) if at_tail else _label(tip, along, label))


def _label(end: Array, along: Array, label: str) -> list[str]:
    if not label:
        return []
    spot = end + along * 5
    if abs(along[0]) < 0.5:
        y = spot[1] + (13 if along[1] > 0 else -2)
        return [svg.text(float(spot[0]), float(y), label, "fig-label", "middle")]
    anchor = "start" if along[0] > 0 else "end"
    return [svg.text(float(spot[0]), float(spot[1]) + 4, label, "fig-label", anchor)]


def _sling(at: Array, towards: Array, size: float) -> str:
    """A loop under the limb, open towards the pull."""
    across = np.array([-towards[1], towards[0]]) * size
    turn = np.radians(np.linspace(0, 180, 9))[:, None]
    bow = at + np.cos(turn) * across - np.sin(turn) * towards * size
    ends = at + towards * size * 1.05
    return svg.polyline(np.concatenate([[ends], bow, [ends]]))
