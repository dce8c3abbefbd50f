"""Classes of postures that settle together: which angles they solve for, and in what range."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

from rungbook.body.joints import (
    DOFS,
    JOINT_LIMB,
    MIRROR_SIGN,
    ROTATIONS,
    SEGMENTS,
    ancestors,
)
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
    """What moves in a class: its translations, the rotations of its other angles in order, then
    the second rotations of split angles, K in all.

    `translations` (F, 3): directions. `rotations` (K - F,); `scale` (K - F,) turns an axis into
    its angle's. `count`: angles of the class; the rotations after them are added to the angles
    `extra`. `moves` (segments, K): 1 where it moves the segment. `sided` (K - F,): 2 where the
    other side moves as well, though it is not solved for.
    """

    translations: Array
    rotations: NDArray[np.intp]
    scale: Array
    count: int
    extra: NDArray[np.intp]
    moves: Array
    sided: Array


@cache
def selection(columns: Columns) -> Selection:
    """Which rotations move which of a class's columns."""
    names = [DOFS[dof] for dof in columns.dofs]
    shifts = [np.eye(3)["xyz".index(axis)] for _, joint, axis in names
              if joint == "root" and axis in ("x", "y", "z")]  # fmt: skip
    first = len(shifts)
    main, more, extra = [], [], []
    for column, dof in enumerate(columns.dofs[first:], start=first):
        mine = [k for k, rotation in enumerate(ROTATIONS) if rotation.dof == dof]
        main.append(mine[0])
        more += mine[1:]
        extra += [column] * (len(mine) - 1)
    chosen = [ROTATIONS[k] for k in (*main, *more)]
    moves = np.ones((len(SEGMENTS), first + len(chosen)))
    for segment in range(len(SEGMENTS)):
        moves[segment, first:] = [r.segment in ancestors(segment) for r in chosen]
    both = [columns.symmetric and DOFS[r.dof][0] == "right" for r in chosen]
    return Selection(
        np.array(shifts).reshape(-1, 3), np.array([*main, *more], dtype=np.intp),
        np.array([abs(r.factor) for r in chosen]), first + len(main),
        np.array(extra, dtype=np.intp), moves, np.where(both, 2.0, 1.0),
    )  # fmt: skip


@cache
def passive_range() -> tuple[Array, Array]:
    """Lowest and highest angle of each dof, radians; the root has none."""
    low, high = np.full(len(DOFS), -np.inf), np.full(len(DOFS), np.inf)
    written = data("giving.yml")["range"]
    for index, (_, joint, axis) in enumerate(DOFS):
        if f"{joint} {axis}" in written:
            low[index], high[index] = np.radians(written[f"{joint} {axis}"])
    return low, high
