"""What moving the segments costs beside holding them: the forces of a minimum-jerk movement.

Each segment is two masses, its radius of gyration to either side of its centre along its long
axis. The movement follows 10τ³ - 15τ⁴ + 6τ⁵ in one second; forces fall with time squared.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from rungbook.body.kinematics import Pose
from rungbook.body.segments import SegmentTable
from rungbook.body.settle import Posture
from rungbook.body.statics import Wrench
from rungbook.body.vectors import cross
from rungbook.load.result import PHASES

Array = NDArray[np.float64]
PEAK_VELOCITY = 1.875  # of a minimum-jerk movement, over its mean velocity


def _profile() -> tuple[Array, Array]:
    """Velocity and acceleration of the movement, of its whole per second, at the 11 phases."""
    time = np.linspace(0, 1, 20001)
    done = 10 * time**3 - 15 * time**4 + 6 * time**5
    at = np.interp(np.linspace(0, 1, PHASES), done, time)
    velocity = 30 * at**2 - 60 * at**3 + 30 * at**4
    acceleration = 60 * at - 180 * at**2 + 120 * at**3
    return velocity, acceleration


VELOCITY, ACCELERATION = _profile()


def inertial_wrench(pose: Pose, table: SegmentTable, postures: Sequence[Posture]) -> Wrench:
    """Forces of inertia on every segment at one second a movement: 1/s² of stature per kg.

    Where a contact is there at the start (or the end) only, that posture stands apart: the
    movement is taken as it goes on from the next one.
    """
    count = len(postures) * PHASES
    apart = np.array([_apart(posture) for posture in postures]).T
    middle = pose.origin + np.einsum("sijb,sj->sib", pose.turn, table.centre)
    half = np.einsum("sijb,sj->sib", pose.turn, table.gyration)
    wrench = Wrench.zero(count)
    for place in (middle - half, middle + half):
        force = -0.5 * table.mass[:, None, None] * _acceleration(place, apart)
        wrench.force += force
        wrench.torque += cross(place, force, axis=1)
    return wrench


def _apart(posture: Posture) -> tuple[bool, bool]:
    """Whether the contacts of the first and of the last phase are not those of their neighbour."""
    active = [contact.active for contact in posture.contacts]
    return any(a[0] != a[1] for a in active), any(a[-1] != a[-2] for a in active)


def _acceleration(place: Array, apart: NDArray[np.bool_]) -> Array:
    """Of points (18, 3, ways·11), by central differences over the phases."""
    shaped = place.reshape(*place.shape[:2], -1, PHASES).copy()
    shaped[..., 0] = np.where(apart[0], 2 * shaped[..., 1] - shaped[..., 2], shaped[..., 0])
    shaped[..., -1] = np.where(apart[1], 2 * shaped[..., -2] - shaped[..., -3], shaped[..., -1])
    step = 1.0 / (PHASES - 1)
    first = np.gradient(shaped, step, axis=-1, edge_order=2)
    second = np.empty_like(shaped)
    second[..., 1:-1] = (shaped[..., 2:] - 2 * shaped[..., 1:-1] + shaped[..., :-2]) / step**2
    second[..., 0], second[..., -1] = second[..., 1], second[..., -2]
    result: Array = (second * VELOCITY**2 + first * ACCELERATION).reshape(place.shape)
    return result
