"""Forward kinematics of many postures at once.

A batch of B postures is the last axis of every array, so that each step is one pass over
contiguous numbers. Lengths are fractions of stature.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

from rungbook.body.joints import PARENT, ROTATIONS, ROTATIONS_OF, SEGMENTS
from rungbook.body.segments import joint_offsets

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Pose:
    """Where every segment is, in the room.

    `turn` (18, 3, 3, B): turn[s, :, j] is the segment's j-th axis. `origin` (18, 3, B).
    `axis` (rotations, 3, B): unit axis of each elementary rotation, positive movement by the
    right-hand rule, through the origin of the segment it moves.
    """

    turn: Array
    origin: Array
    axis: Array

    def point(self, segment: int, local: Array) -> Array:
        """A point of a segment, (3, B)."""
        point: Array = self.origin[segment].copy()
        for j in range(3):
            if local[j]:
                point += self.turn[segment, :, j] * local[j]
        return point


def forward(angles: Array, base: Array) -> Pose:
    """Places every segment.

    Args:
        angles: (dofs, B), radians; the first three are the pelvis's place in fractions of
            stature.
        base: (3, 3, B) or (3, 3, 1), the pelvis's orientation in its position before the
            root's own yaw, pitch and roll.
    """
    count = angles.shape[1]
    turn = np.empty((len(SEGMENTS), 3, 3, count))
    origin = np.empty((len(SEGMENTS), 3, count))
    axis = np.empty((len(ROTATIONS), 3, count))
    offsets = _offsets()
    for segment, parent in enumerate(PARENT):
        if parent < 0:
            current = np.zeros((3, 3, count))
            current[0, 0] = current[1, 1] = current[2, 2] = 1.0
            origin[segment] = angles[0:3]
        else:
            current = turn[parent].copy()
            moved = origin[segment]
            moved[:] = origin[parent]
            for j, offset in offsets[segment]:
                moved += turn[parent][:, j] * offset
        for k in ROTATIONS_OF[segment]:
            rotation = ROTATIONS[k]
            sign = 1.0 if rotation.factor > 0 else -1.0
            axis[k] = current[:, rotation.axis] * sign
            if angles[rotation.dof].any():  # most joints of most batches are straight
                _rotate(current, rotation.axis, angles[rotation.dof] * rotation.factor)
        turn[segment] = (
            current if parent >= 0 else np.einsum("ijb,jkb->ikb", current, _full(base, count))
        )
    return Pose(turn, origin, axis)


@cache
def _offsets() -> tuple[tuple[tuple[int, float], ...], ...]:
    """Where each segment's joint lies in its parent: axis and length, where it is not 0."""
    return tuple(
        tuple((j, float(offset)) for j, offset in enumerate(one) if offset)
        for one in joint_offsets()
    )


def _full(base: Array, count: int) -> Array:
    return np.broadcast_to(base, (3, 3, count))


def _rotate(turn: Array, axis: int, angle: Array) -> None:
    """Turns a frame about one of its own axes, in place; only two columns change."""
    i, j = ((1, 2), (2, 0), (0, 1))[axis]
    cosine, sine = np.cos(angle), np.sin(angle)
    first = cosine * turn[:, i] + sine * turn[:, j]
    turn[:, j] = cosine * turn[:, j] - sine * turn[:, i]
    turn[:, i] = first
