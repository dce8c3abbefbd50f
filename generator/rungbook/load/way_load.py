"""The loads of many ways of exercises in one pass over arrays."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from rungbook.body.contacts import Contact
from rungbook.body.joints import DOFS, JOINT_DOFS
from rungbook.body.kinematics import Pose, forward
from rungbook.body.landmarks import skeleton_points
from rungbook.body.points import BodyPoint
from rungbook.body.posture import Settled
from rungbook.body.segments import SegmentTable
from rungbook.body.statics import Wrench, centre_of_mass, muscle_moments, reported_axes, weight
from rungbook.load.applying import apply_outer, apply_to_limbs, carry_resting
from rungbook.load.forces import Forces, OuterForce
from rungbook.load.inertia import inertial_wrench
from rungbook.load.lengths import gave_way
from rungbook.load.posture import Setup
from rungbook.load.result import PHASES, Fault
from rungbook.load.solved import solved_rows
from rungbook.load.standing import alike_on_both_sides, stand

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Person:
    """The reference: mass in kg and stature in m."""

    mass: float
    stature: float


@dataclass
class WayLoad:
    """One way of one exercise, per kg of body mass and fixed; lengths in statures.

    Moments (34 joint axes, 11) by segment table: `body` N/kg, `fixed` N, `inertia` 1/kg·s² at
    one second; `own` N/kg: of what hangs beyond each joint alone. Forces (3, 11) of contacts by
    table, per kg and fixed; of helpers, per kg. `alike`: posture and loads are the same on both
    sides. `gave_way`: angles that settled away from what was asked, degrees. `mass` in kg and
    `stature` in m are the reference person's.
    """

    setup: Setup
    settled: Settled
    forces: Forces
    mass: float
    stature: float
    angles: Array
    body: dict[str, Array]
    fixed: dict[str, Array]
    inertia: dict[str, Array]
    own: dict[str, Array]
    centre: dict[str, Array]
    points: dict[str, Array]
    gave_way: dict[str, float]
    outer: list[tuple[OuterForce, Array, Array]] = field(default_factory=list)
    assistance: list[tuple[str, BodyPoint, Array, dict[str, Array]]] = field(default_factory=list)
    reactions: list[tuple[Contact, dict[str, Array], dict[str, Array]]] = field(
        default_factory=list
    )
    alike: bool = False
    unbalanced: NDArray[np.bool_] = field(default_factory=lambda: np.zeros(PHASES, dtype=bool))
    faults: list[Fault] = field(default_factory=list)


def way_loads(
    ways: Sequence[tuple[Setup, Settled, Forces]],
    tables: Sequence[SegmentTable],
    reference: Person,
) -> Iterator[WayLoad]:
    """Computes all ways, a few hundred at a time, so that no more need be kept.

    Args:
        tables: the first is the reference person's.
    """
    for start in range(0, len(ways), 192):
        yield from _chunk(ways[start : start + 192], tables, reference)


def _chunk(
    ways: Sequence[tuple[Setup, Settled, Forces]],
    tables: Sequence[SegmentTable],
    reference: Person,
) -> list[WayLoad]:
    angles = np.concatenate([settled.angles for _, settled, _ in ways], axis=1)
    base = np.repeat(np.stack([s.posture.base for s, _, _ in ways], axis=-1), PHASES, axis=-1)
    pose = forward(angles, base)
    body = {table.name: weight(pose, table) for table in tables}
    axes = reported_axes(pose, np.repeat([not setup.horizontal for setup, _, _ in ways], PHASES))
    own = {name: muscle_moments(pose, wrench, axes) for name, wrench in body.items()}
    fixed = Wrench.zero(angles.shape[1])
    postures = [setup.posture for setup, _, _ in ways]
    inertia = {table.name: inertial_wrench(pose, table, postures) for table in tables}
    points = skeleton_points(pose)
    centres = {table.name: centre_of_mass(pose, table) for table in tables}
    degrees = np.degrees(angles[list(JOINT_DOFS)])
    loads = [
        _empty(way, at(number), degrees, points, centres, own, bent, reference)
        for number, (way, bent) in enumerate(
            zip(ways, gave_way([setup for setup, _, _ in ways], angles), strict=True)
        )
    ]
    for number, load in enumerate(loads):
        carry_resting(load, number, body, inertia)
        apply_outer(load, number, pose, body, fixed)
    outer = {name: Wrench(fixed.force.copy(), fixed.torque.copy()) for name in body}
    for number, load in enumerate(loads):
        apply_to_limbs(load, number, pose, body, outer, tables, reference)
    alike = alike_on_both_sides(body[tables[0].name], fixed, reference.mass)
    for number, load in enumerate(loads):
        load.alike = load.setup.posture.symmetric and bool(alike[at(number)].all())
    standing = [n for n, load in enumerate(loads) if not load.setup.carried]
    if standing:
        solved = stand(
            [loads[n] for n in standing], standing, pose, angles[list(JOINT_DOFS)], body, outer,
            inertia, reference,
        )  # fmt: skip
        for n, answer in zip(standing, solved, strict=True):
            loads[n].reactions += answer.reactions
            loads[n].unbalanced = answer.unbalanced
    _moments(loads, pose, body, outer, inertia, axes)
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
    own: dict[str, Array],
    bent: dict[str, float],
    reference: Person,
) -> WayLoad:
    setup, settled, forces = way
    return WayLoad(
        setup, settled, forces, reference.mass, reference.stature, degrees[:, columns], {}, {},
        {}, {name: moments[:, columns] for name, moments in own.items()},
        {name: centre[:, columns] for name, centre in centres.items()},
        {name: point[columns] for name, point in points.items()}, bent,
    )  # fmt: skip


def _moments(
    loads: list[WayLoad],
    pose: Pose,
    body: dict[str, Wrench],
    fixed: dict[str, Wrench],
    inertia: dict[str, Wrench],
    axes: Array,
) -> None:
    solved = np.stack([solved_rows(load.setup.supports.free) for load in loads], axis=-1)
    solved = solved.repeat(PHASES, axis=-1)
    for kind, wrenches in (("body", body), ("fixed", fixed), ("inertia", inertia)):
        for name, wrench in wrenches.items():
            moments = muscle_moments(pose, wrench, axes) * solved
            for number, load in enumerate(loads):
                getattr(load, kind)[name] = moments[:, at(number)].copy()
                if load.alike:  # to the last digit
                    getattr(load, kind)[name][_LEFT_ROWS] = getattr(load, kind)[name][_RIGHT_ROWS]


_RIGHT_ROWS = [row for row, dof in enumerate(JOINT_DOFS) if DOFS[dof][0] == "right"]
_LEFT_ROWS = [row for row, dof in enumerate(JOINT_DOFS) if DOFS[dof][0] == "left"]
