"""Corners of all contacts of several ways, and the directions in which each can push."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from rungbook.body.contacts import Contact
from rungbook.body.joints import SEGMENTS, part_of
from rungbook.body.kinematics import Pose
from rungbook.body.points import BodyPoint
from rungbook.body.reactions import Generators
from rungbook.body.segments import data
from rungbook.body.vectors import cross
from rungbook.load.posture import Setup
from rungbook.load.rests import corners_on_surface, drag
from rungbook.load.result import PHASES

if TYPE_CHECKING:
    from rungbook.load.way_load import WayLoad

Array = NDArray[np.float64]
TOUCHING_M = 0.005  # a soft corner this near its surface carries
CONE_EDGES = 8
LIGHTLY = 0.1  # ease of a dragged limb: it is slid, not leaned on


@dataclass
class Corners:
    """Corners of all contacts of several ways, padded to C; phases are the last axis (P)."""

    segment: NDArray[np.intp]  # (C, P)
    place: Array  # (C, 3, P)
    normal: Array  # (C, 3, P)
    along: Array  # (C, 3, P) direction of a push without friction: the normal, or with drag
    usable: NDArray[np.bool_]  # (C, P)
    grip: NDArray[np.bool_]  # (C, P)
    slides: NDArray[np.bool_]  # (C, P)
    friction: Array  # (C, P)
    ease: Array  # (C, P): a push of size one is this much force
    contact: NDArray[np.intp]  # (C, W): the contact a corner belongs to, -1 where padded
    partner: NDArray[np.intp]  # (C, W): the mirror image of a corner


def corners_of(
    loads: Sequence[WayLoad], numbers: Sequence[int], pose: Pose, stature: float
) -> Corners:
    kept = [[c for c in load.setup.posture.contacts if c.carries] for load in loads]
    most = max((sum(len(c.corners) for c in contacts) for contacts in kept), default=1)
    ways, total = len(loads), len(loads) * PHASES
    corners = Corners(
        np.zeros((most, total), dtype=np.intp), np.zeros((most, 3, total)),
        np.zeros((most, 3, total)), np.zeros((most, 3, total)),
        np.zeros((most, total), dtype=bool), np.zeros((most, total), dtype=bool),
        np.zeros((most, total), dtype=bool), np.zeros((most, total)), np.ones((most, total)),
        np.full((most, ways), -1, dtype=np.intp), np.zeros((most, ways), dtype=np.intp),
    )  # fmt: skip
    for n, (load, number) in enumerate(zip(loads, numbers, strict=True)):
        start = 0
        for p, contact in enumerate(load.setup.posture.contacts):
            if contact.carries:
                rows = slice(start, start + len(contact.corners))
                there = slice(number * PHASES, (number + 1) * PHASES)
                place = corners_on_surface(contact, pose, there)
                above = np.einsum("qip,i->qp", place, contact.normal) - load.settled.offsets[p]
                near = (above * stature < TOUCHING_M) | ~contact.body_point.patch.soft[:, None]
                _fill(corners, rows, n, load.setup, contact, place, near)
                corners.contact[rows, n] = p
                start = rows.stop
        corners.partner[:, n] = _partners(tuple(c.body_point for c in kept[n]), most)
    return corners


def _fill(
    corners: Corners,
    rows: slice,
    n: int,
    setup: Setup,
    contact: Contact,
    place: Array,
    near: NDArray[np.bool_],
) -> None:
    """Rows of one contact of way number n; place (Q, 3, 11), near its surface (Q, 11)."""
    here, normal = slice(n * PHASES, (n + 1) * PHASES), np.array(contact.normal)[:, None]
    patch = contact.body_point.patch
    corners.segment[rows, here] = patch.segment[:, None]
    corners.place[rows, :, here] = place
    corners.normal[rows, :, here] = normal
    corners.along[rows, :, here] = normal + drag(setup, contact, place, normal)
    corners.usable[rows, here] = np.array(contact.active) & near
    corners.grip[rows, here] = contact.grip
    corners.slides[rows, here] = contact.slides
    rough = float(data("giving.yml")["friction"])
    corners.friction[rows, here] = rough if contact.friction is None else contact.friction
    lightly = LIGHTLY if contact.slides and contact.friction else 1.0
    corners.ease[rows, here] = np.minimum(patch.ease, lightly)[:, None]


@cache
def _partners(points: tuple[BodyPoint, ...], most: int) -> NDArray[np.intp]:
    """The corner on the other side that is each corner's mirror image (itself if there is none)."""
    items = [corner for point in points for corner in point.corners]
    partner = np.arange(most)
    keys = {(corner.segment, corner.local): c for c, corner in enumerate(items)}
    for c, corner in enumerate(items):
        part, side = part_of(SEGMENTS[corner.segment])
        other = {"right": "left", "left": "right"}.get(side)
        segment = SEGMENTS.index(f"{part}_{other}") if other else corner.segment
        x, y, z = corner.local
        for local in ((x, -y, z), (x, 0.0 - y, z)):
            if (segment, local) in keys:
                partner[c] = keys[(segment, local)]
    return partner


def frictionless(corners: Corners) -> Generators:
    """Every corner along its normal, or with drag; a grip along two tangents as well."""
    usable = (corners.usable * corners.ease)[:, None]
    directions = [corners.along * usable]
    if corners.grip.any():
        gripped = corners.grip[:, None] * usable
        directions += [tangent * gripped for tangent in _tangents(corners.normal)]
    blocks = len(directions)
    return Generators(
        np.concatenate(directions),
        np.concatenate([corners.place] * blocks),
        np.concatenate([corners.grip & corners.usable] * blocks),
    )


def with_friction(corners: Corners, bad: NDArray[np.intp]) -> tuple[Generators, NDArray[np.intp]]:
    normal, place = corners.normal[:, :, bad], corners.place[:, :, bad]
    usable, grip = corners.usable[:, bad], corners.grip[:, bad]
    ease = corners.ease[:, bad]
    sticks = ((usable & ~corners.slides[:, bad] & ~grip) * ease)[:, None]
    one, two = _tangents(normal)
    gripped = ((grip & usable) * ease)[:, None]
    directions = [
        corners.along[:, :, bad] * (usable * ease)[:, None],
        one * gripped,
        two * gripped,
    ]
    free = [grip & usable] * 3
    for edge in range(CONE_EDGES):
        angle = 2 * np.pi * edge / CONE_EDGES
        slope = corners.friction[:, bad][:, None] * (np.cos(angle) * one + np.sin(angle) * two)
        directions.append((normal + slope) * sticks)
        free.append(np.zeros_like(grip))
    repeat = len(directions)
    owner = np.concatenate([np.arange(normal.shape[0])] * repeat)
    generators = Generators(
        np.concatenate(directions), np.concatenate([place] * repeat), np.concatenate(free)
    )
    return generators, owner


def _tangents(normal: Array) -> tuple[Array, Array]:
    """Two unit vectors in each plane, (C, 3, P) each; zero where padded."""
    side = np.where(
        np.abs(normal[:, 1:2]) > 0.9, np.array([1.0, 0, 0])[:, None], np.array([0, 1.0, 0])[:, None]
    )
    first = cross(side, normal, axis=1)
    first = first / np.maximum(np.linalg.norm(first, axis=1, keepdims=True), 1e-12)
    return first, cross(normal, first, axis=1)
