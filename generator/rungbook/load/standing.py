"""Whole bodies on their contacts: forces at the corners, per kg and per outer load."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from rungbook.body.contacts import Contact
from rungbook.body.kinematics import Pose
from rungbook.body.reactions import Balance, Generators, balance, exact_share
from rungbook.body.statics import GRAVITY, Wrench
from rungbook.load.corners import Corners, corners_of, frictionless, with_friction
from rungbook.load.rests import patch_centre
from rungbook.load.result import PHASES

if TYPE_CHECKING:
    from rungbook.load.way_load import Person, WayLoad

Array = NDArray[np.float64]
UNBALANCED = 1e-6


@dataclass
class Standing:
    """The answer for one way: contact forces, and generator sizes for other persons."""

    reactions: list[tuple[Contact, dict[str, Array], Array]]
    pushes: dict[str, Array]
    fixed_pushes: Array
    unbalanced: NDArray[np.bool_]


def stand(
    loads: Sequence[WayLoad],
    numbers: Sequence[int],
    pose: Pose,
    body: dict[str, Wrench],
    fixed: Wrench,
    inertia: dict[str, Wrench],
    reference: Person,
) -> list[Standing]:
    """Solves the contact forces of ways whose whole body stands on them, and applies them."""
    columns = np.concatenate([np.arange(n * PHASES, (n + 1) * PHASES) for n in numbers])
    shared = [_fixed_shares(load, n, pose, body) for load, n in zip(loads, numbers, strict=True)]
    corners = corners_of(loads, numbers, pose, reference.stature)
    first = next(iter(body))
    weight = {name: _total(wrench, columns) for name, wrench in body.items()}
    outer = _total(fixed, columns)
    generators, owner, solved = _solve(corners, reference.mass * weight[first] + outer)
    loading = [*weight.values(), outer]
    sizes = exact_share(
        generators.matrix, solved.carry.T, -np.stack(loading, axis=-1).transpose(1, 0, 2)
    )
    forces = _per_corner(generators, owner, sizes, corners)  # (C, 3, P, loads)
    _symmetrise(loads, corners, forces)
    moving = _inertial_forces(corners, forces, reference.mass, inertia, columns)
    _apply(corners, columns, forces, moving, body, fixed, inertia)
    names = list(body)
    return [
        _answer(load, n, shared[n], corners, forces, sizes, solved, generators.two_way, names)
        for n, load in enumerate(loads)
    ]


def _total(wrench: Wrench, columns: NDArray[np.intp]) -> Array:
    return np.concatenate([wrench.force[:, :, columns].sum(0), wrench.torque[:, :, columns].sum(0)])


def _fixed_shares(
    load: WayLoad, number: int, pose: Pose, body: dict[str, Wrench]
) -> list[tuple[Contact, Array]]:
    """Contacts whose share of body weight is written push with it, at the middle of the patch."""
    columns = slice(number * PHASES, (number + 1) * PHASES)
    found = []
    for contact in load.setup.posture.contacts:
        if contact.share is None or contact.touch:
            continue
        normal = np.array(contact.normal)[:, None]
        force = contact.share * GRAVITY * normal * np.array(contact.active, dtype=float)
        place = patch_centre(contact, pose, columns)
        for wrench in body.values():
            wrench.add_at(contact.body_point.segment, columns, place, force)
        found.append((contact, force))
    return found


def _solve(corners: Corners, load: Array) -> tuple[Generators, NDArray[np.intp], Balance]:
    """Normals alone; where these cannot balance, a hand holds on or a limb drags, friction too."""
    count = corners.place.shape[0]
    plain = frictionless(corners)
    first = balance(plain, load)
    dragged = corners.slides & (corners.friction > 0)
    # Who holds on leans on friction too; what is dragged can carry only if something else sticks.
    leaning = ((corners.grip | dragged) & corners.usable).any(axis=0)
    bad = np.flatnonzero((first.rest > UNBALANCED) | leaning)
    owner = np.tile(np.arange(count), len(plain.direction) // max(count, 1))
    if not len(bad):
        return plain, owner, first
    cone, cone_owner = with_friction(corners, bad)
    second = balance(cone, load[:, bad], iterations=120)
    return _merged(plain, owner, first, cone, cone_owner, second, bad)


def _merged(
    plain: Generators,
    owner: NDArray[np.intp],
    first: Balance,
    cone: Generators,
    cone_owner: NDArray[np.intp],
    second: Balance,
    bad: NDArray[np.intp],
) -> tuple[Generators, NDArray[np.intp], Balance]:
    """Both answers on the longer list of generators."""
    extra = len(cone_owner) - len(owner)

    def padded(array: Array | NDArray[np.bool_], from_cone: Array | NDArray[np.bool_]) -> Array:
        wide = np.concatenate([array, np.zeros((extra, *array.shape[1:]), dtype=array.dtype)])
        wide[..., bad] = from_cone
        return wide

    generators = Generators(
        padded(plain.direction, cone.direction),
        padded(plain.place, cone.place),
        padded(plain.two_way, cone.two_way).astype(bool),
    )
    rest = first.rest.copy()
    rest[bad] = second.rest
    solved = Balance(
        padded(first.size, second.size), padded(first.carry, second.carry).astype(bool), rest
    )
    return generators, cone_owner, solved


def _per_corner(
    generators: Generators, owner: NDArray[np.intp], sizes: Array, corners: Corners
) -> Array:
    """Forces (C, 3, P, loads) from generator sizes (P, G, loads)."""
    count = corners.place.shape[0]
    forces = np.zeros((*corners.place.shape, sizes.shape[-1]))
    for g in range(len(owner)):
        forces[owner[g]] += generators.direction[g][:, :, None] * sizes[None, :, g]
    assert forces.shape[0] == count
    return forces


def _symmetrise(loads: Sequence[WayLoad], corners: Corners, forces: Array) -> None:
    """Mirror-image postures get mirror-image forces to the last digit."""
    mirror = np.array([1.0, -1.0, 1.0])[None, :, None, None]
    for n, load in enumerate(loads):
        if load.setup.posture.symmetric:
            here = slice(n * PHASES, (n + 1) * PHASES)
            mine = forces[:, :, here]
            forces[:, :, here] = 0.5 * (mine + mirror * mine[corners.partner[:, n]])


def _inertial_forces(
    corners: Corners,
    forces: Array,
    mass: float,
    inertia: dict[str, Wrench],
    columns: NDArray[np.intp],
) -> Array:
    """How the carrying corners answer to inertia, in any direction: (C, 3, P, tables)."""
    count, _, phases = corners.place.shape
    total = mass * forces[..., 0] + forces[..., -1]
    carrying = np.linalg.norm(total, axis=1) > 1e-6
    direction = np.zeros((3 * count, 3, phases))
    for axis in range(3):
        direction[axis * count : (axis + 1) * count, axis] = carrying * corners.ease
    place = np.concatenate([corners.place] * 3)
    matrix = Generators(direction, place, np.ones((3 * count, phases), dtype=bool)).matrix
    wanted = -np.stack([_total(wrench, columns).T for wrench in inertia.values()], axis=-1)
    sizes = exact_share(matrix, np.concatenate([carrying] * 3).T, wanted)
    result: Array = sizes.reshape(phases, 3, count, -1).transpose(2, 1, 0, 3)
    return result * corners.ease[:, None, :, None]


def _apply(
    corners: Corners,
    columns: NDArray[np.intp],
    forces: Array,
    moving: Array,
    body: dict[str, Wrench],
    fixed: Wrench,
    inertia: dict[str, Wrench],
) -> None:
    targets = [*body.values(), fixed]
    for c in range(corners.place.shape[0]):
        for load, wrench in enumerate(targets):
            wrench.add(corners.segment[c], columns, corners.place[c], forces[c, :, :, load])
        for load, wrench in enumerate(inertia.values()):
            wrench.add(corners.segment[c], columns, corners.place[c], moving[c, :, :, load])


def _answer(
    load: WayLoad,
    n: int,
    shared: list[tuple[Contact, Array]],
    corners: Corners,
    forces: Array,
    sizes: Array,
    solved: Balance,
    two_way: NDArray[np.bool_],
    names: list[str],
) -> Standing:
    here = slice(n * PHASES, (n + 1) * PHASES)
    reactions = [
        (contact, {name: force for name in names}, np.zeros((3, PHASES)))
        for contact, force in shared
    ]
    for p, contact in enumerate(load.setup.posture.contacts):
        mine = np.flatnonzero(corners.contact[:, n] == p)
        if len(mine):
            summed = forces[mine][:, :, here].sum(axis=0)
            per_table = {name: summed[..., t] for t, name in enumerate(names)}
            reactions.append((contact, per_table, summed[..., -1]))
    one_way = ~two_way[:, here].any(axis=1)  # a grip may pull, so it never withholds
    pushing = solved.carry[:, here].any(axis=1) & one_way
    mine_sizes = sizes[here][:, pushing].transpose(2, 1, 0)  # (loads, G, 11)
    return Standing(
        reactions,
        {name: mine_sizes[t] for t, name in enumerate(names)},
        mine_sizes[-1],
        solved.rest[here] > UNBALANCED,
    )
