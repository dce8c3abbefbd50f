"""Cones of friction: which forces a corner can give, and the nearest of them.

A corner's force is (3,) along the normal of its surface and two tangents. It lies in a pyramid
of eight edges inscribed in the cone of its coefficient of friction, one edge along the first
tangent: the same on the left as on the right. Without friction the pyramid is the normal alone;
who holds on may push and pull anywhere.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Bools = NDArray[np.bool_]
EDGES = 8
_HALF = np.pi / EDGES
_MIDDLES = np.stack(
    [
        np.cos((2 * np.arange(EDGES) + 1) * _HALF),
        np.sin((2 * np.arange(EDGES) + 1) * _HALF),
    ],
    axis=-1,
)


@dataclass(frozen=True)
class Nearest:
    """The nearest force in each cone, (…, 3), and how it answers to a small change.

    The answer is `keeps` times the change plus `turns` times its part along `along`: on a face,
    an edge or the tip of the pyramid a force has two, one or no ways left.
    """

    force: Array
    keeps: Array
    turns: Array
    along: Array


def nearest(wanted: Array, friction: Array, free: Bools) -> Nearest:
    """Projects forces onto their cones.

    Args:
        wanted: (…, 3); friction: (…,) coefficient; free: (…,) where there is no cone.
    """
    normal, first, second = wanted[..., 0], wanted[..., 1], wanted[..., 2]
    sector = np.floor(np.arctan2(second, first) / (2 * _HALF)).astype(np.intp) % EDGES
    middle = _MIDDLES[sector]
    # In the sector of one face: `out` toward its middle, `beside` along it.
    out = first * middle[..., 0] + second * middle[..., 1]
    beside = second * middle[..., 0] - first * middle[..., 1]
    slope = friction * np.cos(_HALF)
    length = np.sqrt(1.0 + slope * slope)
    excess = (out - slope * normal) / length
    inside = free | ((excess <= 0.0) & (normal >= 0.0))
    on_normal, on_out = normal + slope * excess / length, out - excess / length
    on_face = (on_normal >= 0.0) & (np.abs(beside) <= on_out * np.tan(_HALF))
    side = np.copysign(friction * np.sin(_HALF), beside)
    edge_length = np.sqrt(1.0 + friction * friction)
    size = (normal + slope * out + side * beside) / edge_length
    on_edge = size > 0.0
    face = _vector(-slope / length, 1.0 / length, 0.0 * side, middle)
    edge = _vector(1.0 / edge_length, slope / edge_length, side / edge_length, middle)
    along = np.where(on_face[..., None], face, edge)
    keeps = np.where(inside | on_face, 1.0, 0.0)
    turns = np.where(inside, 0.0, np.where(on_face, -1.0, np.where(on_edge, 1.0, 0.0)))
    part = turns * np.sum(along * wanted, axis=-1)
    return Nearest(keeps[..., None] * wanted + part[..., None] * along, keeps, turns, along)


def _vector(normal: Array, out: Array, beside: Array, middle: Array) -> Array:
    """From the directions of one face to the corner's own."""
    return np.stack(
        [
            normal,
            out * middle[..., 0] - beside * middle[..., 1],
            out * middle[..., 1] + beside * middle[..., 0],
        ],
        axis=-1,
    )
