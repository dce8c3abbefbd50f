"""Postures of one shape as arrays, the last axis of times: 11 phases, and two of leaving.

A posture is padded to its own shape, never to its company's, so that it settles to the same
digits wherever it is computed. What is padded weighs nothing.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from rungbook.body.contacts import AT_PHASE, FEET, PHASES, TIMES, Contact
from rungbook.body.joints import DOFS
from rungbook.body.points import Patch
from rungbook.body.settle_columns import solvable

if TYPE_CHECKING:
    from rungbook.body.posture import Posture

Array = NDArray[np.float64]
Bools = NDArray[np.bool_]
Numbers = NDArray[np.intp]
HARD = 1e7  # cost of a stature squared off a surface, against radians squared times stiffness
TOUCH = 3e4  # of a touch off its surface: what carries stays down before a hand reaches
SOFT = 1e-2
FOR_BOTH = {"right": 2.0, "left": 0.0, "mid": 1.0}  # the right side stands for both
MIDDLE = [0, 1, 4, 5]  # corners of a sole: those of the heel and of the toe tips
CORNERS, ANGLES, BURDENS, LINKS = (8, 14, 22, 40), (12, 18, 28, 40), (2, 8), (0, 2, 8)


@dataclass(frozen=True)
class Shape:
    """Sizes of a stack: corners, angles, burdens and links that are solved for."""

    corners: int
    angles: int
    burdens: int
    links: int

    @staticmethod
    def of(posture: Posture) -> Shape:
        corners = sum(len(posture.contacts[p].corners) for p in solved_contacts(posture))
        free = int(np.count_nonzero(solved_for(posture)))
        return Shape(
            _padded(corners, CORNERS), _padded(free, ANGLES),
            _padded(len(posture.burdens), BURDENS), _padded(len(posture.links), LINKS),
        )  # fmt: skip


def _padded(size: int, sizes: Sequence[int]) -> int:
    return next((one for one in sizes if one >= size), -(-size // 64) * 64)


def solved_contacts(posture: Posture) -> list[int]:
    """Contacts that are solved for: of mirror images, those of the left side only follow."""
    return [
        p for p, contact in enumerate(posture.contacts)
        if not (posture.mirrored and contact.side == "left")
    ]  # fmt: skip


def solved_for(posture: Posture) -> Bools:
    """Angles that give way at some time, (dofs,)."""
    some: Bools = np.any(posture.gives & ~posture.exact, axis=1)
    return some & solvable(posture.mirrored, posture.rooted)


@dataclass(frozen=True)
class Stack:
    """U postures of one shape. C corners, K angles.

    `owner`: per posture each contact that is solved for and its corners. T is of
    times.
    """

    shape: Shape
    postures: tuple[Posture, ...]
    owner: tuple[tuple[tuple[int, slice], ...], ...]
    base: Array  # (U, 3, 3)
    mirrored: Bools  # (U,)
    columns: Numbers  # (U, K) angles that are solved for; padded with the first
    twice: Array  # (U, K) how often the centre of mass follows: 2 where the other side does too
    asked: Array  # (U, dofs, T)
    gives: Bools  # (U, dofs, T)
    stiffness: Array  # (U, dofs, T)
    upright: Bools  # (U, T) the trunk does not lean back
    segment: Numbers  # (U, C)
    local: Array  # (U, C, 3)
    depth: Array  # (U, C)
    contact: Numbers  # (U, C) which contact, -1 where padded
    soft: Bools  # (U, C)
    sole: Bools  # (U, C) of a foot or forefoot: a wall's distance counts from it
    weight: Array  # (U, C, T) cost of leaving the surface
    hard: Bools  # (U, C, T) has to lie on its surface
    slides: Bools  # (U, C)
    first: Bools  # (U, C) there at the start
    middle: Array  # (U, C, T) weights whose sum is the middle of the feet
    shared: Array  # (U, C, T) share of body weight on each corner of a fixed-share contact
    normal: Array  # (U, C, 3)
    offset: Array  # (U, C), nan where nobody wrote the plane
    steadies: Bools  # (U, C)
    burden_segment: Numbers  # (U, B)
    burden_local: Array  # (U, B, 3)
    burden: Array  # (U, B, T) over body weight
    link_segment: Numbers  # (U, L, 2): what rests, and what on
    link_local: Array  # (U, L, 2, 3)
    link_reach: Array  # (U, L) how far apart the two points lie
    link_weight: Array  # (U, L, T)
    link_slides: Bools  # (U, L)
    stride: Array  # (U,) nan where none

    @staticmethod
    def build(shape: Shape, postures: Sequence[Posture]) -> Stack:
        count = len(postures)
        c, b, k, n = shape.corners, shape.burdens, shape.angles, shape.links
        stack = Stack(
            shape, tuple(postures), tuple(_owners(posture) for posture in postures),
            np.stack([p.base for p in postures]), np.array([p.mirrored for p in postures]),
            np.zeros((count, k), dtype=np.intp), np.zeros((count, k)),
            _at_times([p.angles for p in postures]),
            _giving(postures), _stiffness(postures),
            np.stack([p.upright for p in postures])[:, list(AT_PHASE)],
            np.zeros((count, c), dtype=np.intp), np.zeros((count, c, 3)), np.zeros((count, c)),
            np.full((count, c), -1, dtype=np.intp), np.zeros((count, c), dtype=bool),
            np.zeros((count, c), dtype=bool), np.zeros((count, c, TIMES)),
            np.zeros((count, c, TIMES), dtype=bool), np.zeros((count, c), dtype=bool),
            np.zeros((count, c), dtype=bool), np.zeros((count, c, TIMES)),
            np.zeros((count, c, TIMES)), np.tile([0.0, 0.0, 1.0], (count, c, 1)),
            np.zeros((count, c)), np.zeros((count, c), dtype=bool),
            np.zeros((count, b), dtype=np.intp), np.zeros((count, b, 3)),
            np.zeros((count, b, TIMES)), np.zeros((count, n, 2), dtype=np.intp),
            np.zeros((count, n, 2, 3)), np.zeros((count, n)), np.zeros((count, n, TIMES)),
            np.zeros((count, n), dtype=bool),
            np.array([np.nan if p.stride is None else p.stride for p in postures]),
        )  # fmt: skip
        for u in range(count):
            stack._fill(u)
        return stack

    def offsets(self, who: Numbers, scale: Array) -> Array:
        """Of each corner's plane for people of other statures, (N, C); `scale` (N,)."""
        result: Array = self.offset[who] * np.where(self.steadies[who], 1.0, scale[:, None])
        return result

    def _fill(self, u: int) -> None:
        posture = self.postures[u]
        columns = np.flatnonzero(solved_for(posture))
        self.columns[u, : len(columns)] = columns
        self.twice[u, : len(columns)] = _twice(posture.mirrored)[columns]
        _mark_middle(self.middle[u], posture, self.owner[u])
        for p, c in self.owner[u]:
            self._fill_contact(u, p, c)
        for n, burden in enumerate(posture.burdens):
            self.burden_segment[u, n], self.burden_local[u, n] = burden.segment, burden.local
            twice = FOR_BOTH[burden.side] if posture.mirrored else 1.0
            self.burden[u, n] = twice * np.array(burden.over_body_weight)[list(AT_PHASE)]
        for n, link in enumerate(posture.links):
            points = (link.point, link.on)
            self.link_segment[u, n] = [point.segment for point in points]
            self.link_local[u, n] = [point.core for point in points]
            self.link_reach[u, n] = link.reach
            self.link_slides[u, n] = link.slides
            there = np.array(link.active)[list(AT_PHASE)]
            self.link_weight[u, n] = there * (TOUCH if link.touch else HARD)

    def _fill_contact(self, u: int, p: int, c: slice) -> None:
        posture = self.postures[u]
        contact, mirrored = posture.contacts[p], posture.mirrored
        patch, active = contact.body_point.patch, np.array(contact.there)
        self.segment[u, c], self.local[u, c], self.depth[u, c] = _corners(patch)
        self.contact[u, c], self.soft[u, c] = p, patch.soft
        self.sole[u, c] = contact.point in ("foot", "forefoot")
        self.hard[u, c] = (~patch.soft & (patch.hold == 1.0))[:, None] & active
        cost = np.where(patch.soft, SOFT, patch.hold * (TOUCH if contact.touch else HARD))
        self.slides[u, c], self.first[u, c] = contact.slides, contact.active[0]
        self.normal[u, c] = contact.normal
        self.offset[u, c] = np.nan if contact.offset is None else contact.offset
        self.steadies[u, c] = contact.steadies
        twice = FOR_BOTH[contact.side] if mirrored else 1.0
        self.weight[u, c] = cost[:, None] * active
        self.middle[u, c] *= twice
        if contact.share is not None:
            self.shared[u, c] = twice * contact.share * np.array(contact.bears) / len(patch.depth)


def _corners(patch: Patch) -> tuple[Numbers, Array, Array]:
    return patch.segment, patch.local, patch.depth


@cache
def _twice(mirrored: bool) -> Array:
    return np.array([2.0 if mirrored and side == "right" else 1.0 for side, _, _ in DOFS])


def _at_times(arrays: Sequence[Array]) -> Array:
    return np.stack(arrays)[..., list(AT_PHASE)]


def _stiffness(postures: Sequence[Posture]) -> Array:
    stiffness = _at_times([p.stiffness for p in postures])
    for u, posture in enumerate(postures):
        if posture.loose is not None:
            stiffness[u, :, PHASES:] = posture.loose[:, None]
    return stiffness


def _giving(postures: Sequence[Posture]) -> Bools:
    """What may give way; where something is left, as at the phase beside it."""
    beside = [*range(PHASES), 1, PHASES - 2]
    may = np.stack([p.gives & ~p.exact for p in postures])[..., beside]
    solved = np.stack([solvable(p.mirrored, p.rooted) for p in postures])
    return may & solved[..., None]


def _owners(posture: Posture) -> tuple[tuple[int, slice], ...]:
    found, start = [], 0
    for p in solved_contacts(posture):
        stop = start + len(posture.contacts[p].corners)
        found.append((p, slice(start, stop)))
        start = stop
    return tuple(found)


def _mark_middle(middle: Array, posture: Posture, owners: Sequence[tuple[int, slice]]) -> None:
    """Weights of corners (C, T) whose sum is the middle between the heels and the toe tips."""
    if not posture.balanced or not posture.contacts:
        return
    carrying = np.array([c.bears if c.carries else (False,) * TIMES for c in posture.contacts])
    soles = np.array([_is_sole(contact) for contact in posture.contacts])
    on_soles = ~carrying[~soles].any(axis=0)
    on_soles[PHASES:] = False  # who is about to leave a seat stands anywhere on her feet
    share = 0.25 * carrying * on_soles / np.maximum(carrying.sum(axis=0), 1)
    for p, c in owners:
        if soles[p]:
            middle[c][MIDDLE] = share[p]


def _is_sole(contact: Contact) -> bool:
    return contact.point in FEET and contact.level and not contact.grip
