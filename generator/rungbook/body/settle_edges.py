"""Edges of the base: what it costs that the pressure lies beyond them."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from rungbook.body.base import Base
from rungbook.body.segments import data

Array = NDArray[np.float64]
BALANCE = 1e5  # of the centre of mass off its place: feet stay down before balance is kept
EDGES = 16
EDGE_WIDTH = 1e-4  # of stature: how round the edge of a base is
REFERENCE_STATURE_M = 1.7  # turns the margin of a base into a fraction of stature


def edges_of(bases: list[Base | None]) -> tuple[Array, Array]:
    """Half-planes drawn in by the margin (or half of a thin base): (N, E, 3) and weights."""
    margin = float(data("giving.yml")["margin-m"]) / REFERENCE_STATURE_M
    kept = [base.edges[:EDGES] if base and not base.centred else () for base in bases]
    most = max(map(len, kept), default=0)
    edges = np.zeros((len(bases), most, 3))
    weight = np.zeros((len(bases), most))
    for n, (base, mine) in enumerate(zip(bases, kept, strict=True)):
        if base is None or not len(mine):
            continue
        edges[n, : len(mine)] = mine
        edges[n, : len(mine), 2] += min(margin, 0.9 * max(base.depth, 0.0))
        weight[n, : len(mine)] = 1.0
    return edges, weight


def beyond_edges(pressure: Array, edges: Array, weight: Array) -> tuple[Array, Array]:
    """Slope (N, 2) and curvature (N, 2, 2) of the cost of a pressure (N, 2) beyond edges.

    Edges of no weight add nothing, not even a last digit.
    """
    inward = edges[..., :2]
    inside = np.sum(inward * pressure[:, None], axis=-1) - edges[..., 2]
    # a rounded step at the edge: a sharp one would be switched on and off for ever
    beyond = np.clip(-inside / EDGE_WIDTH, -40.0, 40.0)
    part = 1.0 / (1.0 + np.exp(-beyond))
    off = np.where(beyond < 40.0, EDGE_WIDTH * np.log1p(np.exp(beyond)), -inside)
    cost = BALANCE * weight * part
    slope = -np.sum((cost * off)[..., None] * inward, axis=1)
    bend = cost * (part + (1.0 - part) * off / EDGE_WIDTH)
    curved = bend[..., None, None] * inward[..., :, None] * inward[..., None, :]
    return slope, np.sum(curved, axis=1)
