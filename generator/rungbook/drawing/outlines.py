"""Outlines of bodies on paper: for many postures at once, the path of each part."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping

import numpy as np
from numpy.typing import NDArray

from rungbook.drawing import svg
from rungbook.drawing.body_shapes import HULLS, INDEX, PAIRS, PARTS

Array = NDArray[np.float64]

_FIRST = np.array([first for _, first, _ in PAIRS])
_LAST = np.array([last for _, _, last in PAIRS])
_PAIR = "M%s,%sL%s,%sA%s,%s 0 0 0 %s,%sL%s,%sA%s,%s 0 1 0 %s,%sZ"
_WIDEST = max(len(members) for _, members in HULLS)
_MEMBERS = np.array([[*members, *members[-1:] * _WIDEST][:_WIDEST] for _, members in HULLS])
_ANGLES = -np.arange(36) * (2 * np.pi / 36)  # the same turn as the pairs' paths
_AROUND = np.stack([np.cos(_ANGLES), np.sin(_ANGLES)])  # (2, 36)
_HULL = "M" + "%s,%s " * (len(_ANGLES) - 1) + "%s,%sZ"
_SHAPES = [(part, _PAIR) for part, _, _ in PAIRS] + [(part, _HULL) for part, _ in HULLS]
_BODY = "|".join(form for _, form in _SHAPES)
SIDEWAYS = 0.45  # a face seen from the side: its length on paper


def part_paths(centres: Array, radii: Array) -> list[dict[str, str]]:
    """The outlines of the parts of postures: centres (p, c, 2) and radii (p, c) in pixels."""
    numbers = np.concatenate([_pairs(centres, radii), _hulls(centres, radii)], axis=1)
    flat, size = svg.texts(numbers), numbers.shape[1]
    found = []
    for first in range(0, len(flat), size):
        drawn = dict.fromkeys(PARTS, "")
        shapes = (_BODY % tuple(flat[first : first + size])).split("|")
        for (part, _), outline in zip(_SHAPES, shapes, strict=True):
            drawn[part] += outline
        found.append(drawn)
    return found


def joined(paths: Mapping[str, str], parts: Iterable[str]) -> str:
    """One path of several parts: drawn with its stroke below, they show one outline."""
    return "".join(paths[part] for part in parts)


def hair_and_nose(
    centres: Array, radii: Array, face: Array, toward_eye: float, *, eyes_closed: bool = False
) -> tuple[str, str]:
    """The hair and the nose of one head.

    `centres` (c, 2) and `radii` (c,) of the body in pixels; `face` (2,) where the face points,
    a shortened unit vector on paper; `toward_eye` the rest of it, negative seen from behind.
    """
    skull, r = centres[INDEX["skull"]], float(radii[INDEX["skull"]])
    up = skull - centres[INDEX["jaw"]] + 0.0
    length = float(np.hypot(*face))
    if length < SIDEWAYS:
        whole = toward_eye < 0
        up = skull - centres[INDEX["nape"]]
        if whole:
            return _cap(skull, r, up, 100.0, 0.9), ""
        return _cap(skull, r, up, 62.0, 0.25) + _eyes(skull, r, up, closed=eyes_closed), ""
    forward = face / length
    up = up - (up @ forward) * forward * 0.6
    up = up / max(1e-6, float(np.hypot(*up)))
    across = forward - (forward @ up) * up
    across = across / max(1e-6, float(np.hypot(*across)))
    tip, base = skull + across * r * 1.22 - up * r * 0.28, skull + across * r * 0.86
    nose = np.stack([base + up * r * 0.02, tip, base - up * r * 0.46])
    return _hair(skull, r, up, across), svg.polygon(nose)


def _hair(skull: Array, r: float, up: Array, across: Array) -> str:
    """From the forehead over the top down to the nape, seen from the side."""
    turn = np.radians(np.linspace(28, -128, 12))[:, None]
    outer = skull + 1.05 * r * (np.cos(turn) * up + np.sin(turn) * across)
    inner = np.stack(
        [skull - across * 0.42 * r - up * 0.28 * r, skull + across * 0.05 * r + up * 0.42 * r]
    )
    return svg.polygon(np.concatenate([outer, inner]))


def _cap(skull: Array, r: float, up: Array, half: float, deep: float) -> str:
    """A cap of hair, seen from the front; all of the head but the neck from behind."""
    up = up / max(1e-6, float(np.hypot(*up)))
    across = np.array([-up[1], up[0]])
    turn = np.radians(np.linspace(half, -half, 13))[:, None]
    outer = skull + 1.05 * r * (np.cos(turn) * up + np.sin(turn) * across)
    low = skull + up * r * (0.45 if deep < 0.5 else math.cos(math.radians(half)) - 0.35)
    return svg.polygon(np.concatenate([outer, low[None]]))


def _eyes(skull: Array, r: float, up: Array, *, closed: bool) -> str:
    """Two eyes, seen from the front: closed ones are lines."""
    up = up / max(1e-6, float(np.hypot(*up)))
    across = np.array([-up[1], up[0]])
    high, wide = (0.05, 0.24) if closed else (0.12, 0.12)
    corners = r * np.stack([high * up, wide * across, -high * up, -wide * across])
    return "".join(
        svg.polygon(skull + side * 0.36 * r * across - 0.05 * r * up + corners) for side in (-1, 1)
    )


def _pairs(centres: Array, radii: Array) -> Array:
    """Numbers (p, n) of the outlines around two circles each."""
    first, last = centres[:, _FIRST], centres[:, _LAST]
    r0, r1 = radii[:, _FIRST], radii[:, _LAST]
    span = last - first
    length = np.maximum(np.hypot(span[..., 0], span[..., 1]), 1e-6)
    along = span / length[..., None]
    across = np.stack([-along[..., 1], along[..., 0]], -1)
    cos = np.clip((r0 - r1) / length, -0.95, 0.95)[..., None]
    sin = np.sqrt(1 - cos**2)
    plus, minus = along * cos + across * sin, along * cos - across * sin
    a, b = r0[..., None], r1[..., None]
    start = first + a * plus
    rows = [start, last + b * plus, b, b, last + b * minus, first + a * minus, a, a, start]
    return np.concatenate(rows, -1).reshape(len(centres), -1)


def _hulls(centres: Array, radii: Array) -> Array:
    """For each direction around, the outermost point of the circles: their common outline."""
    centre, radius = centres[:, _MEMBERS], radii[:, _MEMBERS]  # (p, w, m, 2), (p, w, m)
    reach = centre @ _AROUND + radius[..., None]  # (p, w, m, 36)
    best = reach.argmax(2)  # (p, w, 36)
    postures = np.arange(len(centres))[:, None, None]
    rows = np.arange(len(_MEMBERS))[:, None]
    outline = centre[postures, rows, best] + radius[postures, rows, best][..., None] * _AROUND.T
    return np.asarray(outline.reshape(len(centres), -1))
