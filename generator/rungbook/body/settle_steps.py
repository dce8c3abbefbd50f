"""Damped Newton steps of many postures at once, each until it stands still."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from rungbook.body.kinematics import forward
from rungbook.body.settle_columns import LEFT, RIGHT, passive_range
from rungbook.body.settle_rows import Forces, Rows
from rungbook.body.settle_system import System

Array = NDArray[np.float64]
BOUND = 3e4  # cost of a radian squared outside the passive range
MAX_STEP = 0.25  # radians (or statures) in one iteration
MAX_ITERATIONS = 100
SETTLED = 1e-10  # radians (or statures): no angle moves by more
CREEPING = 1e-4  # steps this small that no longer shrink change nothing
LEAST_DAMPED = 0.01
NEAR = 0.03  # where nothing is held, a longer step might lead to a saddle


def settle_rows(rows: Rows, angles: Array, most: int = MAX_ITERATIONS) -> Array:
    """Settles N postures at one time each, from the angles given (dofs, N) as a start.

    Each stops by itself, after `most` steps at the latest: how far it goes depends on no other.
    """
    count = angles.shape[1]
    current, cap = angles.copy(), np.full(count, MAX_STEP)
    last = np.full(count, np.nan)  # a first step is compared with nothing
    before = np.zeros_like(angles)
    links = np.zeros(rows.link_reach.shape)
    forces = Forces(np.zeros_like(rows.target), np.zeros((count, 2)), links)
    left = np.arange(count)
    damped = np.zeros(count)
    for _ in range(most):
        change, forces = _step(rows, current[:, left], forces, damped[left])
        size = np.abs(change).max(axis=0)
        more = np.maximum(damped[left] * 4.0, LEAST_DAMPED)
        less = np.where(damped[left] > LEAST_DAMPED, damped[left] / 8.0, 0.0)
        damped[left] = np.where(size > MAX_STEP, more, less)
        change *= np.minimum(1.0, cap[left] / np.maximum(size, 1e-12))
        turned = np.sum(change * before[:, left], axis=0) < 0
        cap[left] = np.where(turned, cap[left] * 0.5, np.minimum(cap[left] * 1.3, MAX_STEP))
        current[:, left] += change
        before[:, left] = change
        slower = size / last[left]  # the next step is this much smaller again
        creeping = (size < CREEPING) & (slower > 0.9)
        there = (size < SETTLED) | ((slower < 0.5) & (size * slower < SETTLED))
        last[left] = size
        if rows.loose:
            forces = forces.where(size < NEAR)
        stay = np.flatnonzero(~(there | creeping))
        if not len(stay):
            break
        if len(stay) < len(left):
            left, rows = left[stay], rows.part(stay)
            forces = forces.part(stay)
    return current


def _step(rows: Rows, angles: Array, forces: Forces, damped: Array) -> tuple[Array, Forces]:
    """One step (dofs, N), not yet capped, by the forces of the last one; and its forces."""
    row = np.arange(len(rows.columns))[:, None]
    away, pull = _pull(rows, angles[rows.columns, row])
    system = System(rows, forward(angles, rows.base.transpose(1, 2, 0)), row, forces)
    change, next_forces = system.change(pull, away, damped)
    found = np.zeros_like(angles)
    # padded columns repeat the first angle, and add nothing to it
    np.add.at(found, (rows.columns.T, row[:, 0]), change.T)
    mirrored = np.flatnonzero(rows.mirrored)
    found[np.ix_(LEFT, mirrored)] = found[np.ix_(RIGHT, mirrored)]
    return found, next_forces


def _pull(rows: Rows, angles: Array) -> tuple[Array, Array]:
    """Distance from the rest angles (N, K) and its cost, the passive range included."""
    low, high = passive_range()
    rest, pull = rows.rest, rows.stiffness * rows.gives
    bound = np.clip(angles, np.maximum(low[rows.columns], rows.low), high[rows.columns])
    outside = (bound != angles) & (rows.gives > 0)
    if outside.any():
        blend = (rows.stiffness * rest + BOUND * bound) / (rows.stiffness + BOUND)
        rest = np.where(outside, blend, rest)
        pull = np.where(outside, pull + BOUND, pull)
    return angles - rest, pull
