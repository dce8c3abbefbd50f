"""How weights, bands, straps, sticks, slings, pulleys and hands are drawn."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from rungbook.drawing import svg
from rungbook.drawing.paper import Paper
from rungbook.drawing.things import Thing

Array = NDArray[np.float64]


def draw_thing(thing: Thing, paper: Paper, phase: int) -> str:
    """One object at one phase; its label is placed by the panel."""
    at, to = paper.at(thing.at[phase]), paper.at(thing.to[phase])
    size = thing.size_m * paper.px_per_m
    match thing.shape:
        case "dumbbell":
            return _dumbbell(at, size)
        case "cuff":
            return _cuff(at, to, size)
        case "box":
            return _rectangle(at, size, size * 0.8, "fig-load", 0)
        case "rucksack":
            return _rucksack(at, to, size)
        case "bar" | "plate":
            return _plate(at, size)
        case "band" | "strap":
            return _line(at, to, f"fig-{thing.shape}")
        case "stick":
            return _stick(at, to)
        case "sling":
            return _sling(at, to, 0.08 * paper.px_per_m)
        case "pulley":
            return _pulley(at, to)
        case "helper":
            return _helper(at, paper.px_per_m)
        case "wall":
            return _wall(at, to, paper.px_per_m, paper.offset[1])
    return _push(at, to)


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


def _line(at: Array, to: Array, css: str) -> str:
    end = _circle(to, 3.0, "fig-hub")
    return svg.path(svg.polyline(np.stack([at, to])), css) + end


def _stick(at: Array, to: Array) -> str:
    along = to - at
    size = max(1e-6, float(np.hypot(*along)))
    beyond = along / size * 9 if size > 4 else np.array([9.0, 0.0])
    return svg.path(svg.polyline(np.stack([at - beyond, to + beyond])), "fig-stick")


def _sling(at: Array, hook: Array, width: float) -> str:
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
    top = svg.polyline(np.stack([hook - np.array([9, 0]), hook + np.array([9, 0])]))
    return svg.path(svg.polyline(loop), "fig-strap") + svg.path(top, "fig-hook")


def _pulley(at: Array, wheel: Array) -> str:
    r = 6.0
    rope = svg.polyline(np.stack([at, wheel + np.array([-r, 0])])) + svg.polyline(
        np.stack([wheel + np.array([r, 0]), wheel + np.array([r, 46])])
    )
    weight = _rectangle(wheel + np.array([r, 52]), 5, 7, "fig-load", 1)
    top = svg.polyline(np.stack([wheel - np.array([11, r + 3]), wheel + np.array([11, -r - 3])]))
    return (
        svg.path(rope, "fig-rope")
        + _circle(wheel, r, "fig-wheel")
        + weight
        + svg.path(top, "fig-hook")
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


def _push(at: Array, to: Array) -> str:
    """An arrow from `at` to `to`; none where they are one."""
    along = to - at
    if float(np.hypot(*along)) < 1.0:
        return ""
    return svg.path(svg.polyline(np.stack([at, to - along * 0.2])), "fig-push") + svg.path(
        svg.arrow_head(to, along, 11), "fig-push-head"
    )
