"""Puts what acts on one way onto the arrays of all: loads, help, and what carries a limb."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from rungbook.body.joints import LIMBS as PART_LIMB
from rungbook.body.joints import SEGMENT, SEGMENTS, below, part_of
from rungbook.body.kinematics import Pose
from rungbook.body.points import BodyPoint
from rungbook.body.segments import SegmentTable
from rungbook.body.statics import GRAVITY, Wrench
from rungbook.body.vectors import cross
from rungbook.load.forces import CarriedShare
from rungbook.load.helping import help_limb, help_resting
from rungbook.load.posture import Setup
from rungbook.load.pulls import OuterForce
from rungbook.load.rests import rest_limb
from rungbook.load.result import PHASES, Fault
from rungbook.load.scene import Scene, columns_of

if TYPE_CHECKING:
    from rungbook.load.way_load import WayLoad

Array = NDArray[np.float64]


def carry_resting(setup: Setup, columns: slice, wrenches: Iterable[Wrench]) -> None:
    """In bridging, what stays on the floor is carried where it lies; on a sled it still slides."""
    if setup.carried or not setup.position.carried:
        return
    trunk = [c for c in setup.posture.contacts if c.body_point.limb == "trunk"]
    normal = np.array(trunk[0].normal) if any(c.slides for c in trunk) else None
    for index, segment in enumerate(SEGMENTS):
        part, side = part_of(segment)
        midline = ("mid", "neck" if part == "head" else "spine")
        limb = (side, PART_LIMB[part]) if part in PART_LIMB else midline
        if limb in setup.supports.free:
            continue
        for wrench in wrenches:
            force, torque = wrench.force[index], wrench.torque[index]
            if normal is None:
                force[:, columns], torque[:, columns] = 0.0, 0.0
                continue
            share = np.outer(normal, normal)
            point = cross(force[:, columns], torque[:, columns], axis=0)
            point = point / np.maximum(np.sum(force[:, columns] ** 2, axis=0), 1e-12)
            force[:, columns] -= share @ force[:, columns]
            torque[:, columns] = cross(point, force[:, columns], axis=0)


def apply_outer(load: WayLoad, number: int, scene: Scene) -> None:
    """Weights, bands and pushes, and help that carries the trunk."""
    columns, pose = columns_of(number), scene.pose
    for force in load.forces.outer:
        point = _place(pose, force.point, columns)
        if force.toward is not None or force.anchor is not None:
            target = _target(pose, force, columns)
            along = target - point
            along = along / np.maximum(np.linalg.norm(along, axis=0), 1e-9)
        else:
            along = np.repeat(np.array(force.direction, dtype=float)[:, None], PHASES, axis=1)
        pull = along * force.size
        for wrench in scene.fixed.values():
            wrench.add_at(force.point.segment, columns, point, pull)
            if force.toward is not None and not force.mutual:
                wrench.add_at(force.toward.segment, columns, target, -pull)
        load.outer.append((force, point.T.copy(), pull.T.copy()))
    for name, where, share in load.forces.body_share:
        point = _place(pose, where, columns)
        up = np.zeros((3, PHASES))
        up[2] = share * GRAVITY
        for wrench in scene.body.values():
            wrench.add_at(where.segment, columns, point, up)
        load.assistance.append((name, where, point.T.copy(), {t: up.copy() for t in scene.body}))


def _target(pose: Pose, force: OuterForce, columns: slice) -> Array:
    """What a force pulls toward: another point, or a cable's anchor beside the pelvis's start."""
    if force.toward is not None:
        return _place(pose, force.toward, columns)
    anchor = np.array(force.anchor)
    anchor[:2] += pose.origin[SEGMENT["pelvis"]][:2, columns.start]
    return np.repeat(anchor[:, None], PHASES, axis=1)


def _place(pose: Pose, point: BodyPoint, columns: slice) -> Array:
    turned = np.einsum("ijb,j->ib", pose.turn[point.segment][..., columns], np.array(point.local))
    result: Array = pose.origin[point.segment][:, columns] + turned
    return result


def apply_to_limbs(
    load: WayLoad, number: int, scene: Scene, tables: Sequence[SegmentTable]
) -> None:
    """Assistance of free limbs, then what they rest on."""
    columns = columns_of(number)
    for share in load.forces.carried:
        places = [_place(scene.pose, point, columns) for point in share.points]
        forces = _help(load, share, places, scene, columns, tables)
        for name, point, place, per_table in zip(
            share.at, share.points, places, forces, strict=True
        ):
            load.assistance.append((name, point, place.T.copy(), per_table))
    if load.setup.carried:
        rest_limb(load, columns, scene)


def _help(
    load: WayLoad,
    share: CarriedShare,
    places: list[Array],
    scene: Scene,
    columns: slice,
    tables: Sequence[SegmentTable],
) -> list[dict[str, Array]]:
    segments, pose = list(below(share.pivot)), scene.pose
    joint = pose.origin[share.pivot][:, columns]
    found: list[dict[str, Array]] = [{} for _ in places]
    for table in tables:
        note, points = False, [point.segment for point in share.points]
        at_points = list(zip(points, places, strict=True))
        sizes = help_resting(load, table, share.pivot, at_points, columns, scene)
        if sizes is None:
            sizes, note = help_limb(pose, table, segments, joint, places, columns, load.stature)
        if note and table is tables[0]:
            message = (
                f"help at {share.at[0]} is less than 5 cm from the joint and carries nothing: "
                "help farther along the limb"
            )
            load.faults.append(Fault("statics-doubtful", message, ("assist", share.index[0], "at")))
        for n, (point, place) in enumerate(zip(share.points, places, strict=True)):
            up = np.zeros((3, PHASES))
            up[2] = share.shares[n] * sizes[n]
            scene.body[table.name].add_at(point.segment, columns, place, up)
            found[n][table.name] = up
    return found
