"""Corners of all contacts of several ways, and what force each can give."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from rungbook.body.contacts import Contact
from rungbook.body.joints import MIRROR_SEGMENT
from rungbook.body.kinematics import Pose
from rungbook.body.points import BodyPoint
from rungbook.body.segments import data
from rungbook.body.vectors import cross
from rungbook.load.rests import drag
from rungbook.load.result import PHASES

if TYPE_CHECKING:
    from rungbook.load.way_load import WayLoad

Array = NDArray[np.float64]
Bools = NDArray[np.bool_]
Ints = NDArray[np.intp]
TOUCHING_M = 0.005  # a soft corner carries less and less up to this distance from its surface
LIGHTLY = 0.1  # ease of a dragged limb: it is slid, not leaned on
SOLES = frozenset({"foot", "forefoot", "heel", "foot-edge"})


@dataclass(frozen=True)
class Corners:
    """T corners of several ways, one way's after the other's.

    `place` (T, 3, 11) of stature; `frame` (T, 3, 3, 11): room vectors of a unit along the normal
    and two tangents, shorter where a corner carries lightly, zero where it does not. `first`
    (ways + 1,): where each way's corners begin; `way`: the way of each. `contact`: number of the
    contact in its way; `share` (T,) of body weight that its contact carries, NaN where unwritten;
    `partner`: the mirror image, or the corner itself.
    """

    segment: Ints
    place: Array
    frame: Array
    friction: Array
    free: Bools
    contact: Ints
    share: Array
    partner: Ints
    way: Ints
    first: Ints

    def of(self, way: int) -> range:
        """The corners of one way."""
        return range(int(self.first[way]), int(self.first[way + 1]))


def leans(contact: Contact) -> bool:
    """Whether a written share fixes what a contact carries, and not how: a foot that stands.

    A hand that steadies pushes straight, and what is dragged carries only what is written.
    """
    standing = contact.body_point.limb == "leg" and not contact.slides
    return contact.share is not None and not contact.touch and standing


def corners_of(loads: Sequence[WayLoad], numbers: Sequence[int], pose: Pose) -> Corners:
    """The corners of all contacts whose force is found by equilibrium.

    Args:
        numbers: where each way's phases lie in the pose.
    """
    kept = [
        (n, p, contact)
        for n, load in enumerate(loads)
        for p, contact in enumerate(load.setup.posture.contacts)
        if contact.carries or leans(contact)
    ]
    patches = [contact.body_point.patch for _, _, contact in kept]
    counts = np.array([len(patch.segment) for patch in patches], dtype=np.intp)

    def each(values: Sequence[object]) -> NDArray[np.generic]:
        """One value a contact, for each of its corners."""
        return np.repeat(np.array(values), counts, axis=0)

    segment = np.concatenate([patch.segment for patch in patches])
    local = np.concatenate([patch.local for patch in patches])
    depth = np.concatenate([patch.depth for patch in patches])
    soft = np.concatenate([patch.soft for patch in patches])
    normal = each([contact.normal for _, _, contact in kept]).astype(float)
    columns = each([numbers[n] for n, _, _ in kept]).astype(np.intp)[:, None] * PHASES
    columns = columns + np.arange(PHASES)
    place = _places(pose, segment, local, columns) - (depth[:, None] * normal)[..., None]
    offset = each([loads[n].settled.offsets[p] for n, p, _ in kept]).astype(float)
    gap = np.einsum("tip,ti->tp", place, normal) - offset[:, None]
    gap *= each([loads[n].stature for n, _, _ in kept]).astype(float)[:, None]
    nearness = np.where(soft[:, None], np.clip(1.0 - gap / TOUCHING_M, 0.0, 1.0), 1.0)
    ease = nearness * each([c.active for _, _, c in kept])
    slides = each([c.slides for _, _, c in kept]).astype(bool)
    frame = np.stack([normal, *_tangents(normal)], axis=1)[..., None].repeat(PHASES, axis=-1)
    _drag(loads, kept, counts, place, frame)
    lightly = each([LIGHTLY if c.slides and c.friction else 1.0 for _, _, c in kept]).astype(float)
    lightly = np.minimum(lightly, np.concatenate([patch.ease for patch in patches]))
    frame *= (ease * lightly[:, None])[:, None, None]
    friction = each([_friction(contact) for _, _, contact in kept]).astype(float)
    way = each([n for n, _, _ in kept]).astype(np.intp)
    first = np.searchsorted(way, np.arange(len(loads) + 1))
    return Corners(
        segment, place, frame, np.where(slides, 0.0, friction),
        each([c.grip for _, _, c in kept]).astype(bool),
        each([p for _, p, _ in kept]).astype(np.intp),
        each([np.nan if c.share is None else c.share for _, _, c in kept]).astype(float),
        _all_partners(kept, first), way, first,
    )  # fmt: skip


def _places(pose: Pose, segment: Ints, local: Array, columns: Ints) -> Array:
    """Points of segments at some postures each, (T, 3, 11)."""
    place = pose.origin[segment[:, None], :, columns]
    turn = pose.turn[segment[:, None], :, :, columns]
    for j in range(3):
        place = place + turn[..., j] * local[:, None, j, None]
    return np.ascontiguousarray(place.swapaxes(1, 2))


def _friction(contact: Contact) -> float:
    if contact.friction is not None:
        return contact.friction
    return float(
        data("contact-forces.yml")["friction"]["sole" if contact.point in SOLES else "skin"]
    )


def _tangents(normal: Array) -> tuple[Array, Array]:
    """Two unit vectors in each plane, (T, 3) each: a mirror image has mirror-image ones."""
    sideways = np.abs(normal[:, 1:2]) > 0.9
    side = np.where(sideways, np.array([[1.0, 0, 0]]), np.array([[0, 1.0, 0]]))
    first = cross(side, normal)
    first = first / np.linalg.norm(first, axis=1, keepdims=True)
    return first, cross(normal, first)


def _drag(
    loads: Sequence[WayLoad],
    kept: Sequence[tuple[int, int, Contact]],
    counts: Ints,
    place: Array,
    frame: Array,
) -> None:
    """What is dragged pushes along its normal and against its motion together."""
    ends = np.cumsum(counts)
    for (n, _, contact), end, count in zip(kept, ends, counts, strict=True):
        if contact.slides and contact.friction and not contact.grip:
            rows = slice(end - count, end)
            along = frame[rows, 0] + drag(
                loads[n].setup, contact, place[rows], np.array(contact.normal)[:, None]
            )
            frame[rows, 0] = along / np.linalg.norm(along, axis=1, keepdims=True)


def _all_partners(kept: Sequence[tuple[int, int, Contact]], first: Ints) -> Ints:
    partner = np.empty(int(first[-1]), dtype=np.intp)
    for n in range(len(first) - 1):
        points = tuple(contact.body_point for way, _, contact in kept if way == n)
        partner[first[n] : first[n + 1]] = first[n] + _partners(points)
    return partner


@cache
def _partners(points: tuple[BodyPoint, ...]) -> Ints:
    """The corner on the other side that is each corner's mirror image (itself if there is none)."""
    keys: dict[tuple[int, tuple[float, ...], int], int] = {}
    items: list[tuple[int, tuple[float, float, float], int]] = []
    for corner in (corner for point in points for corner in point.corners):
        x, y, z = corner.local
        local = (x, y + 0.0, z)
        again = sum(1 for segment, place, _ in items if (segment, place) == (corner.segment, local))
        keys[corner.segment, local, again] = len(items)
        items.append((corner.segment, local, again))
    partner = np.arange(len(items))
    for c, (segment, (x, y, z), again) in enumerate(items):
        mirrored = (MIRROR_SEGMENT[segment], (x, 0.0 - y, z), again)
        partner[c] = keys.get(mirrored, c)
    return partner
