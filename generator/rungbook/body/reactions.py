"""Forces of the surfaces on the body: equilibrium with the smallest sum of squares.

Each corner of a contact can push along its generators (its normal; where friction is needed,
also the edges of its friction cone); generators push only. The smallest forces that balance a
load b are f = max(0, Aᵀλ) for the six numbers λ that satisfy A f = b, found by Newton's method
on all postures at once. Once it is known which generators carry, forces are linear in the load.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rungbook.body.vectors import cross

Array = NDArray[np.float64]
Bools = NDArray[np.bool_]


@dataclass(frozen=True)
class Generators:
    """G directions of force at places on the body, in N postures.

    `direction` and `place` (G, 3, N), zero where padded; `two_way` (G, N): may pull too.
    """

    direction: Array
    place: Array
    two_way: Bools

    @property
    def matrix(self) -> Array:
        """Wrench of one unit of each generator about the room's origin, (N, 6, G)."""
        wrench = np.concatenate([self.direction, cross(self.place, self.direction, axis=1)], axis=1)
        return np.ascontiguousarray(wrench.transpose(2, 1, 0))


@dataclass(frozen=True)
class Balance:
    """`size` (G, N) of each generator, which `carry` (G, N), and the unbalanced rest (N,)."""

    size: Array
    carry: Bools
    rest: Array


def balance(generators: Generators, load: Array, iterations: int = 60) -> Balance:
    """The smallest pushing forces that balance the load.

    Args:
        load: (6, N), force and torque about the room's origin of everything else.

    Returns:
        sizes, and as `rest` the largest unbalanced force or torque over the load's size.
    """
    matrix = generators.matrix
    free = generators.two_way.T
    wanted = -load.T
    scale = np.maximum(np.abs(wanted).max(axis=1), 1e-12)
    wanted = wanted / scale[:, None]
    multiplier = np.linalg.pinv(matrix @ matrix.transpose(0, 2, 1), hermitian=True, rcond=1e-10)
    multiplier = np.einsum("nij,nj->ni", multiplier, wanted)
    value = _dual(matrix, free, wanted, multiplier)
    for _ in range(iterations):
        push = np.einsum("nig,ni->ng", matrix, multiplier)
        carry = free | (push > 0)
        miss = wanted - np.einsum("nig,ng->ni", matrix, np.where(carry, push, 0.0))
        if np.abs(miss).max(initial=0.0) < 1e-13:
            break
        active = matrix * carry[:, None]
        system = active @ active.transpose(0, 2, 1)
        ridge = 1e-12 * np.maximum(np.trace(system, axis1=1, axis2=2), 1e-6)
        system += ridge[:, None, None] * np.eye(6)
        step = np.linalg.solve(system, miss[..., None])[..., 0]
        multiplier, value = _line_search(matrix, free, wanted, multiplier, step, value, miss)
    push = np.einsum("nig,ni->ng", matrix, multiplier)
    carry = free | (push > 1e-9)
    size = exact_share(matrix, carry, wanted[..., None])[..., 0]
    miss = wanted - np.einsum("nig,ng->ni", matrix, size)
    rest = np.abs(miss).max(axis=1)
    wrong = (size < -1e-7) & ~free
    rest = np.where(wrong.any(axis=1), np.maximum(rest, 1.0), rest)
    return Balance((size * scale[:, None]).T, carry.T, rest)


def exact_share(matrix: Array, carry: Bools, wanted: Array) -> Array:
    """Smallest forces of the carrying generators for several loads, (N, G, loads).

    Args:
        matrix: (N, 6, G); carry: (N, G); wanted: (N, 6, loads).
    """
    active = matrix * carry[:, None]
    inverse = np.linalg.pinv(active @ active.transpose(0, 2, 1), hermitian=True, rcond=1e-10)
    result: Array = active.transpose(0, 2, 1) @ (inverse @ wanted)
    return result


def _dual(matrix: Array, free: Bools, wanted: Array, multiplier: Array) -> Array:
    push = np.einsum("nig,ni->ng", matrix, multiplier)
    push = np.where(free, push, np.maximum(push, 0.0))
    result: Array = 0.5 * np.sum(push**2, axis=1) - np.sum(wanted * multiplier, axis=1)
    return result


def _line_search(
    matrix: Array,
    free: Bools,
    wanted: Array,
    multiplier: Array,
    step: Array,
    value: Array,
    miss: Array,
) -> tuple[Array, Array]:
    """Halves the Newton step of each posture until its dual function falls enough."""
    length = np.ones(len(value))
    slope = np.sum(miss * step, axis=1)
    for _ in range(30):
        trial = multiplier + length[:, None] * step
        after = _dual(matrix, free, wanted, trial)
        short = after > value - 1e-4 * length * slope + 1e-15
        if not short.any():
            break
        length = np.where(short, length * 0.5, length)
    return trial, after
