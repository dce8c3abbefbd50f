"""The loads of many ways of exercises in one pass over arrays."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from rungbook.body.contacts import Contact
from rungbook.body.joints import DOFS, JOINT_DOFS, JOINT_LIMB, SEGMENTS, below, part_of
from rungbook.body.joints import LIMBS as PART_LIMB
from rungbook.body.kinematics import Pose, forward
from rungbook.body.landmarks import skeleton_points
from rungbook.body.points import BodyPoint
from rungbook.body.segments import SegmentTable
from rungbook.body.settle import Settled
from rungbook.body.statics import GRAVITY, Wrench, centre_of_mass, muscle_moments, weight
from rungbook.load.forces import CarriedShare, Forces, OuterForce
from rungbook.load.inertia import inertial_wrench
from rungbook.load.posture import Setup
from rungbook.load.rests import help_limb, rest_limb
from rungbook.load.result import PHASES, Fault
from rungbook.load.standing import Standing, stand

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Person:
    """The reference: mass in kg and stature in m."""

    mass: float
    stature: float


@dataclass
class WayLoad:
    """One way of one exercise, per kg of body mass and fixed; lengths in statures.

    Moments (34 joint axes, 11): `body` per segment table, N/kg; `fixed` N; `inertia` per
    table, 1/kg·s² at one second. Forces of contacts and helpers: per kg and table (3, 11), and
    fixed (3, 11).
    """

    setup: Setup
    settled: Settled
    forces: Forces
    stature: float
    angles: Array
    body: dict[str, Array]
    fixed: Array
    inertia: dict[str, Array]
    centre: dict[str, Array]
    points: dict[str, Array]
    outer: list[tuple[OuterForce, Array, Array]] = field(default_factory=list)
    assistance: list[tuple[str, BodyPoint, Array, dict[str, Array]]] = field(default_factory=list)
    reactions: list[tuple[Contact, dict[str, Array], Array]] = field(default_factory=list)
    pushes: dict[str, Array] = field(default_factory=dict)
    fixed_pushes: Array = field(default_factory=lambda: np.zeros((0, PHASES)))
    unbalanced: Array = field(default_factory=lambda: np.zeros(PHASES, dtype=bool))
    faults: list[Fault] = field(default_factory=list)


def way_loads(
    ways: Sequence[tuple[Setup, Settled, Forces]],
    tables: Sequence[SegmentTable],
    reference: Person,
) -> list[WayLoad]:
    """Computes all ways, a few hundred at a time.

    Args:
        tables: the first is the reference person's.
    """
    loads: list[WayLoad] = []
    for start in range(0, len(ways), 192):
        loads += _chunk(ways[start : start + 192], tables, reference)
    return loads


def _chunk(
    ways: Sequence[tuple[Setup, Settled, Forces]],
    tables: Sequence[SegmentTable],
    reference: Person,
) -> list[WayLoad]:
    angles = np.concatenate([settled.angles for _, settled, _ in ways], axis=1)
    base = np.repeat(np.stack([s.posture.base for s, _, _ in ways], axis=-1), PHASES, axis=-1)
    pose = forward(angles, base)
    body = {table.name: weight(pose, table) for table in tables}
    fixed = Wrench.zero(angles.shape[1])
    postures = [setup.posture for setup, _, _ in ways]
    inertia = {table.name: inertial_wrench(pose, table, postures) for table in tables}
    points = skeleton_points(pose)
    centres = {table.name: centre_of_mass(pose, table) for table in tables}
    degrees = np.degrees(angles[list(JOINT_DOFS)])
    loads = [
        _empty(way, at(number), degrees, points, centres, reference)
        for number, way in enumerate(ways)
    ]
    for number, load in enumerate(loads):
        _carry_resting(load, number, body, inertia)
        _outer(load, number, pose, body, fixed)
        _limbs(load, number, pose, body, fixed, tables, reference)
    standing = [n for n, load in enumerate(loads) if not load.setup.carried]
    if standing:
        solved = stand(
            [loads[n] for n in standing], standing, pose, body, fixed, inertia, reference
        )
        for n, answer in zip(standing, solved, strict=True):
            _take(loads[n], answer)
    _moments(loads, pose, body, fixed, inertia)
    return loads


def at(number: int) -> slice:
    """Columns of one way's phases."""
    return slice(number * PHASES, (number + 1) * PHASES)


def _empty(
    way: tuple[Setup, Settled, Forces],
    columns: slice,
    degrees: Array,
    points: dict[str, Array],
    centres: dict[str, Array],
    reference: Person,
) -> WayLoad:
    setup, settled, forces = way
    none = np.zeros((len(JOINT_DOFS), PHASES))
    return WayLoad(
        setup, settled, forces, reference.stature, degrees[:, columns], {}, none, {},
        {name: centre[:, columns] for name, centre in centres.items()},
        {name: point[columns] for name, point in points.items()},
    )  # fmt: skip


def _carry_resting(
    load: WayLoad, number: int, body: dict[str, Wrench], inertia: dict[str, Wrench]
) -> None:
    """In bridging, what stays on the floor is carried where it lies; on a sled it still slides."""
    setup = load.setup
    if setup.carried or not setup.position.carried:
        return
    columns = at(number)
    trunk = [c for c in setup.posture.contacts if c.body_point.limb == "trunk"]
    normal = np.array(trunk[0].normal) if any(c.slides for c in trunk) else None
    for index, segment in enumerate(SEGMENTS):
        part, side = part_of(segment)
        midline = ("mid", "neck" if part == "head" else "spine")
        limb = (side, PART_LIMB[part]) if part in PART_LIMB else midline
        if limb in setup.supports.free:
            continue
        for wrench in (*body.values(), *inertia.values()):
            force, torque = wrench.force[index], wrench.torque[index]
            if normal is None:
                force[:, columns], torque[:, columns] = 0.0, 0.0
                continue
            share = np.outer(normal, normal)
            point = np.cross(force[:, columns], torque[:, columns], axis=0)
            point = point / np.maximum(np.sum(force[:, columns] ** 2, axis=0), 1e-12)
            force[:, columns] -= share @ force[:, columns]
            torque[:, columns] = np.cross(point, force[:, columns], axis=0)


def _outer(load: WayLoad, number: int, pose: Pose, body: dict[str, Wrench], fixed: Wrench) -> None:
    columns = at(number)
    for force in load.forces.outer:
        point = _place(pose, force.point, columns)
        if force.toward is not None:
            target = _place(pose, force.toward, columns)
            along = target - point
            along = along / np.maximum(np.linalg.norm(along, axis=0), 1e-9)
        else:
            along = np.repeat(np.array(force.direction, dtype=float)[:, None], PHASES, axis=1)
        pull = along * force.size
        fixed.add_at(force.point.segment, columns, point, pull)
        if force.toward is not None:
            fixed.add_at(force.toward.segment, columns, target, -pull)
        load.outer.append((force, point.T.copy(), pull.T.copy()))
    for name, where, share in load.forces.body_share:
        point = _place(pose, where, columns)
        up = np.zeros((3, PHASES))
        up[2] = share * GRAVITY
        for wrench in body.values():
            wrench.add_at(where.segment, columns, point, up)
        load.assistance.append((name, where, point.T.copy(), {t: up.copy() for t in body}))


def _place(pose: Pose, point: BodyPoint, columns: slice) -> Array:
    turned = np.einsum("ijb,j->ib", pose.turn[point.segment][..., columns], np.array(point.local))
    result: Array = pose.origin[point.segment][:, columns] + turned
    return result


def _limbs(
    load: WayLoad,
    number: int,
    pose: Pose,
    body: dict[str, Wrench],
    fixed: Wrench,
    tables: Sequence[SegmentTable],
    reference: Person,
) -> None:
    """Assistance of free limbs, then what they rest on."""
    columns = at(number)
    for share in load.forces.carried:
        places = [_place(pose, point, columns) for point in share.points]
        forces = _help(load, share, places, pose, columns, body, tables, reference)
        for name, point, place, per_table in zip(
            share.at, share.points, places, forces, strict=True
        ):
            load.assistance.append((name, point, place.T.copy(), per_table))
    if load.setup.supports.rests:
        load.reactions += rest_limb(
            load.setup, pose, columns, body, fixed, reference.mass, reference.stature, load.faults
        )


def _help(
    load: WayLoad,
    share: CarriedShare,
    places: list[Array],
    pose: Pose,
    columns: slice,
    body: dict[str, Wrench],
    tables: Sequence[SegmentTable],
    reference: Person,
) -> list[dict[str, Array]]:
    segments = list(below(share.pivot))
    joint = pose.origin[share.pivot][:, columns]
    found: list[dict[str, Array]] = [{} for _ in places]
    for table in tables:
        sizes, note = help_limb(pose, table, segments, joint, places, columns, reference.stature)
        if note and table is tables[0]:
            message = (
                f"help at {share.at[0]} is less than 5 cm from the joint and carries nothing there: "
                "help farther along the limb"
            )
            load.faults.append(Fault("statics-doubtful", message, ("assist", share.index[0], "at")))
        for n, (point, place) in enumerate(zip(share.points, places, strict=True)):
            up = np.zeros((3, PHASES))
            up[2] = share.shares[n] * sizes[n]
            body[table.name].add_at(point.segment, columns, place, up)
            found[n][table.name] = up
    return found


def _take(load: WayLoad, answer: Standing) -> None:
    load.reactions += answer.reactions
    load.pushes = answer.pushes
    load.fixed_pushes = answer.fixed_pushes
    load.unbalanced = answer.unbalanced


def _moments(
    loads: list[WayLoad],
    pose: Pose,
    body: dict[str, Wrench],
    fixed: Wrench,
    inertia: dict[str, Wrench],
) -> None:
    trunk_axes = np.repeat([not load.setup.horizontal for load in loads], PHASES)
    solved = np.stack([solved_rows(load.setup) for load in loads], axis=-1).repeat(PHASES, axis=-1)
    moments = {
        name: muscle_moments(pose, wrench, trunk_axes) * solved for name, wrench in body.items()
    }
    outer = muscle_moments(pose, fixed, trunk_axes) * solved
    moving = {
        name: muscle_moments(pose, wrench, trunk_axes) * solved for name, wrench in inertia.items()
    }
    for number, load in enumerate(loads):
        load.body = {name: m[:, at(number)].copy() for name, m in moments.items()}
        load.fixed = outer[:, at(number)].copy()
        load.inertia = {name: m[:, at(number)].copy() for name, m in moving.items()}
        if load.setup.posture.symmetric:
            _same_sides(load)


def _same_sides(load: WayLoad) -> None:
    """Both sides alike to the last digit: the left side's numbers are the right side's."""
    for moments in (*load.body.values(), load.fixed, *load.inertia.values()):
        moments[_LEFT_ROWS] = moments[_RIGHT_ROWS]


_RIGHT_ROWS = [row for row, dof in enumerate(JOINT_DOFS) if DOFS[dof][0] == "right"]
_LEFT_ROWS = [row for row, dof in enumerate(JOINT_DOFS) if DOFS[dof][0] == "left"]


def solved_rows(setup: Setup) -> Array:
    """1 for joint axes whose moment is solved, 0 where a surface carries what hangs there."""
    rows = np.zeros(len(JOINT_DOFS))
    for row, dof in enumerate(JOINT_DOFS):
        side, joint, _ = DOFS[dof]
        limb = (
            (side, JOINT_LIMB[joint])
            if joint in JOINT_LIMB
            else ("mid", "neck" if joint == "neck" else "spine")
        )
        rows[row] = limb in setup.supports.free
    return rows
