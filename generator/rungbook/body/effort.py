"""What it costs muscles to hold a posture: axes, strengths, and the forces' part in both.

Moments are in units of body weight times stature, so that strengths are fractions and forces
are in body weights.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from rungbook.body.joints import DOF, JOINT_DOFS, SEGMENTS, below
from rungbook.body.kinematics import Pose
from rungbook.body.relative_strength import REFERENCE_KG_M, relative_strengths
from rungbook.body.segments import data
from rungbook.body.statics import GRAVITY, REPORTED
from rungbook.body.vectors import cross

Array = NDArray[np.float64]
Bools = NDArray[np.bool_]


def effort_axes(pose: Pose) -> Array:
    """The axes that effort is counted about, (34, 3, B): those of the joints.

    A shoulder's flexion axis is taken square to the arm and to the axis of its abduction: the
    joint's own comes to lie along the arm that is raised sideways, where it would count the
    rotation twice and the third direction never.
    """
    axes = pose.axis[list(REPORTED)]
    for side in ("right", "left"):
        flexion, abduction, rotation = (
            JOINT_DOFS.index(DOF[side, "shoulder", axis])
            for axis in ("flexion", "abduction", "external-rotation")
        )
        axes[flexion] = cross(axes[abduction], axes[rotation], axis=0)
    return axes


def strengths(angles: Array) -> tuple[Array, Array]:
    """Strength about every axis in its positive and negative direction, (34, B) each.

    Args:
        angles: (34, B) radians.
    """
    positive, negative = (
        np.repeat(direction[:, None] / GRAVITY, angles.shape[1], axis=1)
        for direction in relative_strengths().T
    )
    resting = data("contact-forces.yml")["resting-wrist"]
    begins, ends = np.radians(resting["from"]), np.radians(resting["to"])
    most = resting["strength"] / (REFERENCE_KG_M * GRAVITY)
    for row in _WRISTS:
        share = np.clip((-angles[row] - begins) / (ends - begins), 0.0, 1.0)
        positive[row] += share * (most - positive[row])
    return positive, negative


_WRISTS = [JOINT_DOFS.index(DOF[side, "wrist", "flexion"]) for side in ("right", "left")]


def levers(axes: Array, origin: Array, beyond: Array, place: Array) -> Array:
    """Moment of the muscles about some axes for a unit force at some places, (R, C, 3, P).

    Args:
        axes: (R, 3, P) through origin (R, 3, P); place: (C, 3, P); beyond: (R, C, P), 1 where
            the place belongs to what the axis moves.
    """
    arm = place[None] - origin[:, None]
    moment = cross(arm, np.broadcast_to(axes[:, None], arm.shape), axis=2)
    result: Array = moment * beyond[:, :, None]
    return result


BEYOND = np.zeros((len(SEGMENTS), len(SEGMENTS)))
for _segment in range(len(SEGMENTS)):
    BEYOND[_segment, list(below(_segment))] = 1.0
