"""Full support of a free limb at the points where it is helped: help is a share of it."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from rungbook.body.joints import DOFS, JOINT_DOFS, SEGMENTS, below, part_of
from rungbook.body.joints import LIMBS as PART_LIMB
from rungbook.body.kinematics import Pose
from rungbook.body.segments import SegmentTable
from rungbook.body.statics import GRAVITY, REPORTED_SEGMENT
from rungbook.body.vectors import cross
from rungbook.load.rests import ROOT, SHORTEST_LEVER_M, resting_on, under
from rungbook.load.result import PHASES
from rungbook.load.scene import Scene

if TYPE_CHECKING:
    from rungbook.load.way_load import WayLoad

Array = NDArray[np.float64]
MOST_OF_WEIGHT = 2.0
EASES = 1e-3  # moment of a unit of help, of stature: less of it eases nothing
UP = np.array([0.0, 0.0, 1.0])[:, None] * np.ones(PHASES)


def help_limb(
    pose: Pose,
    table: SegmentTable,
    segments: list[int],
    joint: Array,
    places: list[Array],
    columns: slice,
    stature: float,
) -> tuple[list[Array], bool]:
    """Full vertical support of a limb at some points, as a beam on its joint.

    Args:
        segments: all that hangs beyond the joint at `joint` (3, 11); places: (3, 11) each.

    Returns:
        force per kg of body mass (11,) at each place, and whether a lever was too short.
    """
    levers = [np.linalg.norm((place - joint)[:2], axis=0) for place in places]
    farthest = int(np.argmax([lever.mean() for lever in levers]))
    along = (places[farthest] - joint)[:2] / np.maximum(levers[farthest], 1e-9)
    mass = table.mass[segments]
    turned = np.einsum("sijb,sj->sib", pose.turn[segments][..., columns], table.centre[segments])
    centre = pose.origin[segments][..., columns] + turned
    moment = GRAVITY * np.einsum("s,sib,ib->b", mass, (centre - joint)[:, :2], along)
    reach = np.stack([np.einsum("ib,ib->b", (place - joint)[:2], along) for place in places])
    short = np.abs(reach) * stature < SHORTEST_LEVER_M
    reach = np.where(short, 0.0, reach)
    squared = np.sum(reach**2, axis=0)
    sizes = np.where(squared > 0, reach * moment / np.where(squared > 0, squared, 1.0), 0.0)
    most = MOST_OF_WEIGHT * GRAVITY * float(mass.sum())
    return list(np.clip(sizes, 0.0, most)), bool(short.all())


def help_resting(
    load: WayLoad,
    table: SegmentTable,
    pivot: int,
    places: list[tuple[int, Array]],
    at: slice,
    scene: Scene,
) -> list[Array] | None:
    """Full support of a limb that a surface carries beyond the joint it works at.

    The least upward forces that leave that joint nothing to do while the surface goes on carrying
    its part. None where the limb rests on nothing beyond the joint, or hinges there itself.

    Args:
        pivot: the segment that turns at the joint; places: segment and (3, 11) of each point.

    Returns:
        force per kg of body mass (11,) at each place.
    """
    part, side = part_of(SEGMENTS[pivot])
    root = ROOT.get((side, PART_LIMB.get(part, "")), pivot)
    row = _worked_row(load, pivot)
    if pivot == root or row is None:
        return None
    mine = resting_on(load, (side, PART_LIMB[part]))
    beyond, hinge, joint = (
        below(pivot),
        scene.pose.origin[root][:, at],
        scene.pose.origin[pivot][:, at],
    )
    carrying = under(load, mine, root, at, scene)
    if not any(one.contact.body_point.segment in beyond for one in carrying):
        return None
    body = scene.body[table.name]
    torque = body.about(list(below(root)), at, hinge)

    def moment(about_hinge: Array, about_joint: Array) -> Array:
        for one in carrying:
            if one.contact.body_point.segment in beyond:
                force = one.size(about_hinge) * (one.size(torque) > 0) * one.push
                about_joint = about_joint + cross(one.place - joint, force, axis=0)
        result: Array = -row[1] * np.sum(scene.axes[row[0]][:, at] * about_joint, axis=0)
        return result

    asked = np.maximum(moment(torque, body.about(list(beyond), at, joint)), 0.0)
    eased = [
        -moment(cross(p - hinge, UP, axis=0), cross(p - joint, UP, axis=0) * (segment in beyond))
        for segment, p in places
    ]
    squared = sum((one**2 for one in eased), np.zeros(PHASES))
    most = MOST_OF_WEIGHT * GRAVITY * float(table.mass[list(below(root))].sum())
    share = np.where(squared > EASES**2, asked / np.maximum(squared, EASES**2), 0.0)
    return [np.clip(one * share, 0.0, most) for one in eased]


def _worked_row(load: WayLoad, pivot: int) -> tuple[int, int] | None:
    """Row and sign of the action of `works` that turns a segment."""
    for action in load.setup.exercise.works:
        for row, dof in enumerate(JOINT_DOFS):
            _, joint, axis = DOFS[dof]
            if (joint, axis) == (action.joint, action.axis) and REPORTED_SEGMENT[row] == pivot:
                return row, action.sign
    return None
