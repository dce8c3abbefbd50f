"""How weights, bands, straps, sticks, slings, pulleys and hands are drawn."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from rungbook.drawing import svg
from rungbook.drawing.paper import Paper
from rungbook.drawing.things import Thing

Array = NDArray[np.float64]
_DRAWN_AT = 80.0  # pixels a metre at which small parts have the sizes written here


def draw_thing(thing: Thing, paper: Paper, phase: int) -> str:
    """One object at one phase; its label is placed by the panel."""
    at, to = paper.at(thing.at[phase]), paper.at(thing.to[phase])
    size, unit = thing.size_m * paper.px_per_m, paper.px_per_m / _DRAWN_AT
    match thing.shape:
        case "dumbbell":
            return _dumbbell(at, size)
        case "cuff":
            return _cuff(at, to, size)
        case "box":
            return _rectangle(at, size, size * 0.8, "fig-load", 0)
        case "rucksack":
            return _rucksack(at, to, size)
        case "ball":
            return _circle(at, size, "fig-wheel")
        case "turn":
            return _turn(at, size)
        case "bar" | "plate":
            return _plate(at, size)
        case "band" | "strap":
            return _line(at, to, f"fig-{thing.shape}", unit)
        case "stick":
            return _stick(at, to, unit)
        case "sling":
            return _sling(at, to, 0.08 * paper.px_per_m, unit)
        case "pulley":
            return _pulley(at, to, unit)
        case "helper":
            return _helper(at, paper.px_per_m)
        case "wall":
            return _wall(at, to, paper.px_per_m, paper.offset[1])
    return _push(at, to, unit)


def _circle(at: Array, r: float, css: str) -> str:
    x, y = (svg.number(float(v)) for v in at)
    return f'<circle class="{css}" cx="{x}" cy="{y}" r="{svg.number(r)}"/>'


def _dumbbell(at: Array, size: float) -> str:
    half = max(size * 1.15, 6.0)
    handle = svg.polyline(np.stack([at - np.array([half, 0]), at + np.array([half, 0])]))
    discs = "".join(
        _rectangle(at + np.array([s * half, 0]), size * 0.42, size, "fig-load", 1.5)
        for s in (-1, 1)
    )
    return svg.path(handle, "fig-handle") + discs


def _rectangle(at: Array, half_x: float, half_y: float, css: str, r: float) -> str:
    x, y = (svg.number(float(v)) for v in at - np.array([half_x, half_y]))
    return (
        f'<rect class="{css}" x="{x}" y="{y}" width="{svg.number(2 * half_x)}" '
        f'height="{svg.number(2 * half_y)}" rx="{svg.number(r)}"/>'
    )


def _cuff(at: Array, near: Array, size: float) -> str:
    along = near - at
    along = along / max(1e-6, float(np.hypot(*along)))
    across = np.array([-along[1], along[0]])
    corners = [
        at + a * along * size * 0.75 + b * across * size * 0.8
        for a, b in ((-1, -1), (1, -1), (1, 1), (-1, 1))
    ]
    return svg.path(svg.polygon(np.array(corners)), "fig-load")


def _rucksack(at: Array, chest: Array, size: float) -> str:
    """Along the back, its top rounded and towards the neck."""
    up = chest - at
    up = up / max(1e-6, float(np.hypot(*up)))
    across = np.array([-up[1], up[0]])
    turn = np.radians(np.linspace(0, 360, 24, endpoint=False))[:, None]
    x, y = np.cos(turn), np.sin(turn)
    rounded = np.abs(np.hstack([x, y])).max(1, keepdims=True) ** 0.75
    return svg.path(
        svg.polygon(at + size * (0.8 * across * x + 1.15 * up * y) / rounded), "fig-load"
    )


def _plate(at: Array, size: float) -> str:
    return _circle(at, size, "fig-load") + _circle(at, max(2.0, size * 0.16), "fig-hub")


def _line(at: Array, to: Array, css: str, unit: float) -> str:
    end = _circle(to, 3.0 * unit, "fig-hub")
    return svg.path(svg.polyline(np.stack([at, to])), css) + end


def _stick(at: Array, to: Array, unit: float) -> str:
    along = to - at
    size = max(1e-6, float(np.hypot(*along)))
    beyond = unit * (along / size * 9 if size > 4 else np.array([9.0, 0.0]))
    return svg.path(svg.polyline(np.stack([at - beyond, to + beyond])), "fig-stick")


def _sling(at: Array, hook: Array, width: float, unit: float) -> str:
    loop = np.stack(
        [
            hook,
            at + np.array([-width, 2]),
            at + np.array([-width * 0.7, width * 0.55]),
            at + np.array([width * 0.7, width * 0.55]),
            at + np.array([width, 2]),
            hook,
        ]
    )
    half = np.array([9.0 * unit, 0.0])
    top = svg.polyline(np.stack([hook - half, hook + half]))
    return svg.path(svg.polyline(loop), "fig-strap") + svg.path(top, "fig-hook")


def _pulley(at: Array, wheel: Array, unit: float) -> str:
    r = 6.0 * unit
    rope = svg.polyline(np.stack([at, wheel + np.array([-r, 0])])) + svg.polyline(
        np.stack([wheel + np.array([r, 0]), wheel + np.array([r, 46 * unit])])
    )
    weight = _rectangle(wheel + np.array([r, 52 * unit]), 5 * unit, 7 * unit, "fig-load", 1)
    left, right = (wheel + np.array([side * 11 * unit, -1.5 * r]) for side in (-1, 1))
    return (
        svg.path(rope, "fig-rope")
        + _circle(wheel, r, "fig-wheel")
        + weight
        + svg.path(svg.polyline(np.stack([left, right])), "fig-hook")
    )


def _helper(at: Array, scale: float) -> str:
    """A hand beneath the limb: fingers, thumb, forearm and the end of a sleeve."""
    palm = at + np.array([0.0, 0.062]) * scale
    forearm = np.array([[-0.03, 0.0], [0.035, 0.0], [0.15, 0.21], [0.085, 0.245]])
    sleeve = np.array([[0.07, 0.20], [0.15, 0.155], [0.21, 0.27], [0.13, 0.315]])
    thumb = np.array([[0.035, 0.02], [0.065, -0.075], [0.09, -0.07], [0.075, 0.03]])
    turn = np.radians(np.linspace(0, 360, 20, endpoint=False))[:, None]
    hand = np.hstack([0.088 * np.cos(turn) - 0.02, 0.032 * np.sin(turn)])
    skin = "".join(svg.polygon(palm + part * scale) for part in (forearm, thumb, hand))
    return svg.path(skin, "fig-helper") + svg.path(svg.polygon(palm + sleeve * scale), "fig-load")


def _wall(at: Array, to: Array, scale: float, floor: float) -> str:
    """The wall that a fist presses, square to the push: down to the floor where it is upright."""
    way = to - at
    way = way / max(1e-6, float(np.hypot(*way)))
    across = np.array([-way[1], way[0]]) * 0.34 * scale
    middle = at + way * 0.045 * scale
    ends = np.stack([middle - across, middle + across])
    if abs(across[0]) < 0.1 * abs(across[1]):
        ends[ends[:, 1].argmax(), 1] = floor
    return svg.path(svg.polyline(ends), "fig-wall-line")


def _turn(at: Array, size: float) -> str:
    """To one side and to the other: an arc over the head with two heads."""
    turn = np.radians(np.linspace(200, 340, 15))[:, None]
    arc = at + size * np.hstack([np.cos(turn), 0.6 * np.sin(turn) + 0.4])
    heads = (svg.arrow_head(arc[n], arc[n] - arc[m], 0.5 * size) for n, m in ((0, 3), (-1, -4)))
    return svg.path(svg.polyline(arc[3:-3]), "fig-push") + svg.path("".join(heads), "fig-push-head")


def _push(at: Array, to: Array, unit: float) -> str:
    """An arrow from `at` to `to`; none where they are one."""
    along = to - at
    if float(np.hypot(*along)) < 1.0:
        return ""
    return svg.path(svg.polyline(np.stack([at, to - along * 0.2])), "fig-push") + svg.path(
        svg.arrow_head(to, along, 11 * unit), "fig-push-head"
    )
