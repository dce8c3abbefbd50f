"""The loads of many ways of exercises in one pass over arrays."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from functools import cache

import numpy as np
from numpy.typing import NDArray

from rungbook.body.contacts import Contact
from rungbook.body.joints import DOFS, JOINT_DOFS, LIMB_OF
from rungbook.body.kinematics import Pose, forward
from rungbook.body.landmarks import skeleton_points
from rungbook.body.points import BodyPoint
from rungbook.body.segments import SegmentTable
from rungbook.body.settle import Settled
from rungbook.body.statics import Wrench, centre_of_mass, muscle_moments, weight
from rungbook.load.applying import apply_outer, apply_to_limbs, carry_resting
from rungbook.load.forces import Forces, OuterForce
from rungbook.load.inertia import inertial_wrench
from rungbook.load.lengths import gave_way
from rungbook.load.posture import Setup
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
    table, 1/kg·s² at one second; `own` per table, N/kg: of what hangs beyond each joint alone.
    Forces of contacts and helpers: per kg and table (3, 11), and fixed (3, 11). `gave_way`:
    angles that settled away from what was asked, degrees. `mass` in kg and `stature` in m are
    the reference person's.
    """

    setup: Setup
    settled: Settled
    forces: Forces
    mass: float
    stature: float
    angles: Array
    body: dict[str, Array]
    fixed: Array
    inertia: dict[str, Array]
    own: dict[str, Array]
    centre: dict[str, Array]
    points: dict[str, Array]
    gave_way: dict[str, float]
    outer: list[tuple[OuterForce, Array, Array]] = field(default_factory=list)
    assistance: list[tuple[str, BodyPoint, Array, dict[str, Array]]] = field(default_factory=list)
    reactions: list[tuple[Contact, dict[str, Array], Array]] = field(default_factory=list)
    pushes: dict[str, Array] = field(default_factory=dict)
    fixed_pushes: Array = field(default_factory=lambda: np.zeros((0, PHASES)))
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
    trunk_axes = np.repeat([not setup.horizontal for setup, _, _ in ways], PHASES)
    own = {name: muscle_moments(pose, wrench, trunk_axes) for name, wrench in body.items()}
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
        apply_to_limbs(load, number, pose, body, fixed, tables, reference)
    standing = [n for n, load in enumerate(loads) if not load.setup.carried]
    if standing:
        solved = stand(
            [loads[n] for n in standing], standing, pose, body, fixed, inertia, reference
        )
        for n, answer in zip(standing, solved, strict=True):
            _take(loads[n], answer)
    _moments(loads, pose, body, fixed, inertia, trunk_axes)
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
    none = np.zeros((len(JOINT_DOFS), PHASES))
    return WayLoad(
        setup, settled, forces, reference.mass, reference.stature, degrees[:, columns], {}, none,
        {}, {name: moments[:, columns] for name, moments in own.items()},
        {name: centre[:, columns] for name, centre in centres.items()},
        {name: point[columns] for name, point in points.items()}, bent,
    )  # fmt: skip


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
    trunk_axes: NDArray[np.bool_],
) -> None:
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
    return _solved_rows(setup.supports.free)


@cache
def _solved_rows(free: frozenset[tuple[str, str]]) -> Array:
    return np.array([LIMB_OF[dof] in free for dof in JOINT_DOFS], dtype=float)
