"""Statics: what the muscles of each joint axis must produce against all outer forces.

Forces on the body are kept per segment as a wrench about the room's origin: force (18, 3, B)
and torque (18, 3, B). For a joint axis e through J the muscles must produce
M = -e · Σ (r - r_J) × F over everything beyond the joint; M > 0 means that the muscles of the
axis's positive movement act.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rungbook.body.joints import DOF, JOINT_DOFS, PARENT, ROTATIONS, SEGMENT, SEGMENTS
from rungbook.body.kinematics import Pose
from rungbook.body.segments import SegmentTable
from rungbook.body.vectors import cross

Array = NDArray[np.float64]
Bools = NDArray[np.bool_]
GRAVITY = 9.81  # m/s2

# The axis a joint's moment is reported about: of two joints that share an angle, the lower.
REPORTED: tuple[int, ...] = tuple(
    min(k for k, rotation in enumerate(ROTATIONS) if rotation.dof == dof) for dof in JOINT_DOFS
)

REPORTED_SEGMENT = np.array([ROTATIONS[k].segment for k in REPORTED])


@dataclass
class Wrench:
    """Outer forces on every segment; `add` collects them in place."""

    force: Array
    torque: Array

    @staticmethod
    def zero(count: int) -> Wrench:
        """No forces on `count` postures."""
        shape = (len(SEGMENTS), 3, count)
        return Wrench(np.zeros(shape), np.zeros(shape))

    def add_at(
        self, segment: int, at: NDArray[np.intp] | slice, point: Array, force: Array
    ) -> None:
        """Adds a force (3, P) at a point (3, P) of one segment in some postures."""
        self.force[segment][:, at] += force
        self.torque[segment][:, at] += cross(point, force, axis=0)

    def about(self, segments: list[int], at: slice, centre: Array) -> Array:
        """Torque of the forces on some segments about a point (3, P), in some postures."""
        force = self.force[segments][:, :, at].sum(axis=0)
        torque = self.torque[segments][:, :, at].sum(axis=0)
        result: Array = torque - cross(centre, force, axis=0)
        return result

    def add(
        self, segment: NDArray[np.intp], at: NDArray[np.intp], point: Array, force: Array
    ) -> None:
        """Adds one force a posture: segments (P,), postures (P,) without repeats, (3, P) each."""
        self.force[segment, :, at] += force.T
        self.torque[segment, :, at] += cross(point, force, axis=0).T

    @property
    def total(self) -> Array:
        """Force and torque about the room's origin on the whole body, (6, B)."""
        return np.concatenate([self.force.sum(axis=0), self.torque.sum(axis=0)])


def centres(pose: Pose, table: SegmentTable) -> Array:
    """Centre of mass of every segment, (18, 3, B), of stature."""
    where = pose.origin.copy()
    for j in range(3):
        where += pose.turn[:, :, j] * table.centre[:, j, None, None]
    return where


def centre_of_mass(pose: Pose, table: SegmentTable) -> Array:
    """Of the whole body, (3, B), of stature."""
    result: Array = np.einsum("sib,s->ib", centres(pose, table), table.mass)
    return result


def weight(pose: Pose, table: SegmentTable, gravity: float = GRAVITY) -> Wrench:
    """The body's own weight, per kg of body mass: N/kg, and N/kg times stature."""
    where = centres(pose, table)
    down = gravity * table.mass[:, None]
    wrench = Wrench.zero(pose.origin.shape[-1])
    wrench.force[:, 2] = -down
    wrench.torque[:, 0] = -where[:, 1] * down
    wrench.torque[:, 1] = where[:, 0] * down
    return wrench


def reported_axes(pose: Pose, trunk_axes: Bools | bool = True) -> Array:
    """The axes that moments are told about, (34, 3, B).

    Args:
        trunk_axes: (B,) where shoulder abduction is about the trunk's front axis instead of
            the arm's own abduction axis, which follows the raised arm.
    """
    axes = pose.axis[list(REPORTED)]
    for row, sign in _FRONT.items():
        axes[row] = np.where(trunk_axes, sign * pose.turn[SEGMENT["thorax"], :, 0], axes[row])
    return axes


def muscle_moments(pose: Pose, wrench: Wrench, axes: Array) -> Array:
    """Moment of the muscles about one axis of every joint, (34, B).

    Args:
        axes: (34, 3, B) unit vectors through the joints.
    """
    force, torque = wrench.force.copy(), wrench.torque.copy()
    for segment in range(len(SEGMENTS) - 1, 0, -1):
        force[PARENT[segment]] += force[segment]
        torque[PARENT[segment]] += torque[segment]
    about = torque - cross(pose.origin, force, axis=1)
    moments: Array = -np.einsum("rib,rib->rb", axes, about[REPORTED_SEGMENT])
    return moments


_FRONT = {
    JOINT_DOFS.index(DOF[side, "shoulder", "abduction"]): sign
    for side, sign in (("right", -1.0), ("left", 1.0))
}
