"""Corners of all contacts of several ways, and the directions in which each can push."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from rungbook.body.joints import SEGMENTS, part_of
from rungbook.body.kinematics import Pose
from rungbook.body.points import Corner
from rungbook.body.reactions import Generators
from rungbook.body.segments import data
from rungbook.load.rests import drag
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
    lists = [
        [(p, corner) for p, contact in enumerate(load.setup.posture.contacts) if contact.carries
         for corner in contact.corners]
        for load in loads
    ]  # fmt: skip
    most, ways = max((len(items) for items in lists), default=1), len(loads)
    total = ways * PHASES
    corners = Corners(
        np.zeros((most, total), dtype=np.intp), np.zeros((most, 3, total)),
        np.zeros((most, 3, total)), np.zeros((most, 3, total)),
        np.zeros((most, total), dtype=bool), np.zeros((most, total), dtype=bool),
        np.zeros((most, total), dtype=bool), np.zeros((most, total)), np.ones((most, total)),
        np.full((most, ways), -1, dtype=np.intp), np.zeros((most, ways), dtype=np.intp),
    )  # fmt: skip
    rough = float(data("giving.yml")["friction"])
    for n, (load, number, items) in enumerate(zip(loads, numbers, lists, strict=True)):
        here, there = (
            slice(n * PHASES, (n + 1) * PHASES),
            slice(number * PHASES, (number + 1) * PHASES),
        )
        for c, (p, corner) in enumerate(items):
            contact = load.setup.posture.contacts[p]
            normal = np.array(contact.normal)[:, None] * np.ones(PHASES)
            turned = np.einsum(
                "ijb,j->ib", pose.turn[corner.segment][..., there], np.array(corner.local)
            )
            place = pose.origin[corner.segment][:, there] + turned - corner.depth * normal
            above = np.sum(place * normal, axis=0) - load.settled.offsets[p]
            near = (above * stature < TOUCHING_M) | (not corner.soft)
            corners.segment[c, here] = corner.segment
            corners.place[c, :, here] = place
            corners.normal[c, :, here] = normal
            corners.along[c, :, here] = normal + drag(load.setup, contact, place, normal)
            corners.usable[c, here] = np.array(contact.active) & near
            corners.grip[c, here] = contact.grip
            corners.slides[c, here] = contact.slides
            corners.friction[c, here] = rough if contact.friction is None else contact.friction
            corners.ease[c, here] = min(
                corner.ease, LIGHTLY if contact.slides and contact.friction else 1.0
            )
            corners.contact[c, n] = p
        corners.partner[:, n] = _partners([corner for _, corner in items], most)
    return corners


def _partners(items: Sequence[Corner], most: int) -> NDArray[np.intp]:
    """The corner on the other side that is each corner's mirror image (itself if there is none)."""
    partner = np.arange(most)
    keys = {}
    for c, corner in enumerate(items):
        keys[(corner.segment, corner.local)] = c
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
    usable = (corners.usable * corners.ease)[:, None]
    one, two = _tangents(corners.normal)
    gripped = corners.grip[:, None] * usable
    direction = np.concatenate([corners.along * usable, one * gripped, two * gripped])
    place = np.concatenate([corners.place] * 3)
    two_way = np.concatenate([corners.grip & corners.usable] * 3)
    return Generators(direction, place, two_way)


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
    first = np.cross(side, normal, axis=1)
    first = first / np.maximum(np.linalg.norm(first, axis=1, keepdims=True), 1e-12)
    return first, np.cross(normal, first, axis=1)
