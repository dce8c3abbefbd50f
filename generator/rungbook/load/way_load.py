"""The loads of many ways of exercises in one pass over arrays."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from rungbook.body.joints import DOFS, JOINT_DOFS
from rungbook.body.kinematics import Pose, forward
from rungbook.body.landmarks import skeleton_points
from rungbook.body.points import BodyPoint
from rungbook.body.posture import Settled
from rungbook.body.segments import SegmentTable
from rungbook.body.statics import Wrench, centre_of_mass, muscle_moments, reported_axes, weight
from rungbook.body.vectors import cross
from rungbook.load.applying import apply_outer, apply_to_limbs, carry_resting
from rungbook.load.forces import Forces
from rungbook.load.inertia import inertial_wrench
from rungbook.load.leaving import as_left, swings
from rungbook.load.lengths import gave_way
from rungbook.load.posture import Setup
from rungbook.load.pulls import OuterForce
from rungbook.load.reaction import Change, PlacedChange, Reaction
from rungbook.load.result import PHASES, Fault
from rungbook.load.scaling import DIGITS
from rungbook.load.scene import Scene, columns_of
from rungbook.load.solved import solved_rows
from rungbook.load.standing import Stood, alike_on_both_sides, stand
from rungbook.load.swaying import Sways
from rungbook.model.digits import significant

Array = NDArray[np.float64]
AT_ONCE = 384  # ways


@dataclass(frozen=True)
class Person:
    """The reference: mass in kg and stature in m."""

    mass: float
    stature: float


@dataclass
class WayLoad:
    """One way of one exercise, per kg of body mass and fixed; lengths in statures.

    Moments (34 joint axes, 11) by segment table: `body` N/kg, `fixed` N, `inertia` 1/kg·s² at
    one second; `own` N/kg: of what hangs beyond each joint alone. Forces (3, 11) of helpers per
    kg. `changes` of the contacts' forces with body mass, and what they are to the moments.
    `alike`: posture and loads are the same on both sides. It is way `number` of its `scene`;
    `stood` holds its corners where the whole body stands, `sways` those of moments, by row.
    `gave_way`: angles that settled away from what was asked, degrees. `mass` in kg is the
    reference person's, `stature` in m too but where it is settled for another. `at_statures`: the
    same for people of other statures (m) where furniture stands, None where it does not fit.
    `misplaced`: moments over mass and stature if something were not quite where it is written.
    `asked` is what was settled; `setup` and `settled` differ from it where a surface is left
    (`leaving`).
    """

    asked: tuple[Setup, Settled]
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
    scene: Scene
    number: int
    outer: list[tuple[OuterForce, Array, Array]] = field(default_factory=list)
    assistance: list[tuple[str, BodyPoint, Array, dict[str, Array]]] = field(default_factory=list)
    reactions: list[Reaction] = field(default_factory=list)
    changes: list[PlacedChange] = field(default_factory=list)
    moment_changes: list[Change] = field(default_factory=list)
    alike: bool = False
    stood: Stood | None = None
    sways: dict[int, Sways] = field(default_factory=dict)
    unbalanced: NDArray[np.bool_] = field(default_factory=lambda: np.zeros(PHASES, dtype=bool))
    faults: list[Fault] = field(default_factory=list)
    at_statures: dict[float, WayLoad | None] = field(default_factory=dict)
    misplaced: dict[str, Array] = field(default_factory=dict)


def way_loads(
    ways: Sequence[tuple[Setup, Settled, Forces]],
    tables: Sequence[SegmentTable],
    reference: Person,
    masses: bool,
    spans: bool = False,
) -> Iterator[WayLoad]:
    """Computes all ways, some at a time, so that no more need be kept.

    Args:
        tables: the first is the reference person's; masses: for all body masses, not only hers;
            spans: how far the moments of `works` would sway too.
    """
    for start in range(0, len(ways), AT_ONCE):
        yield from _chunk(ways[start : start + AT_ONCE], tables, reference, masses, spans)


def _chunk(
    ways: Sequence[tuple[Setup, Settled, Forces]],
    tables: Sequence[SegmentTable],
    reference: Person,
    masses: bool,
    spans: bool = False,
) -> list[WayLoad]:
    left = [(*as_left(setup, settled), forces) for setup, settled, forces in ways]
    loads = _together(left, ways, tables, reference, masses, spans)
    swung = [n for n, load in enumerate(loads) if swings(load)]
    if swung:
        some = [ways[n] for n in swung]
        for n, load in zip(
            swung, _together(some, some, tables, reference, masses, spans), strict=True
        ):
            loads[n] = load
    return loads


def _together(
    ways: Sequence[tuple[Setup, Settled, Forces]],
    asked: Sequence[tuple[Setup, Settled, Forces]],
    tables: Sequence[SegmentTable],
    reference: Person,
    masses: bool,
    spans: bool,
) -> list[WayLoad]:
    scene = _scene(ways, tables, reference)
    loads = _bare(ways, [(setup, settled) for setup, settled, _ in asked], tables, scene)
    for number, load in enumerate(loads):
        weights = (*scene.body.values(), *scene.inertia.values())
        carry_resting(load.setup, columns_of(number), weights)
        apply_outer(load, number, scene)
    alike = alike_on_both_sides(scene.body[scene.first], scene.fixed[scene.first], scene.mass)
    for number, load in enumerate(loads):
        load.alike = load.setup.posture.symmetric and bool(alike[columns_of(number)].all())
        apply_to_limbs(load, number, scene, tables)
    standing = [number for number, load in enumerate(loads) if not load.setup.carried]
    if standing:
        stand([loads[number] for number in standing], standing, scene, masses, spans)
    _moments(loads, scene)
    _moment_changes(loads, scene)
    return loads


def _scene(
    ways: Sequence[tuple[Setup, Settled, Forces]],
    tables: Sequence[SegmentTable],
    reference: Person,
) -> Scene:
    """The ways' postures under their own weight and inertia."""
    angles = np.concatenate([settled.angles for _, settled, _ in ways], axis=1)
    base = np.repeat(np.stack([s.posture.base for s, _, _ in ways], axis=-1), PHASES, axis=-1)
    pose = forward(angles, base)
    postures = [setup.posture for setup, _, _ in ways]
    return Scene(
        pose,
        angles[list(JOINT_DOFS)],
        reported_axes(pose, np.repeat([not setup.horizontal for setup, _, _ in ways], PHASES)),
        {table.name: weight(pose, table) for table in tables},
        {table.name: Wrench.zero(angles.shape[1]) for table in tables},
        {table.name: inertial_wrench(pose, table, postures) for table in tables},
        reference.mass,
        reference.stature,
    )


def _bare(
    ways: Sequence[tuple[Setup, Settled, Forces]],
    asked: Sequence[tuple[Setup, Settled]],
    tables: Sequence[SegmentTable],
    scene: Scene,
) -> list[WayLoad]:
    """The ways before anything but weight acts on them."""
    points = skeleton_points(scene.pose)
    centres = {table.name: centre_of_mass(scene.pose, table) for table in tables}
    own = {name: muscle_moments(scene.pose, w, scene.axes) for name, w in scene.body.items()}
    degrees = significant(np.degrees(scene.angles), DIGITS)
    bent = gave_way(
        [setup for setup, _ in asked],
        np.concatenate([settled.angles for _, settled in asked], axis=1),
    )
    loads = []
    for number, ((setup, settled, forces), gave) in enumerate(zip(ways, bent, strict=True)):
        at = columns_of(number)
        load = WayLoad(
            asked[number], setup, settled, forces, scene.mass, scene.stature / settled.scale,
            degrees[:, at],
            {}, {}, {},
            {name: moments[:, at] for name, moments in own.items()},
            {name: centre[:, at] for name, centre in centres.items()},
            {name: point[at] for name, point in points.items()}, gave, scene, number,
        )  # fmt: skip
        loads.append(load)
    return loads


def _moments(loads: list[WayLoad], scene: Scene) -> None:
    solved = np.stack([solved_rows(load.setup.supports.free) for load in loads], axis=-1)
    solved = solved.repeat(PHASES, axis=-1)
    for kind, wrenches in scene.kinds:
        for name, wrench in wrenches.items():
            moments = muscle_moments(scene.pose, wrench, scene.axes) * solved
            for number, load in enumerate(loads):
                own = moments[:, columns_of(number)].copy()
                if load.alike:  # to the last digit
                    own[_LEFT_ROWS] = own[_RIGHT_ROWS]
                getattr(load, kind)[name] = own


def _moment_changes(loads: list[WayLoad], scene: Scene) -> None:
    """What changes of forces with body mass are to the moments about all joint axes."""
    changes = [(n, change) for n, load in enumerate(loads) for change in load.changes]
    if not changes:
        return
    where = np.array([n * PHASES + change.phase for n, change in changes])
    pose = scene.pose
    here = Pose(pose.turn[..., where], pose.origin[..., where], pose.axis[..., where])
    parts = []
    for kind in ("per_kg", "fixed"):
        wrench = Wrench.zero(len(changes))
        for number, (_, change) in enumerate(changes):
            force = getattr(change, kind)
            np.add.at(wrench.force[..., number], change.segment, force)
            np.add.at(wrench.torque[..., number], change.segment, cross(change.place, force))
        parts.append(muscle_moments(here, wrench, scene.axes[..., where]))
    for number, (n, change) in enumerate(changes):
        solved = solved_rows(loads[n].setup.supports.free)
        per_kg, fixed = (part[:, number] * solved for part in parts)
        if loads[n].alike:
            for part in (per_kg, fixed):
                part[_LEFT_ROWS] = part[_RIGHT_ROWS]
        loads[n].moment_changes.append(
            Change(
                change.table, change.phase, change.lightest_kg, change.heaviest_kg, per_kg, fixed
            )
        )


_RIGHT_ROWS = [row for row, dof in enumerate(JOINT_DOFS) if DOFS[dof][0] == "right"]
_LEFT_ROWS = [row for row, dof in enumerate(JOINT_DOFS) if DOFS[dof][0] == "left"]
