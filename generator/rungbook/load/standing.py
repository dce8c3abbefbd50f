"""Whole bodies on their contacts: what each contact gives, for all body masses."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from rungbook.body.joints import MIRROR_SEGMENT
from rungbook.body.statics import GRAVITY, Wrench
from rungbook.body.vectors import cross
from rungbook.load.corners import Corners, corners_of, leans
from rungbook.load.demand import row_of
from rungbook.load.problems import MIRROR, groups_of
from rungbook.load.reaction import Reaction
from rungbook.load.rests import drag, patch_centre
from rungbook.load.result import PHASES
from rungbook.load.scene import Scene, all_columns, columns_of
from rungbook.load.solving import CornerForces, about, corner_forces

if TYPE_CHECKING:
    from rungbook.load.way_load import WayLoad

Array = NDArray[np.float64]
Ints = NDArray[np.intp]
UNBALANCED = 1e-6
ALIKE = 1e-9  # of what acts on both sides of a body, per stature and body weight


@dataclass(frozen=True)
class Stood:
    """The corners of all ways that were solved together, which of them these are, and forces."""

    corners: Corners
    way: int
    forces: CornerForces


def stand(
    loads: Sequence[WayLoad], numbers: list[int], scene: Scene, masses: bool, spans: bool
) -> None:
    """Solves the contact forces of ways whose whole body stands on them, and applies them.

    Args:
        numbers: where each way's phases lie in the scene, to whose wrenches the forces are added;
        masses: not only for the reference person's mass; spans: how far moments would sway too.
    """
    columns = all_columns(numbers)
    for load, n in zip(loads, numbers, strict=True):
        load.reactions += _written(load, n, scene)
    corners = corners_of(loads, numbers, scene.pose)
    targets = {n: _targets(load) for n, load in enumerate(loads)} if spans else {}
    groups = groups_of(loads, corners)
    found = corner_forces(groups, corners, scene, columns, masses, targets)
    for kind, wrenches in scene.kinds:
        for name, wrench in wrenches.items():
            _apply(corners, columns, found.by_kind[kind][name], wrench)
    unbalanced = _rest(scene, columns) > UNBALANCED
    for n, load in enumerate(loads):
        load.unbalanced = unbalanced[n * PHASES : (n + 1) * PHASES]
        load.reactions += _reactions(load, corners, n, found)
        load.stood = Stood(corners, n, found)
        load.sways = {row: sways for (way, row), sways in found.sways.items() if way == n}
        load.changes += [change for way, _, change in found.changes if way == n]


def _targets(load: WayLoad) -> tuple[int, ...]:
    """The joint axes whose loads the exercise is about."""
    return tuple(dict.fromkeys(row_of(action) for action in load.setup.exercise.works))


def _written(load: WayLoad, number: int, scene: Scene) -> list[Reaction]:
    """Hands whose share of body weight is written push with it, at the middle of the patch."""
    columns = columns_of(number)
    found = []
    for contact in load.setup.posture.contacts:
        if contact.share is None or contact.touch or leans(contact):
            continue
        normal = np.array(contact.normal)[:, None]
        place = patch_centre(contact, scene.pose, columns)
        push = normal + drag(load.setup, contact, place, normal)
        force = contact.share * GRAVITY * push * np.array(contact.active, dtype=float)
        for wrench in scene.body.values():
            wrench.add_at(contact.body_point.segment, columns, place, force)
        nothing = {name: np.zeros((3, PHASES)) for name in scene.body}
        found.append(Reaction(contact, {name: force for name in scene.body}, nothing, place=place))
    return found


def alike_on_both_sides(body: Wrench, fixed: Wrench, mass: float) -> NDArray[np.bool_]:
    """Whether what acts on the body at each posture is its own mirror image, (B,)."""
    other = list(MIRROR_SEGMENT)
    found = np.ones(body.force.shape[-1], dtype=bool)
    for own, outer, mirror in (
        (body.force, fixed.force, MIRROR), (body.torque, fixed.torque, -MIRROR)
    ):  # fmt: skip
        acting = own + outer / mass
        apart = np.abs(acting - mirror[:, None] * acting[other]).max(axis=(0, 1))
        found &= apart < ALIKE * GRAVITY
    return found


def _apply(corners: Corners, columns: Ints, forces: Array, wrench: Wrench) -> None:
    there = columns.reshape(-1, PHASES)[corners.way]  # (T, 11)
    torque = cross(corners.place, forces, axis=1)
    for values, added in ((wrench.force, forces), (wrench.torque, torque)):
        for axis in range(3):
            np.add.at(values[:, axis], (corners.segment[:, None], there), added[:, axis])


def _rest(scene: Scene, columns: Ints) -> Array:
    """The largest unbalanced force or torque over body weight and stature, (P,)."""
    body, fixed = scene.body[scene.first], scene.fixed[scene.first]
    whole = Wrench(
        (body.force[..., columns] + fixed.force[..., columns] / scene.mass) / GRAVITY,
        (body.torque[..., columns] + fixed.torque[..., columns] / scene.mass) / GRAVITY,
    )
    result: Array = np.abs(about(whole, scene.pose.origin[0][:, columns])).max(axis=0)
    return result


def _reactions(load: WayLoad, corners: Corners, n: int, found: CornerForces) -> list[Reaction]:
    own = slice(int(corners.first[n]), int(corners.first[n + 1]))
    reactions = []
    for p, contact in enumerate(load.setup.posture.contacts):
        mine = corners.contact[own] == p
        if mine.any():
            per_kg, fixed = (
                {name: force[own][mine].sum(axis=0) for name, force in found.by_kind[kind].items()}
                for kind in ("body", "fixed")
            )
            changes = [
                change.summed(corners.contact[which] == p)
                for way, which, change in found.changes
                if way == n
            ]
            reactions.append(Reaction(contact, per_kg, fixed, changes))
    return reactions
