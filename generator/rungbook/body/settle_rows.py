"""Postures at one time each, as the solver of settling needs them."""

from __future__ import annotations

from dataclasses import dataclass, fields

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Bools = NDArray[np.bool_]
Numbers = NDArray[np.intp]


@dataclass(frozen=True)
class Rows:
    """N postures, each at one time: everything that a step needs. C corners, K angles."""

    base: Array  # (N, 3, 3)
    mirrored: Bools  # (N,)
    mass: Array  # (N, 18)
    centre: Array  # (N, 18, 3)
    columns: Numbers  # (N, K)
    twice: Array  # (N, K) how often the centre of mass follows an angle
    gives: Array  # (N, K) 1 where the angle may give way
    rest: Array  # (N, K)
    low: Array  # (N, K) lowest angle, besides the passive range
    stiffness: Array  # (N, K)
    before: Array  # (N, K, K) 1 where an angle turns the axis of another
    moves: Array  # (N, K, C) 1 where an angle moves a corner
    segment: Numbers  # (N, C)
    local: Array  # (N, C, 3)
    cost: Array  # (N, C, 3, 3) of a corner off where it is held
    target: Array  # (N, C, 3) where it is held, inside the body
    below: Array  # (N, C, 2) how far beside it the surface below it lies, level
    middle: Array  # (N, C)
    shared: Array  # (N, C)
    burden_segment: Numbers  # (N, B)
    burden_local: Array  # (N, B, 3)
    burden: Array  # (N, B)
    link_segment: Numbers  # (N, L, 2)
    link_local: Array  # (N, L, 2, 3)
    link_reach: Array  # (N, L)
    link_place: Array  # (N, L, 3) on the segment it rests on, where it is held
    link_cost: Array  # (N, L, 4): of the distance, and of straying in three directions
    edges: Array  # (N, E, 3)
    edge_weight: Array  # (N, E)
    centred: Array  # (N,)
    stride: Array  # (N, S) nan where none; no column once corners are held

    @property
    def loose(self) -> bool:
        """Whether corners are not held yet, and move along their surfaces."""
        return bool(self.stride.shape[1])

    def part(self, n: Numbers) -> Rows:
        """Some of them."""
        return Rows(*(getattr(self, one.name)[n] for one in fields(self)))


@dataclass(frozen=True)
class Forces:
    """What holds corners where they are (N, C, 3), the pressure where it is (N, 2), and what
    draws limbs that rest on each other together (N, L).

    They bend the way on which a posture gives: without them a step goes along its tangent.
    """

    corners: Array
    pressure: Array
    links: Array

    def part(self, n: Numbers) -> Forces:
        """Those of some postures."""
        return Forces(self.corners[n], self.pressure[n], self.links[n])

    def where(self, some: Bools) -> Forces:
        """None but those of some postures."""
        return Forces(self.corners * some[:, None, None], self.pressure * some[:, None], self.links)
