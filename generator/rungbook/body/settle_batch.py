"""Postures of one class as arrays, padded to the same number of contact corners."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from rungbook.body.contacts import FEET, Contact
from rungbook.body.kinematics import Pose, forward
from rungbook.body.settle_classes import Columns

if TYPE_CHECKING:
    from rungbook.body.settle import Posture

Array = NDArray[np.float64]
HARD = 1e6  # cost of a stature squared off a surface, against radians squared times stiffness
TOUCH = 3e4  # of a touch off its surface: what carries stays down before a hand reaches
SOFT = 1e-2


@dataclass(frozen=True)
class Anchors:
    """Planes and places from the start: (C, N) corners on N postures' surfaces.

    `normals`, `offsets`, `corners`: per posture, per contact; `normal` (C, N, 3), `offset`
    (C, N), `place` (C, N, 3) and `stays` (C, N): the same for the padded corners.
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
        """The same, once for each of several phases."""
        return replace(
            self,
            normal=np.tile(self.normal, (1, times, 1)),
            offset=np.tile(self.offset, (1, times)),
            place=np.tile(self.place, (1, times, 1)),
            stays=np.tile(self.stays, (1, times)),
        )


@dataclass(frozen=True)
class Batch:
    """N postures of one class, padded to C corners. Arrays end in N where not said otherwise."""

    columns: Columns
    postures: list[Posture]
    mass: Array
    centre: Array
    base: Array  # (3, 3, N)
    default: Array  # (dofs, 11, N)
    gives: Array  # (dofs, 11, N) 1 where the angle may give way
    stiffness: Array  # (dofs, 11, N)
    segment: NDArray[np.intp]  # (C, N)
    local: Array  # (C, N, 3)
    depth: Array  # (C, N)
    weight: Array  # (C, 11, N) cost of leaving the surface
    slides: NDArray[np.bool_]  # (C, N)
    middle: Array  # (C, 11, N) weights whose sum is the middle of the feet
    shared: Array  # (C, 11, N) share of body weight on each corner of a fixed-share contact
    known: NDArray[np.bool_]  # (C, N) the plane is written
    normal: Array  # (C, N, 3)
    offset: Array  # (C, N)
    owner: list[list[tuple[int, int]]]  # per posture: (contact, corner) of each padded corner

    @staticmethod
    def build(columns: Columns, postures: list[Posture], mass: Array, centre: Array) -> Batch:
        """Pads and stacks; in a mirror-image class the left side's contacts come last."""
        owner = [_owners(posture) for posture in postures]
        corners, count = max((len(o) for o in owner), default=0), len(postures)
        segment = np.zeros((corners, count), dtype=np.intp)
        local, depth = np.zeros((corners, count, 3)), np.zeros((corners, count))
        weight = np.zeros((corners, 11, count))
        middle, shared = np.zeros_like(weight), np.zeros_like(weight)
        slides = np.zeros((corners, count), dtype=bool)
        known = np.zeros((corners, count), dtype=bool)
        normal, offset = np.zeros((corners, count, 3)), np.zeros((corners, count))
        normal[..., 2] = 1.0
        for n, posture in enumerate(postures):
            for c, (p, q) in enumerate(owner[n]):
                contact = posture.contacts[p]
                corner = contact.corners[q]
                segment[c, n], local[c, n], depth[c, n] = corner.segment, corner.local, corner.depth
                active = np.array(contact.active, dtype=float)
                hard = SOFT if corner.soft else TOUCH if contact.touch else HARD
                mirrored = columns.symmetric and contact.side == "left"
                weight[c, :, n] = 0.0 if mirrored else hard * active
                slides[c, n] = contact.slides
                known[c, n] = contact.offset is not None
                normal[c, n], offset[c, n] = contact.normal, contact.offset or 0.0
                if contact.share is not None:
                    shared[c, :, n] = contact.share * active / len(contact.corners)
            _mark_middle(middle[:, :, n], posture, owner[n])
            if columns.symmetric:  # the right side stands for both
                for c, (p, _) in enumerate(owner[n]):
                    factor = {"right": 2.0, "left": 0.0, "mid": 1.0}[posture.contacts[p].side]
                    shared[c, :, n] *= factor
                    middle[c, :, n] *= factor
        stacked = [np.stack([getattr(p, name) for p in postures], axis=-1) for name in
                   ("base", "angles", "exact", "stiffness")]  # fmt: skip
        may = np.stack([posture.gives for posture in postures], axis=-1)
        return Batch(
            columns, postures, mass, centre, stacked[0], stacked[1],
            (~stacked[2] & may).astype(float), stacked[3], segment, local, depth, weight, slides,
            middle, shared, known, normal, offset, owner,
        )  # fmt: skip

    def part(self, numbers: Sequence[int]) -> Batch:
        """Some of the postures (the last axis, or the axis of N)."""
        n = list(numbers)
        return replace(
            self,
            postures=[self.postures[i % len(self.postures)] for i in n],
            owner=[self.owner[i % len(self.owner)] for i in n],
            base=self.base[..., n], default=self.default[..., n], gives=self.gives[..., n],
            stiffness=self.stiffness[..., n], segment=self.segment[:, n],
            local=self.local[:, n], depth=self.depth[:, n], weight=self.weight[..., n],
            slides=self.slides[:, n], middle=self.middle[..., n], shared=self.shared[..., n],
            known=self.known[:, n], normal=self.normal[:, n], offset=self.offset[:, n],
        )  # fmt: skip

    def repeated(self, times: int) -> Batch:
        """Every posture once for each of several phases."""
        return self.part(list(range(len(self.postures))) * times)

    def places(self, pose: Pose) -> Array:
        """Where the corners are, inside the body, (C, N, 3)."""
        n = np.arange(self.segment.shape[1])[None, :]
        turned = np.einsum("cnij,cnj->cni", pose.turn[self.segment, :, :, n], self.local)
        result: Array = pose.origin[self.segment, :, n] + turned
        return result

    def distances(self, answer: Array, anchors: Anchors) -> list[Array]:
        """Per posture (contacts, 11): how far hard corners lie off their surface or place."""
        result = [np.zeros((len(posture.contacts), 11)) for posture in self.postures]
        for phase in range(11):
            pose = forward(answer[:, phase], self.base)
            where = self.places(pose)
            off = np.abs(
                np.einsum("cnj,cnj->cn", anchors.normal, where) - anchors.offset - self.depth
            )
            moved = where - anchors.place
            moved -= np.einsum("cnj,cnj->cn", anchors.normal, moved)[..., None] * anchors.normal
            stray = np.linalg.norm(moved, axis=-1) * (anchors.stays & ~self.slides)
            for n, owners in enumerate(self.owner):
                for c, (p, q) in enumerate(owners):
                    contact = self.postures[n].contacts[p]
                    if contact.active[phase] and not contact.corners[q].soft:
                        worst = max(result[n][p, phase], float(off[c, n]), float(stray[c, n]))
                        result[n][p, phase] = worst
        return result


def _owners(posture: Posture) -> list[tuple[int, int]]:
    order = sorted(range(len(posture.contacts)), key=lambda p: posture.contacts[p].side == "left")
    return [(p, q) for p in order for q in range(len(posture.contacts[p].corners))]


def _mark_middle(middle: Array, posture: Posture, owners: list[tuple[int, int]]) -> None:
    """Weights of corners (C, 11) whose sum is the middle between the heels and the toe tips."""
    if not posture.balanced:
        return
    for phase in range(11):
        carrying = [p for p, contact in enumerate(posture.contacts) if _supports(contact, phase)]
        if not carrying or any(not _is_sole(posture.contacts[p]) for p in carrying):
            continue
        for c, (p, q) in enumerate(owners):
            if p in carrying and q in (0, 1, 4, 5):
                middle[c, phase] = 0.25 / len(carrying)


def _supports(contact: Contact, phase: int) -> bool:
    return contact.active[phase] and contact.carries


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
        for c, (p, _) in enumerate(batch.owner[n]):
            offset[c, n] = planes[p]
            stays[c, n] = posture.contacts[p].active[0]
        corners.append(_on_surface(batch, n, inside, normals[n]))
    return Anchors(normals, offsets, corners, normal, offset, inside, stays)


def _plane(batch: Batch, n: int, p: int, contact: Contact, inside: Array) -> float:
    if contact.offset is not None:
        return contact.offset
    normal = np.array(contact.normal)
    if contact.distance is not None:
        feet = [c for c, (q, _) in enumerate(batch.owner[n])
                if batch.postures[n].contacts[q].point in ("foot", "forefoot")]  # fmt: skip
        if feet:
            return float(np.min(inside[feet, n] @ normal)) - contact.distance
    mine = [c for c, (q, k) in enumerate(batch.owner[n]) if q == p and not contact.corners[k].soft]
    return float(np.mean(inside[mine, n] @ normal - batch.depth[mine, n]))


def _on_surface(batch: Batch, n: int, inside: Array, normals: Array) -> list[Array]:
    contacts = batch.postures[n].contacts
    places: list[list[Array]] = [[] for _ in contacts]
    for c, (p, _) in enumerate(batch.owner[n]):
        places[p].append(inside[c, n] - batch.depth[c, n] * normals[p])
    return [np.array(corners) for corners in places]
