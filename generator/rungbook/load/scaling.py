"""Exact rescaling: M = a·m·H + b·H, the inertial moment c·m·H²/T², for any mass and stature.

One set of coefficients per way, segment table and joint axis, at the 11 phases: `a` in N/kg,
`b` in N, `c` in 1 at T = 1 s. A contact corner pushes with p·m + q newtons; where that is
negative the corner would have to pull, and the numbers do not hold for that person.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rungbook.body.joints import DOFS, JOINT_DOFS

Array = NDArray[np.float64]
PULLING_N = 1e-6


def joint_name(row: int) -> str:
    """`working hip flexion`, `lumbar flexion`: the key of a row of the moment arrays."""
    side, joint, axis = DOFS[JOINT_DOFS[row]]
    word = {"right": "working ", "left": "other ", "mid": ""}[side]
    return f"{word}{joint} {axis}"


JOINT_NAMES: tuple[str, ...] = tuple(joint_name(row) for row in range(len(JOINT_DOFS)))


@dataclass(frozen=True)
class WayCoefficients:
    """One way of one exercise: (34, 11) arrays of `a` and `c` by table, `b` for all.

    `pushes` (G, 11) by table in N/kg and `fixed_pushes` (G, 11) in N: the contact corners.
    `angles` (34, 11) in degrees; `borne` (3, 11) by table in N/kg and `fixed_borne` (3, 11) in
    N: the force through the working limb; `effort` the share of a measured maximum added.
    """

    a: Mapping[str, Array]
    b: Mapping[str, Array]
    c: Mapping[str, Array]
    angles: Array
    borne: Mapping[str, Array]
    fixed_borne: Mapping[str, Array]
    effort: float = 0.0

    def moments(self, table: str, mass_kg: float, stature_m: float) -> Array:
        """(34, 11) N·m."""
        result: Array = self.a[table] * (mass_kg * stature_m) + self.b[table] * stature_m
        return result

    def inertia(self, table: str, mass_kg: float, stature_m: float, seconds: float) -> Array:
        """(34, 11) N·m for a movement of that many seconds one way."""
        result: Array = self.c[table] * (mass_kg * stature_m**2 / seconds**2)
        return result
