"""How points of the body move with each angle: the geometric Jacobian, by screws."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from rungbook.body.joints import DOFS, PARENT, ROTATIONS, SEGMENT, SEGMENTS
from rungbook.body.kinematics import Pose
from rungbook.body.vectors import cross

Array = NDArray[np.float64]
Numbers = NDArray[np.intp]
_SEGMENT_OF = [rotation.segment for rotation in ROTATIONS]
_SCALE = np.array([abs(rotation.factor) for rotation in ROTATIONS])[:, None, None]
_OF_DOF = [[k for k, r in enumerate(ROTATIONS) if r.dof == dof] for dof in range(3, len(DOFS))]
_FIRST = [mine[0] for mine in _OF_DOF]
_SPLIT = [(dof, mine[0], mine[1]) for dof, mine in enumerate(_OF_DOF, start=3) if len(mine) > 1]
_BETWEEN = SEGMENT["abdomen"]
FARTHEST = np.array([max((r.segment for r in ROTATIONS if r.dof == dof), default=0)
                     for dof in range(len(DOFS))])  # fmt: skip


def screws(pose: Pose) -> Array:
    """What each angle turns as a screw, (dofs, 6, N): direction a, and place times direction.

    A point x that an angle moves moves by a × x + o × a for an axis a through o, and by t for a
    translation [0, t]. An angle that is spread over two joints is their sum, which holds for
    what lies beyond both.
    """
    axis = pose.axis * _SCALE
    turns = np.concatenate([axis, cross(pose.origin[_SEGMENT_OF], axis, axis=1)], axis=1)
    lines = np.zeros((len(DOFS), 6, axis.shape[-1]))
    for shift in range(3):
        lines[shift, 3 + shift] = 1.0
    lines[3:] = turns[_FIRST]
    for dof, _, second in _SPLIT:
        lines[dof] += turns[second]
    return lines


def hanging(pose: Pose, mass: Array, centre: Array) -> Array:
    """First moment and mass of each segment with all that hang from it, (18, 4, N).

    Args:
        mass: (18, N) shares of body weight, centre: (18, 3, N) of the segments.
    """
    total = np.empty((len(SEGMENTS), 4, pose.origin.shape[-1]))
    total[:, :3] = pose.origin
    for j in range(3):
        total[:, :3] += pose.turn[:, :, j] * centre[:, j, None]
    total[:, :3] *= mass[:, None]
    total[:, 3] = mass
    for segment in range(len(SEGMENTS) - 1, 0, -1):
        total[PARENT[segment]] += total[segment]
    return total


def between(pose: Pose, mass: Array, centre: Array) -> list[tuple[int, Array]]:
    """How what hangs between the two joints of a split angle moves with it: its first moment's
    x and y (2, N), for each such angle."""
    place = pose.origin[_BETWEEN].copy()
    for j in range(3):
        place += pose.turn[_BETWEEN, :, j] * centre[_BETWEEN, j]
    found = []
    for dof, first, _ in _SPLIT:
        axis = pose.axis[first] * _SCALE[first]
        moved = cross(axis, place - pose.origin[_BETWEEN], axis=0)
        found.append((dof, moved[:2] * mass[_BETWEEN]))
    return found
