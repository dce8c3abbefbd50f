"""Exact rescaling: M = a·m·H + b·H, the inertial moment c·m·H²/T², for any mass and stature.

One set of coefficients per way, segment table and joint axis, at the 11 phases: `a` in N/kg,
`b` in N, `c` in 1 at T = 1 s, rounded once to nine digits: all that is told of a load comes from
these. Where an outer load shifts what the contacts carry, other coefficients hold for lighter or
heavier people: `changes` say what is added between two body masses.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rungbook.body.joints import DOFS, JOINT_DOFS
from rungbook.body.statics import GRAVITY

Array = NDArray[np.float64]
DIGITS = 9


def joint_name(row: int) -> str:
    """`working hip flexion`, `lumbar flexion`: the key of a row of the moment arrays."""
    side, joint, axis = DOFS[JOINT_DOFS[row]]
    word = {"right": "working ", "left": "other ", "mid": ""}[side]
    return f"{word}{joint} {axis}"


JOINT_NAMES: tuple[str, ...] = tuple(joint_name(row) for row in range(len(JOINT_DOFS)))


@dataclass(frozen=True)
class MassChange:
    """What is added to the coefficients of one phase between two body masses, the heavier out.

    `a` and `b` (34,), `borne` (3,) N/kg and `fixed_borne` (3,) N.
    """

    phase: int
    lightest_kg: float
    heaviest_kg: float
    a: Array
    b: Array
    borne: Array
    fixed_borne: Array


@dataclass(frozen=True)
class WayCoefficients:
    """One way of one exercise by table: (34, 11) arrays of `a`, `b` and `c`, and `changes`.

    `angles` (34, 11) in degrees; `borne` (3, 11) in N/kg and `fixed_borne` (3, 11) in N: the
    force through the working limb; `effort` the share of a measured maximum added.
    """

    a: Mapping[str, Array]
    b: Mapping[str, Array]
    c: Mapping[str, Array]
    angles: Array
    borne: Mapping[str, Array]
    fixed_borne: Mapping[str, Array]
    changes: Mapping[str, tuple[MassChange, ...]]
    effort: float = 0.0

    def moments(self, table: str, mass_kg: float, stature_m: float) -> Array:
        """(34, 11) N·m."""
        size = mass_kg * stature_m
        result: Array = self.a[table] * size + self.b[table] * stature_m
        for change in self.changes[table]:
            if change.lightest_kg <= mass_kg < change.heaviest_kg:
                result[:, change.phase] += change.a * size + change.b * stature_m
        return result

    def bearing(self, table: str, mass_kg: float, phase: int) -> float:
        """Share of body weight through the working limb."""
        total: Array = self.borne[table][:, phase] * mass_kg + self.fixed_borne[table][:, phase]
        for change in self.changes[table]:
            if change.phase == phase and change.lightest_kg <= mass_kg < change.heaviest_kg:
                total = total + (change.borne * mass_kg + change.fixed_borne)
        return float(np.linalg.norm(total)) / (mass_kg * GRAVITY)

    def inertia(self, table: str, mass_kg: float, stature_m: float, seconds: float) -> Array:
        """(34, 11) N·m for a movement of that many seconds one way."""
        result: Array = self.c[table] * (mass_kg * stature_m**2 / seconds**2)
        return result
