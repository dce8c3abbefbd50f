"""Classes of postures that settle together: which angles they solve for, and in what range."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

from rungbook.body.joints import DOFS, JOINT_LIMB, MIRROR_SIGN, ROTATIONS
from rungbook.body.segments import data

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Columns:
    """Which angles a class of postures solves for."""

    symmetric: bool
    legs: bool
    arms: bool
    rooted: bool

    @property
    def dofs(self) -> tuple[int, ...]:
        return _solved(self)


@cache
def _solved(columns: Columns) -> tuple[int, ...]:
    solved = []
    for index, (side, joint, _) in enumerate(DOFS):
        limb = JOINT_LIMB.get(joint)
        if columns.symmetric and (side == "left" or MIRROR_SIGN[index] < 0):
            continue
        if (limb == "leg" and not columns.legs) or (limb == "arm" and not columns.arms):
            continue
        if columns.rooted and joint in ("root", "lumbar", "neck"):
            continue
        solved.append(index)
    return tuple(solved)


@dataclass(frozen=True)
class Selection:
    """The rotations of a class: those of its columns in order, then second ones of split angles.

    `rotations` (K,); `scale` (K,) turns an axis into its angle's; the last rotations are added
    to the columns `extra`. `first` is the number of translation columns before them.
    """

    rotations: NDArray[np.intp]
    scale: Array
    first: int
    count: int
    extra: NDArray[np.intp]


@cache
def selection(columns: Columns) -> Selection:
    """Which rotations move which of a class's columns."""
    first = sum(DOFS[dof][1] == "root" and DOFS[dof][2] in ("x", "y", "z") for dof in columns.dofs)
    main, more, extra = [], [], []
    for column, dof in enumerate(columns.dofs[first:]):
        mine = [k for k, rotation in enumerate(ROTATIONS) if rotation.dof == dof]
        main.append(mine[0])
        more += mine[1:]
        extra += [column] * (len(mine) - 1)
    chosen = np.array([*main, *more], dtype=np.intp)
    scale = np.array([abs(ROTATIONS[k].factor) for k in chosen])
    return Selection(chosen, scale, first, len(main), np.array(extra, dtype=np.intp))


@cache
def passive_range() -> tuple[Array, Array]:
    """Lowest and highest angle of each dof, radians; the root has none."""
    low, high = np.full(len(DOFS), -np.inf), np.full(len(DOFS), np.inf)
    written = data("giving.yml")["range"]
    for index, (_, joint, axis) in enumerate(DOFS):
        if f"{joint} {axis}" in written:
            low[index], high[index] = np.radians(written[f"{joint} {axis}"])
    return low, high
