"""What moving the segments costs beside holding them: the forces of a minimum-jerk movement.

Each segment is two masses, its radius of gyration to either side of its centre along its long
axis. The movement follows 10τ³ - 15τ⁴ + 6τ⁵ in one second; forces fall with time squared.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache

import numpy as np
from numpy.typing import NDArray

from rungbook.body.kinematics import Pose
from rungbook.body.posture import Posture
from rungbook.body.segments import SegmentTable
from rungbook.body.statics import Wrench, centres
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
    apart = np.stack([_derivative(*_apart(posture)) for posture in postures])
    middle = centres(pose, table)
    half = np.einsum("sijb,sj->sib", pose.turn, table.gyration)
    mass = -table.mass[:, None, None]
    # Both masses together; a half is turned, and adds no more than a couple.
    force, couple = (mass * _accelerated(place, apart) for place in (middle, half))
    return Wrench(force, cross(middle, force, axis=1) + cross(half, couple, axis=1))


def _apart(posture: Posture) -> tuple[bool, bool]:
    """Whether the contacts of the first and of the last phase are not those of their neighbour."""
    active = [contact.active for contact in posture.contacts]
    return any(a[0] != a[1] for a in active), any(a[-1] != a[-2] for a in active)


def _accelerated(place: Array, derivative: Array) -> Array:
    """Of points (18, 3, ways·11), by the derivative of each way (ways, 11, 11)."""
    shaped = place.reshape(len(place) * 3, -1, PHASES).transpose(1, 0, 2)
    result: Array = np.matmul(shaped, derivative).transpose(1, 0, 2).reshape(place.shape)
    return result


@cache
def _derivative(start_apart: bool, end_apart: bool) -> Array:
    """Turns places at the phases into accelerations, (11, 11), by central differences."""
    shaped = np.eye(PHASES)
    if start_apart:
        shaped[..., 0] = 2 * shaped[..., 1] - shaped[..., 2]
    if end_apart:
        shaped[..., -1] = 2 * shaped[..., -2] - shaped[..., -3]
    step = 1.0 / (PHASES - 1)
    first = np.gradient(shaped, step, axis=-1, edge_order=2)
    second = np.empty_like(shaped)
    second[..., 1:-1] = (shaped[..., 2:] - 2 * shaped[..., 1:-1] + shaped[..., :-2]) / step**2
    second[..., 0], second[..., -1] = second[..., 1], second[..., -2]
    result: Array = second * VELOCITY**2 + first * ACCELERATION
    return result
