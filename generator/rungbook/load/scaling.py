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

    They are those of people of `stature_m`; with furniture, `statures` has those of others, None
    where the posture does not fit. `angles` (34, 11) in degrees; `borne` (3, 11) in N/kg and
    `fixed_borne` (3, 11) in N: the force through the working limb; `effort` the share of a
    measured maximum added.
    """

    a: Mapping[str, Array]
    b: Mapping[str, Array]
    c: Mapping[str, Array]
    angles: Array
    borne: Mapping[str, Array]
    fixed_borne: Mapping[str, Array]
    changes: Mapping[str, tuple[MassChange, ...]]
    effort: float = 0.0
    stature_m: float = 0.0
    statures: tuple[tuple[float, WayCoefficients | None], ...] = ()

    def at(self, stature_m: float) -> WayCoefficients | None:
        """The coefficients of people of that stature; None where the furniture does not fit."""
        if not self.statures or stature_m == self.stature_m:
            return self
        nodes = sorted([*self.statures, (self.stature_m, self)], key=lambda node: node[0])
        above = next((n for n, (height, _) in enumerate(nodes) if height >= stature_m), 0)
        if nodes[above][0] == stature_m:
            return nodes[above][1]
        if above == 0:
            return None
        (low, lower), (high, higher) = nodes[above - 1 : above + 1]
        if lower is None or higher is None:
            return None
        return _between(lower, higher, (stature_m - low) / (high - low))

    def why_none(self, stature_m: float) -> str:
        """What is said where `at` has none."""
        heights = [self.stature_m, *(height for height, _ in self.statures)]
        if min(heights) <= stature_m <= max(heights):
            return f"does not fit a person of {stature_m:.2f} m"
        return f"its furniture is computed for {min(heights):.2f} to {max(heights):.2f} m"

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


def _between(low: WayCoefficients, high: WayCoefficients, part: float) -> WayCoefficients:
    """The coefficients that far from one stature to another."""

    def mixed(one: Mapping[str, Array], other: Mapping[str, Array]) -> dict[str, Array]:
        return {table: (1 - part) * one[table] + part * other[table] for table in one}

    changes = {
        table: (
            *(_weighed(change, 1 - part) for change in low.changes[table]),
            *(_weighed(change, part) for change in high.changes[table]),
        )
        for table in low.changes
    }
    return WayCoefficients(
        mixed(low.a, high.a), mixed(low.b, high.b), mixed(low.c, high.c),
        (1 - part) * low.angles + part * high.angles, mixed(low.borne, high.borne),
        mixed(low.fixed_borne, high.fixed_borne), changes, low.effort,
    )  # fmt: skip


def _weighed(change: MassChange, part: float) -> MassChange:
    return MassChange(
        change.phase, change.lightest_kg, change.heaviest_kg, part * change.a, part * change.b,
        part * change.borne, part * change.fixed_borne,
    )  # fmt: skip
