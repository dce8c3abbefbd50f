"""Which angles settling solves for, what they move, and the range in which they give way."""

from __future__ import annotations

from functools import cache

import numpy as np
from numpy.typing import NDArray

from rungbook.body.joints import DOFS, JOINT_LIMB, MIRROR_SIGN, ROTATIONS, SEGMENTS, ancestors
from rungbook.body.segments import data

Array = NDArray[np.float64]
Bools = NDArray[np.bool_]
LEFT = np.array([dof for dof, (side, _, _) in enumerate(DOFS) if side == "left"])
RIGHT = np.array([dof for dof, (side, _, _) in enumerate(DOFS) if side == "right"])


@cache
def solvable(symmetric: bool, rooted: bool) -> Bools:
    """Angles that may be solved for at all, (dofs,).

    Of a mirror image the right side and what leaves it one; of a body whose trunk is carried,
    only limbs.
    """
    found = np.ones(len(DOFS), dtype=bool)
    for dof, (side, joint, _) in enumerate(DOFS):
        mirrors = symmetric and (side == "left" or MIRROR_SIGN[dof] < 0)
        found[dof] = not mirrors and not (rooted and joint not in JOINT_LIMB)
    return found


@cache
def moved_by() -> Array:
    """1 where an angle (the last axis) moves a segment, (18, dofs).

    The lumbar angles are spread over two joints: no patch lies on the segment between them.
    """
    moves = np.zeros((len(SEGMENTS), len(DOFS)))
    moves[:, :3] = 1.0
    for segment in range(len(SEGMENTS)):
        chain = ancestors(segment)
        for rotation in ROTATIONS:
            if rotation.segment in chain:
                moves[segment, rotation.dof] = 1.0
    return moves


@cache
def before() -> Array:
    """1 where an angle (the first axis) moves the axis of another, or is the same, (dofs, dofs)."""
    segment = [next((r.segment for r in ROTATIONS if r.dof == dof), 0) for dof in range(len(DOFS))]
    turns = np.zeros((len(DOFS), len(DOFS)))
    for i in range(len(DOFS)):
        for j in range(i, len(DOFS)):
            turns[i, j] = segment[i] in ancestors(segment[j])
    return turns


@cache
def passive_range() -> tuple[Array, Array]:
    """Lowest and highest angle of each dof, radians; the root has none."""
    low, high = np.full(len(DOFS), -np.inf), np.full(len(DOFS), np.inf)
    written = data("giving.yml")["range"]
    for index, (_, joint, axis) in enumerate(DOFS):
        if f"{joint} {axis}" in written:
            low[index], high[index] = np.radians(written[f"{joint} {axis}"])
    return low, high
