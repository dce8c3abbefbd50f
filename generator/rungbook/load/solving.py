"""Forces at the corners of whole bodies: per kg, per outer load, and for other body masses."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from rungbook.body.breaks import Piece, pieces
from rungbook.body.effort import effort_axes, strengths
from rungbook.body.kinematics import Pose
from rungbook.body.reactions import answers, least_effort
from rungbook.body.statics import GRAVITY, REPORTED_SEGMENT, Wrench, muscle_moments
from rungbook.body.vectors import cross
from rungbook.load.corners import Corners
from rungbook.load.problems import (
    MIRROR,
    Group,
    Stage,
    frames_of,
    loading,
    problem_of,
    shares_of,
)
from rungbook.load.reaction import HEAVIEST_KG, LIGHTEST_KG, PlacedChange
from rungbook.load.result import PHASES
from rungbook.load.scene import Scene
from rungbook.load.swaying import Sways, sways_of

Array = NDArray[np.float64]
Ints = NDArray[np.intp]
KINDS = ("body", "fixed", "inertia")


@dataclass(frozen=True)
class CornerForces:
    """Forces of all corners (T, 3, 11) by kind (N/kg, N, 1/kg·s²) and table.

    `changes` with body mass: of which way and which corners. `sways` by way and joint axis.
    """

    by_kind: dict[str, dict[str, Array]]
    changes: list[tuple[int, Ints, PlacedChange]] = field(default_factory=list)
    sways: dict[tuple[int, int], Sways] = field(default_factory=dict)


def corner_forces(
    groups: Iterable[Group],
    corners: Corners,
    scene: Scene,
    columns: Ints,
    masses: bool,
    targets: Mapping[int, tuple[int, ...]],
) -> CornerForces:
    """Solves groups of ways.

    Args:
        columns: where the phases of all standing ways lie in the scene; masses: not only for the
            reference person's mass; targets: rows of moments by way, whose sways are wanted.
    """
    stage, acting = _stage(corners, scene, columns)
    found = CornerForces(
        {kind: {name: np.zeros(corners.place.shape) for name in scene.body} for kind in KINDS}
    )
    axes = scene.axes[..., columns]
    for group in groups:
        _solve(group, stage, acting, scene, masses, found, axes, targets)
    return found


@dataclass(frozen=True)
class _Acting:
    """Wrench (6, P) about the pelvis and efforts (34, P) by kind and table, per g."""

    wrench: dict[tuple[str, str], Array]
    effort: dict[tuple[str, str], Array]


def _stage(corners: Corners, scene: Scene, columns: Ints) -> tuple[Stage, _Acting]:
    pose = scene.pose
    here = Pose(pose.turn[..., columns], pose.origin[..., columns], pose.axis[..., columns])
    axes = effort_axes(here)
    acting = _Acting({}, {})
    for kind, wrenches in scene.kinds:
        for name, wrench in wrenches.items():
            part = Wrench(
                wrench.force[..., columns] / GRAVITY, wrench.torque[..., columns] / GRAVITY
            )
            acting.wrench[kind, name] = about(part, here.origin[0])
            acting.effort[kind, name] = muscle_moments(here, part, axes)
    positive, negative = strengths(scene.angles[:, columns])
    origin = here.origin[REPORTED_SEGMENT]
    return Stage(corners, axes, origin, here.origin[0], positive, negative), acting


def about(wrench: Wrench, centre: Array) -> Array:
    """Force and torque about a point (3, P) on the whole body, (6, P)."""
    force = wrench.force.sum(axis=0)
    return np.concatenate([force, wrench.torque.sum(axis=0) - cross(centre, force, axis=0)])


def _solve(
    group: Group,
    stage: Stage,
    acting: _Acting,
    scene: Scene,
    masses: bool,
    found: CornerForces,
    axes: Array,
    targets: Mapping[int, tuple[int, ...]],
) -> None:
    corners, start = stage.corners, None
    frame, bare = frames_of(group, corners), problem_of(group, stage)
    swept: list[tuple[Array, Array, Array]] = []
    for name in scene.body:
        parts = np.stack(
            [
                loading(group, stage, acting.wrench[kind, name], acting.effort[kind, name])
                for kind in KINDS
            ],
            axis=-1,
        )
        parts[:, bare.wrenches - group.shares : bare.wrenches, 0] = -shares_of(group, corners)
        problem = replace(bare, load=parts[..., 0] + parts[..., 1] / scene.mass)
        solved = least_effort(problem, start)
        start = solved.price if start is None else start  # the reference person's, for every table
        answered = answers(problem, solved, parts)
        for kind, sizes in zip(KINDS, np.moveaxis(answered, -1, 0), strict=True):
            _write(group, corners, frame, sizes * GRAVITY, found.by_kind[kind][name])
        if name == scene.first and targets:
            found.sways.update(sways_of(group, stage, problem, solved, frame, axes, targets))
        swept.append((parts[..., :2], answered[..., :2], solved.price))
    if masses:
        places = (1 / HEAVIEST_KG, 1 / scene.mass, 1 / LIGHTEST_KG)
        both, known, price = (np.concatenate(each) for each in zip(*swept, strict=True))
        names = list(scene.body)
        for piece in pieces(bare, both, known, price, places):
            if not piece.low <= places[1] <= piece.high:
                table, row = divmod(piece.row, len(bare.load))
                change = piece.force - known[piece.row]
                placed = _change(
                    group, corners, frame, names[table], replace(piece, row=row), change
                )
                found.changes.append(placed)


def _write(group: Group, corners: Corners, frame: Array, sizes: Array, forces: Array) -> None:
    """Forces (T, 3, 11) in the room from sizes (P, C, 3) along the corners' directions."""
    whole = _in_room(sizes.transpose(1, 2, 0), frame)  # (C, 3, P)
    room = np.moveaxis(whole.reshape(*whole.shape[:2], len(group.ways), PHASES), 2, 0)
    there = group.corners >= 0
    forces[group.corners[there]] = room[there]
    if group.half:
        partner = corners.partner[group.corners[there]]
        pairs = partner != group.corners[there]
        forces[partner[pairs]] = MIRROR[:, None] * room[there][pairs]


def _in_room(sizes: Array, frame: Array) -> Array:
    """From (C, 3, …) along the directions of frames (C, 3, 3, …) to (C, 3, …) in the room."""
    first, second, third = (sizes[:, d, None] * frame[:, d] for d in range(3))
    result: Array = first + second + third
    return result


def _change(
    group: Group, corners: Corners, frame: Array, table: str, piece: Piece, sizes: Array
) -> tuple[int, Ints, PlacedChange]:
    """Of one row, from sizes (C, 3, 2) along the corners' directions."""
    place, phase = divmod(piece.row, PHASES)
    own = group.corners[place]
    which = own[own >= 0]
    per_kg, fixed = (
        _in_room(sizes[..., part], frame[..., piece.row])[own >= 0] * GRAVITY for part in (0, 1)
    )
    if group.half:
        pairs = corners.partner[which] != which
        per_kg, fixed = (np.concatenate([one, MIRROR * one[pairs]]) for one in (per_kg, fixed))
        which = np.concatenate([which, corners.partner[which][pairs]])
    change = PlacedChange(
        table, phase, 1 / piece.high, 1 / piece.low, corners.segment[which],
        corners.place[which, :, phase], per_kg, fixed,
    )  # fmt: skip
    return group.ways[place], which, change
