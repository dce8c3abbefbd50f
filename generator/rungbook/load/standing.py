"""Whole bodies on their contacts: forces at the corners, per kg and per outer load."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from rungbook.body.contacts import Contact
from rungbook.body.effort import effort_axes, strengths
from rungbook.body.joints import MIRROR_SEGMENT
from rungbook.body.kinematics import Pose
from rungbook.body.reactions import answers, least_effort
from rungbook.body.statics import GRAVITY, REPORTED_SEGMENT, Wrench, muscle_moments
from rungbook.body.vectors import cross
from rungbook.load.corners import Corners, corners_of, leans
from rungbook.load.problems import (
    MIRROR,
    Group,
    Stage,
    frames_of,
    groups_of,
    loading,
    problem_of,
    shares_of,
)
from rungbook.load.rests import drag, patch_centre
from rungbook.load.result import PHASES

if TYPE_CHECKING:
    from rungbook.load.way_load import Person, WayLoad

Array = NDArray[np.float64]
UNBALANCED = 1e-6
ALIKE = 1e-9  # of what acts on both sides of a body, per stature and body weight


@dataclass
class Standing:
    """The answer for one way: contact forces, and where they do not balance."""

    reactions: list[tuple[Contact, dict[str, Array], dict[str, Array]]]
    unbalanced: NDArray[np.bool_]


def stand(
    loads: Sequence[WayLoad],
    numbers: Sequence[int],
    pose: Pose,
    angles: Array,
    body: dict[str, Wrench],
    fixed: dict[str, Wrench],
    inertia: dict[str, Wrench],
    reference: Person,
) -> list[Standing]:
    """Solves the contact forces of ways whose whole body stands on them, and applies them.

    Args:
        angles: (34, B) radians.
        body, fixed, inertia: what acts besides, by segment table; contact forces are added.
    """
    columns = (np.array(numbers)[:, None] * PHASES + np.arange(PHASES)).ravel()
    shared = [_fixed_forces(load, n, pose, body) for load, n in zip(loads, numbers, strict=True)]
    corners = corners_of(loads, numbers, pose, reference.stature)
    first = next(iter(body))
    stage, acting = _stage(corners, pose, angles, columns, body, fixed, inertia)
    forces = {
        kind: {name: np.zeros(corners.place.shape) for name in body}
        for kind in ("body", "fixed", "inertia")
    }
    for group in groups_of(loads, corners):
        _solve(group, stage, acting, reference.mass, forces)
    for kind, wrenches in (("body", body), ("fixed", fixed), ("inertia", inertia)):
        for name, wrench in wrenches.items():
            _apply(corners, columns, forces[kind][name], wrench)
    unbalanced = _rest(body[first], fixed[first], columns, pose, reference.mass) > UNBALANCED
    return [
        Standing(
            [*shared[n], *_reactions(load, corners, n, forces["body"], forces["fixed"])],
            unbalanced[n * PHASES : (n + 1) * PHASES],
        )
        for n, load in enumerate(loads)
    ]


def _fixed_forces(
    load: WayLoad, number: int, pose: Pose, body: dict[str, Wrench]
) -> list[tuple[Contact, dict[str, Array], dict[str, Array]]]:
    """Hands whose share of body weight is written push with it, at the middle of the patch."""
    columns = slice(number * PHASES, (number + 1) * PHASES)
    found = []
    for contact in load.setup.posture.contacts:
        if contact.share is None or contact.touch or leans(contact):
            continue
        normal = np.array(contact.normal)[:, None]
        place = patch_centre(contact, pose, columns)
        push = normal + drag(load.setup, contact, place, normal)
        force = contact.share * GRAVITY * push * np.array(contact.active, dtype=float)
        for wrench in body.values():
            wrench.add_at(contact.body_point.segment, columns, place, force)
        nothing = {name: np.zeros((3, PHASES)) for name in body}
        found.append((contact, {name: force for name in body}, nothing))
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


@dataclass(frozen=True)
class _Acting:
    """Wrench (6, P) about the pelvis and efforts (34, P) by kind and table, per g."""

    wrench: dict[tuple[str, str], Array]
    effort: dict[tuple[str, str], Array]


def _stage(
    corners: Corners,
    pose: Pose,
    angles: Array,
    columns: NDArray[np.intp],
    body: dict[str, Wrench],
    fixed: dict[str, Wrench],
    inertia: dict[str, Wrench],
) -> tuple[Stage, _Acting]:
    here = Pose(pose.turn[..., columns], pose.origin[..., columns], pose.axis[..., columns])
    axes = effort_axes(here)
    acting = _Acting({}, {})
    for kind, wrenches in (("body", body), ("fixed", fixed), ("inertia", inertia)):
        for name, wrench in wrenches.items():
            part = Wrench(
                wrench.force[..., columns] / GRAVITY, wrench.torque[..., columns] / GRAVITY
            )
            acting.wrench[kind, name] = _about(part, here.origin[0])
            acting.effort[kind, name] = muscle_moments(here, part, axes)
    positive, negative = strengths(angles[:, columns])
    origin = here.origin[REPORTED_SEGMENT]
    return Stage(corners, axes, origin, here.origin[0], positive, negative), acting


def _about(wrench: Wrench, centre: Array) -> Array:
    force = wrench.force.sum(axis=0)
    return np.concatenate([force, wrench.torque.sum(axis=0) - cross(centre, force, axis=0)])


def _solve(
    group: Group, stage: Stage, acting: _Acting, mass: float, forces: dict[str, dict[str, Array]]
) -> None:
    """Forces of one group's corners, written into `forces`."""
    frame = frames_of(group, stage.corners)
    bare, price = problem_of(group, stage), None
    for name in forces["body"]:
        parts = np.stack(
            [
                loading(group, stage, acting.wrench[kind, name], acting.effort[kind, name])
                for kind in ("body", "fixed", "inertia")
            ],
            axis=-1,
        )
        parts[:, bare.wrenches - group.shares : bare.wrenches, 0] = -shares_of(group, stage.corners)
        problem = replace(bare, load=parts[..., 0] + parts[..., 1] / mass)
        solved = least_effort(problem, price)
        price = solved.price
        answered = answers(problem, solved, parts)
        for kind, sizes in zip(
            ("body", "fixed", "inertia"), np.moveaxis(answered, -1, 0), strict=True
        ):
            _write(group, stage.corners, frame, sizes * GRAVITY, forces[kind][name])


def _write(group: Group, corners: Corners, frame: Array, sizes: Array, forces: Array) -> None:
    """Forces (T, 3, 11) in the room from sizes (P, C, 3) along the corners' directions."""
    first, second, third = (sizes.transpose(1, 2, 0)[:, d, None] * frame[:, d] for d in range(3))
    whole = first + second + third  # (C, 3, P)
    room = np.moveaxis(whole.reshape(*whole.shape[:2], len(group.ways), PHASES), 2, 0)
    there = group.corners >= 0
    forces[group.corners[there]] = room[there]
    if group.half:
        partner = corners.partner[group.corners[there]]
        pairs = partner != group.corners[there]
        forces[partner[pairs]] = MIRROR[:, None] * room[there][pairs]


def _apply(corners: Corners, columns: NDArray[np.intp], forces: Array, wrench: Wrench) -> None:
    way = np.searchsorted(corners.first, np.arange(len(corners.segment)), side="right") - 1
    there = columns.reshape(-1, PHASES)[way]  # (T, 11)
    torque = cross(corners.place, forces, axis=1)
    for values, added in ((wrench.force, forces), (wrench.torque, torque)):
        for axis in range(3):
            np.add.at(values[:, axis], (corners.segment[:, None], there), added[:, axis])


def _rest(body: Wrench, fixed: Wrench, columns: NDArray[np.intp], pose: Pose, mass: float) -> Array:
    """The largest unbalanced force or torque over body weight and stature, (P,)."""
    whole = Wrench(
        (body.force[..., columns] + fixed.force[..., columns] / mass) / GRAVITY,
        (body.torque[..., columns] + fixed.torque[..., columns] / mass) / GRAVITY,
    )
    result: Array = np.abs(_about(whole, pose.origin[0][:, columns])).max(axis=0)
    return result


def _reactions(
    load: WayLoad,
    corners: Corners,
    n: int,
    body: dict[str, Array],
    fixed: dict[str, Array],
) -> list[tuple[Contact, dict[str, Array], dict[str, Array]]]:
    own = slice(int(corners.first[n]), int(corners.first[n + 1]))
    found = []
    for p, contact in enumerate(load.setup.posture.contacts):
        mine = corners.contact[own] == p
        if mine.any():
            sums = (
                {name: force[own][mine].sum(axis=0) for name, force in forces.items()}
                for forces in (body, fixed)
            )
            per_kg, rest = sums
            found.append((contact, per_kg, rest))
    return found
