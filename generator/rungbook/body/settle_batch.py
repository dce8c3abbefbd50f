"""Postures of one class as arrays: all with the same number of contact corners."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from rungbook.body.contacts import FEET, PHASES, Contact
from rungbook.body.kinematics import Pose, forward
from rungbook.body.settle_classes import Columns

if TYPE_CHECKING:
    from rungbook.body.settle import Posture

Array = NDArray[np.float64]
HARD = 1e6  # cost of a stature squared off a surface, against radians squared times stiffness
TOUCH = 3e4  # of a touch off its surface: what carries stays down before a hand reaches
SOFT = 1e-2
NEVER = (False,) * PHASES
_FOR_BOTH = {"right": 2.0, "left": 0.0, "mid": 1.0}  # the right side stands for both
MIDDLE = [0, 1, 4, 5]  # corners of a sole: those of the heel and of the toe tips


@dataclass(frozen=True)
class Anchors:
    """Planes and places from the start, of N postures of C corners each.

    `normals`, `offsets`, `corners`: per posture, per contact. `normal` (C, N, 3), `offset`
    (C, N), `place` (C, N, 3) inside the body and `stays` (C, N): the same per corner.
    """

    normals: list[Array]
    offsets: list[Array]
    corners: list[list[Array]]
    normal: Array
    offset: Array
    place: Array
    stays: NDArray[np.bool_]

    def part(self, numbers: Sequence[int]) -> Anchors:
        """Those of some postures."""
        n = list(numbers)
        return Anchors(
            [self.normals[i] for i in n], [self.offsets[i] for i in n],
            [self.corners[i] for i in n], self.normal[:, n], self.offset[:, n],
            self.place[:, n], self.stays[:, n],
        )  # fmt: skip

    def repeated(self, times: int) -> Anchors:
        """The same, once for each of several phases; what is told per contact is not repeated."""
        return replace(
            self,
            normal=np.tile(self.normal, (1, times, 1)),
            offset=np.tile(self.offset, (1, times)),
            place=np.tile(self.place, (1, times, 1)),
            stays=np.tile(self.stays, (1, times)),
        )


@dataclass(frozen=True)
class Batch:
    """N postures of one class, of C corners each. Arrays end in N where not said otherwise.

    Nothing is padded, so that a posture settles to the same digits in any company.
    """

    columns: Columns
    postures: list[Posture]
    mass: Array  # (segments,) shares of body weight
    centre: Array  # (segments, 3) of stature
    base: Array  # (3, 3, N)
    default: Array  # (dofs, 11, N)
    gives: Array  # (dofs, 11, N) 1 where the angle may give way
    stiffness: Array  # (dofs, 11, N)
    segment: NDArray[np.intp]  # (C, N)
    local: Array  # (C, N, 3)
    depth: Array  # (C, N)
    weight: Array  # (C, 11, N) cost of leaving the surface
    hard: NDArray[np.bool_]  # (C, 11, N) has to lie on its surface
    slides: NDArray[np.bool_]  # (C, N)
    middle: Array  # (C, 11, N) weights whose sum is the middle of the feet
    shared: Array  # (C, 11, N) share of body weight on each corner of a fixed-share contact
    known: NDArray[np.bool_]  # (C, N) the plane is written
    normal: Array  # (C, N, 3)
    offset: Array  # (C, N)
    burden_segment: NDArray[np.intp]  # (B, N)
    burden_local: Array  # (B, N, 3)
    burden: Array  # (B, 11, N) over body weight
    owner: list[list[tuple[int, slice]]]  # per posture: each contact, and its corners

    @staticmethod
    def build(columns: Columns, postures: list[Posture], mass: Array, centre: Array) -> Batch:
        """Stacks; in a mirror-image class the left side's contacts come last."""
        owner = [_owners(posture) for posture in postures]
        corners, count = sum(len(c.corners) for c in postures[0].contacts), len(postures)
        segment = np.zeros((corners, count), dtype=np.intp)
        local, depth = np.zeros((corners, count, 3)), np.zeros((corners, count))
        weight = np.zeros((corners, PHASES, count))
        middle, shared = np.zeros_like(weight), np.zeros_like(weight)
        hard = np.zeros(weight.shape, dtype=bool)
        slides = np.zeros((corners, count), dtype=bool)
        known = np.zeros((corners, count), dtype=bool)
        normal, offset = np.zeros((corners, count, 3)), np.zeros((corners, count))
        normal[..., 2] = 1.0
        burdens = [posture.burdens for posture in postures]
        hangs = np.array([[one.segment for one in some] for some in burdens], dtype=np.intp)
        hangs_at = np.array([[one.local for one in some] for some in burdens]).reshape(count, -1, 3)
        burden = np.array([[one.over_body_weight for one in some] for some in burdens])
        burden = burden.reshape(count, -1, PHASES).transpose(1, 2, 0)
        if columns.symmetric:
            twice = [[_FOR_BOTH[one.side] for one in some] for some in burdens]
            burden = burden * np.array(twice).reshape(count, -1).T[:, None]
        for n, posture in enumerate(postures):
            _mark_middle(middle[:, :, n], posture, owner[n])
            for p, c in owner[n]:
                contact = posture.contacts[p]
                patch, active = contact.body_point.patch, np.array(contact.active)
                segment[c, n], local[c, n], depth[c, n] = patch.segment, patch.local, patch.depth
                cost = np.where(patch.soft, SOFT, TOUCH if contact.touch else HARD)
                weight[c, :, n] = cost[:, None] * active
                hard[c, :, n] = ~patch.soft[:, None] & active
                slides[c, n] = contact.slides
                known[c, n] = contact.offset is not None
                normal[c, n], offset[c, n] = contact.normal, contact.offset or 0.0
                if contact.share is not None:
                    shared[c, :, n] = contact.share * active / len(patch.depth)
                if columns.symmetric:
                    factor = _FOR_BOTH[contact.side]
                    weight[c, :, n] *= contact.side != "left"
                    shared[c, :, n] *= factor
                    middle[c, :, n] *= factor
        stacked = [np.stack([getattr(p, name) for p in postures], axis=-1) for name in
                   ("base", "angles", "exact", "stiffness")]  # fmt: skip
        may = np.stack([posture.gives for posture in postures], axis=-1)
        return Batch(
            columns, postures, mass, centre, stacked[0], stacked[1],
            (~stacked[2] & may).astype(float), stacked[3], segment, local, depth, weight, hard,
            slides, middle, shared, known, normal, offset, hangs.reshape(count, -1).T,
            hangs_at.transpose(1, 0, 2), burden, owner,
        )  # fmt: skip

    def part(self, numbers: Sequence[int]) -> Batch:
        """Some of the postures (the last axis, or the axis of N)."""
        n = list(numbers)
        return replace(
            self,
            postures=[self.postures[i] for i in n],
            owner=[self.owner[i] for i in n],
            base=self.base[..., n], default=self.default[..., n], gives=self.gives[..., n],
            stiffness=self.stiffness[..., n], segment=self.segment[:, n],
            local=self.local[:, n], depth=self.depth[:, n], weight=self.weight[..., n],
            hard=self.hard[..., n],
            slides=self.slides[:, n], middle=self.middle[..., n], shared=self.shared[..., n],
            known=self.known[:, n], normal=self.normal[:, n], offset=self.offset[:, n],
            burden_segment=self.burden_segment[:, n], burden_local=self.burden_local[:, n],
            burden=self.burden[..., n],
        )  # fmt: skip

    def repeated(self, times: int) -> Batch:
        """Every posture once for each of several phases."""
        return self.part(list(range(len(self.postures))) * times)

    def places(self, pose: Pose) -> Array:
        """Where the corners are, inside the body, (C, N, 3)."""
        return places(pose, self.segment.T, self.local.transpose(1, 0, 2)).transpose(1, 0, 2)

    @property
    def solved(self) -> int:
        """How many corners there are without those that only mirror others."""
        return len(self.segment) - mirrored_corners(self.columns, self.postures[0])

    def distances(self, answer: Array, anchors: Anchors) -> list[Array]:
        """Per posture (contacts, 11): how far hard corners lie off their surface or place."""
        pose = forward(answer.reshape(len(answer), -1), np.tile(self.base, (1, 1, PHASES)))
        segment, local = self.segment.T, self.local.transpose(1, 0, 2)
        where = places(pose, np.tile(segment, (PHASES, 1)), np.tile(local, (PHASES, 1, 1)))
        where = where.reshape(PHASES, *local.shape)  # (11, N, C, 3)
        normal = anchors.normal.transpose(1, 0, 2)
        off = np.abs(np.einsum("ncj,pncj->pnc", normal, where) - (anchors.offset + self.depth).T)
        moved = where - anchors.place.transpose(1, 0, 2)
        moved -= np.einsum("ncj,pncj->pnc", normal, moved)[..., None] * normal
        stray = np.linalg.norm(moved, axis=-1) * (anchors.stays & ~self.slides).T
        worst = np.maximum(off, stray) * self.hard.transpose(1, 2, 0)
        result = [np.zeros((len(posture.contacts), PHASES)) for posture in self.postures]
        for n, owners in enumerate(self.owner):
            for p, c in owners:
                result[n][p] = worst[:, n, c].max(axis=1)
        return result


def mirrored_corners(columns: Columns, posture: Posture) -> int:
    """How many corners only mirror others: those of the left side in a mirror-image class."""
    if not columns.symmetric:
        return 0
    return sum(len(c.corners) for c in posture.contacts if c.side == "left")


def places(pose: Pose, segment: NDArray[np.intp], local: Array) -> Array:
    """Points (N, C, 3) of segments (N, C), one row for each of the N postures of `pose`."""
    n = np.arange(len(segment))[:, None]
    result: Array = pose.origin[segment, :, n]
    turn = pose.turn[segment, :, :, n]
    for j in range(3):
        result += turn[..., j] * local[..., j, None]
    return result


def _owners(posture: Posture) -> list[tuple[int, slice]]:
    found, start = [], 0
    for p in sorted(range(len(posture.contacts)), key=lambda p: posture.contacts[p].side == "left"):
        stop = start + len(posture.contacts[p].corners)
        found.append((p, slice(start, stop)))
        start = stop
    return found


def _mark_middle(middle: Array, posture: Posture, owners: list[tuple[int, slice]]) -> None:
    """Weights of corners (C, 11) whose sum is the middle between the heels and the toe tips."""
    if not posture.balanced or not posture.contacts:
        return
    carrying = np.array([c.active if c.carries else NEVER for c in posture.contacts])
    soles = np.array([_is_sole(contact) for contact in posture.contacts])
    on_soles = ~carrying[~soles].any(axis=0)
    share = 0.25 * carrying * on_soles / np.maximum(carrying.sum(axis=0), 1)
    for p, c in owners:
        if soles[p]:
            middle[c][MIDDLE] = share[p]


def _is_sole(contact: Contact) -> bool:
    return contact.point in FEET and contact.level and not contact.grip


def anchored(batch: Batch, angles: Array) -> Anchors:
    """Fixes planes and places where the start posture (dofs, N) has put them."""
    pose = forward(angles, batch.base)
    inside = batch.places(pose)
    normal, offset = batch.normal.copy(), batch.offset.copy()
    stays = np.zeros(offset.shape, dtype=bool)
    normals, offsets, corners = [], [], []
    for n, posture in enumerate(batch.postures):
        planes = [
            _plane(batch, n, p, contact, inside) for p, contact in enumerate(posture.contacts)
        ]
        normals.append(np.array([contact.normal for contact in posture.contacts]).reshape(-1, 3))
        offsets.append(np.array(planes))
        for p, c in batch.owner[n]:
            offset[c, n] = planes[p]
            stays[c, n] = posture.contacts[p].active[0]
        corners.append(_on_surface(batch, n, inside, normals[n]))
    return Anchors(normals, offsets, corners, normal, offset, inside, stays)


def _plane(batch: Batch, n: int, p: int, contact: Contact, inside: Array) -> float:
    if contact.offset is not None:
        return contact.offset
    normal = np.array(contact.normal)
    if contact.distance is not None:
        feet = [inside[c, n] for q, c in batch.owner[n]
                if batch.postures[n].contacts[q].point in ("foot", "forefoot")]  # fmt: skip
        if feet:
            return float(np.min(np.concatenate(feet) @ normal)) - contact.distance
    mine = next(c for q, c in batch.owner[n] if q == p)
    above = inside[mine, n] @ normal - batch.depth[mine, n]
    return float(np.mean(above[~contact.body_point.patch.soft]))


def _on_surface(batch: Batch, n: int, inside: Array, normals: Array) -> list[Array]:
    places = {p: inside[c, n] - batch.depth[c, n, None] * normals[p] for p, c in batch.owner[n]}
    return [places[p] for p in range(len(places))]
