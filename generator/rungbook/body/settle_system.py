"""The equations of a step of settling, of many postures at once.

Everything is of one row of the arrays and of its own shape alone: no product runs over rows.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from rungbook.body.base import LEAST_PRESSING
from rungbook.body.joints import SEGMENT
from rungbook.body.kinematics import Pose
from rungbook.body.screws import FARTHEST, between, hanging, screws
from rungbook.body.settle_anchors import places
from rungbook.body.settle_columns import moved_by
from rungbook.body.settle_edges import BALANCE, beyond_edges
from rungbook.body.settle_rows import Forces, Rows
from rungbook.body.settle_stack import HARD
from rungbook.body.vectors import cross

Array = NDArray[np.float64]
Numbers = NDArray[np.intp]
RIDGE = 1e-9
FEET = np.array([SEGMENT["foot_right"], SEGMENT["foot_left"]])
LEVEL = np.eye(3)[:2]


@dataclass(frozen=True)
class _Extra:
    """Further equations of a step: Jacobian (N, M, K), that times its cost, and their slope."""

    jacobian: Array
    weighted: Array
    slope: Array


@dataclass(frozen=True)
class System:
    """The equations of one step of some rows at a pose.

    Corners add up along the tree: with a screw l_j for each angle, the corners beyond it have a
    6 × 6 cost S_j, so that the matrix is l_i · S_j l_j for i before j.
    """

    of: Rows
    pose: Pose
    row: Numbers
    forces: Forces

    def change(self, pull: Array, away: Array, damped: Array) -> tuple[Array, Forces]:
        """The change of the angles (N, K) and the forces that it expects.

        Args:
            pull: (N, K) what it costs each angle to be `away` from its rest; damped: (N,) what
                any change costs besides.
        """
        rows, lines = self.of, self.lines
        push = np.matmul(rows.cost, (self.where - rows.target)[..., None])[..., 0]
        sums = np.matmul(rows.moves, self._corner_sums(push))
        stiff = np.einsum("nkab,nkb->nka", sums[..., :36].reshape(*lines.shape, 6), lines)
        balance, links = self._balance(), self._links()
        jacobian, weighted, slope = _stacked([balance, *links, *self._stride()])
        right = -np.sum(lines * sums[..., 36:42], axis=-1) - pull * away * rows.gives
        right -= np.matmul(slope[:, None], jacobian)[:, 0]
        plain = _both_ways(np.matmul(lines, stiff.transpose(0, 2, 1)), rows.before)
        plain += np.matmul(jacobian.transpose(0, 2, 1), weighted)
        diagonal = np.arange(lines.shape[1])
        plain[:, diagonal, diagonal] += pull + RIDGE + (1 - rows.gives) + damped[:, None]
        bent = np.matmul(lines[..., :3], self._bent(sums[..., 42:]).transpose(0, 2, 1))
        found = _solved(plain, _both_ways(bent, rows.before), right) * rows.gives
        moved = np.matmul(rows.moves.transpose(0, 2, 1), lines * found[..., None])
        moved = cross(moved[..., :3], self.where) + moved[..., 3:]
        pressure = balance.slope + np.matmul(balance.weighted, found[..., None])[..., 0]
        pressure /= self.free
        drawn = self.forces.links
        if links:
            drawn = links[0].slope + np.matmul(links[0].weighted, found[..., None])[..., 0]
            drawn = drawn[:, : self.forces.links.shape[1]]
        return found, Forces(push + np.matmul(rows.cost, moved[..., None])[..., 0], pressure, drawn)

    def _corner_sums(self, push: Array) -> Array:
        """Of each corner its 6 × 6 cost, its wrench, and the forces that bend: (N, C, 54)."""
        where, cost = self.where, self.of.cost
        lever = cross(where[..., None], cost, axis=-2)
        sums = np.empty((*where.shape[:2], 54))
        six = sums[..., :36].reshape(*where.shape[:2], 6, 6)
        six[..., :3, :3] = cross(where[:, :, None], lever)
        six[..., :3, 3:], six[..., 3:, :3] = lever, lever.swapaxes(-1, -2)
        six[..., 3:, 3:] = cost
        sums[..., 36:39], sums[..., 39:42] = cross(where, push), push
        held = self.forces.corners.copy()
        held[..., :2] -= self.leaned[..., None] * (self.forces.pressure * self.free)[:, None]
        sums[..., 42:51] = (where[..., None] * held[:, :, None]).reshape(*where.shape[:2], 9)
        sums[..., 51:] = held
        return sums

    def _bent(self, sums: Array) -> Array:
        """Of each angle, what the forces make of its turning: (N, K, 3).

        The second derivative along ω_i × (ω_j × x) is ω_i times it, for i before j.
        """
        turn, pressure = self.lines[..., :3], self.forces.pressure
        tensor, force = sums[..., :9].reshape(*turn.shape, 3), sums[..., 9:]
        hangs = self.hanging * self.of.twice[..., None]
        tensor[..., :2] += hangs[..., :3, None] * pressure[:, None, None]
        force[..., :2] += hangs[..., 3:] * pressure[:, None]
        bent: Array = np.einsum("nkab,nkb->nka", tensor, turn)
        bent -= turn * np.einsum("nkaa->nk", tensor)[..., None]
        bent += cross(self.lines[..., 3:], force)
        return bent

    @cached_property
    def where(self) -> Array:
        """Corners inside the body, (N, C, 3)."""
        return places(self.pose, self.of.segment, self.of.local)

    @cached_property
    def lines(self) -> Array:
        """The screws of the angles that are solved for, (N, K, 6), none where one is exact."""
        lines: Array = screws(self.pose)[self.of.columns, :, self.row]
        return lines * self.of.gives[..., None]

    @cached_property
    def hanging(self) -> Array:
        """First moment and mass of what hangs beyond each angle, (N, K, 4)."""
        result: Array = self._whole[FARTHEST[self.of.columns], :, self.row]
        return result

    @cached_property
    def _whole(self) -> Array:
        return hanging(self.pose, self.of.mass.T, self.of.centre.transpose(1, 2, 0))

    def _follow(self, where: Array, along: Array, segment: Numbers) -> Array:
        """How points (N, C, 3) of segments (N, C) move along (N, D, C, 3): (N, D, C, K)."""
        count, directions, points, _ = along.shape
        place = np.concatenate([cross(where[:, None], along), along], axis=3)
        place = place.reshape(count, directions * points, 6)
        flat = np.matmul(place, self.lines.transpose(0, 2, 1))
        moves: Array = flat.reshape(count, directions, points, -1)
        moves *= moved_by()[segment[:, :, None], self.of.columns[:, None]][:, None]
        return moves

    def _links(self) -> list[_Extra]:
        """Distances of limbs that rest on each other, and straying; then what draws them together.

        Drawn together, a limb swings about the other like a weight on a thread: sideways the
        thread's pull over its length is a stiffness, without which steps overshoot for ever.
        """
        rows, count = self.of, len(self.row)
        segment, local = rows.link_segment, rows.link_local
        if not segment.shape[1]:
            return []
        resting = places(self.pose, segment[..., 0], local[..., 0, :])
        under = places(self.pose, segment[..., 1], local[..., 1, :])
        away = resting - under
        apart = np.sqrt(np.sum(away**2, axis=-1))
        normal = away / np.maximum(apart, 1e-9)[..., None]
        room = np.broadcast_to(np.eye(3)[None, :, None], (count, 3, away.shape[1], 3))
        along = np.concatenate([normal[:, None], room], axis=1)
        strayed = resting - places(self.pose, segment[..., 1], rows.link_place)
        follow = self._follow(resting, along, segment[..., 0])
        follow[:, :1] -= self._follow(under, along[:, :1], segment[..., 1])
        follow[:, 1:] -= self._follow(resting, along[:, 1:], segment[..., 1])
        off = np.concatenate(
            [(apart - rows.link_reach)[:, None], strayed.transpose(0, 2, 1)], axis=1
        )
        jacobian = follow.reshape(count, -1, follow.shape[-1])
        cost = rows.link_cost.transpose(0, 2, 1).reshape(count, -1)
        found = _Extra(jacobian, jacobian * cost[..., None], cost * off.reshape(count, -1))
        swing = self._follow(resting, along[:, 1:], segment[..., 0])
        swing -= self._follow(under, along[:, 1:], segment[..., 1])
        swing = swing.reshape(count, -1, swing.shape[-1])
        thread = np.maximum(self.forces.links, 0.0) / np.maximum(apart, 1e-9)
        sideways = swing * np.tile(thread, 3)[..., None]
        return [found, _Extra(swing, sideways, np.zeros(swing.shape[:2]))]

    def _stride(self) -> list[_Extra]:
        if not self.of.loose:
            return []
        feet = np.broadcast_to(FEET, (len(self.row), 2))
        where = self.pose.origin[FEET].transpose(2, 0, 1)
        ahead = np.broadcast_to(np.eye(3)[0], (len(where), 1, 2, 3))
        moves = self._follow(where, ahead, feet)[:, 0]
        apart = (where[:, 0, 0] - where[:, 1, 0])[:, None] - np.nan_to_num(self.of.stride)
        cost = HARD * np.isfinite(self.of.stride)
        jacobian = (moves[:, 0] - moves[:, 1])[:, None]
        return [_Extra(jacobian, jacobian * cost[..., None], cost * apart)]

    def _balance(self) -> _Extra:
        """Where the pressure lies: in the middle of the feet, or inside the edges of the base."""
        rows = self.of
        on = self.where[..., :2] - rows.below
        centre, moves = self._burdened()
        free = self.free
        pressure = (centre - np.sum(rows.shared[..., None] * on, axis=1)) / free
        moves /= free[..., None]
        if self.leaned.any():
            follow = self._follow(self.where, _level(self.where), rows.segment)
            moves -= np.sum(self.leaned[:, None, :, None] * follow, axis=2)
        sideways = (~rows.mirrored).astype(float)
        pressure[:, 1] *= sideways
        moves[:, 1] *= sideways[:, None]
        off_middle = pressure - np.sum(rows.middle[..., None] * on, axis=1)
        off_middle[:, 1] *= sideways
        slope, curvature = beyond_edges(pressure, rows.edges, rows.edge_weight)
        stiff = BALANCE * rows.centred[:, None]
        curvature[:, [0, 1], [0, 1]] += stiff
        return _Extra(moves, np.matmul(curvature, moves), slope + stiff * off_middle)

    @cached_property
    def leaned(self) -> Array:
        """How far the pressure has to follow each corner, (N, C): those with a written share, and
        the feet's middle before they are held."""
        rows = self.of
        moving = 1.0 if rows.loose else 0.0
        result: Array = rows.shared / self.free + rows.middle * moving
        return result

    @property
    def free(self) -> Array:
        """What the found forces carry, over body weight, (N, 1)."""
        rows = self.of
        result: Array = 1.0 + rows.burden.sum(axis=1) - rows.shared.sum(axis=1)
        return np.maximum(result, LEAST_PRESSING)[:, None]

    def _burdened(self) -> tuple[Array, Array]:
        """Weights times their places of the body and what it carries (N, 2), and how that moves
        (N, 2, K)."""
        rows, lines = self.of, self.lines
        moment = self.hanging
        x = lines[..., 1] * moment[..., 2] - lines[..., 2] * moment[..., 1]
        y = lines[..., 2] * moment[..., 0] - lines[..., 0] * moment[..., 2]
        moves = np.stack([x, y], axis=1) + (lines[..., 3:5] * moment[..., 3:]).transpose(0, 2, 1)
        moves *= rows.twice[:, None]
        for dof, moved in between(self.pose, rows.mass.T, rows.centre.transpose(1, 2, 0)):
            moves += moved.T[..., None] * ((rows.columns == dof) * rows.gives)[:, None]
        centre = self._whole[0, :2].T.copy()
        if rows.burden.any():
            hang = places(self.pose, rows.burden_segment, rows.burden_local)
            centre += np.sum(rows.burden[..., None] * hang[..., :2], axis=1)
            follow = self._follow(hang, _level(hang), rows.burden_segment)
            moves += np.sum(rows.burden[:, None, :, None] * follow, axis=2)
        return centre, moves


def _stacked(extras: list[_Extra]) -> tuple[Array, Array, Array]:
    if len(extras) == 1:
        return extras[0].jacobian, extras[0].weighted, extras[0].slope
    return (
        np.concatenate([one.jacobian for one in extras], axis=1),
        np.concatenate([one.weighted for one in extras], axis=1),
        np.concatenate([one.slope for one in extras], axis=1),
    )


def _both_ways(products: Array, before: Array) -> Array:
    """A symmetric matrix (N, K, K) from the products of each angle with those beyond it."""
    upper = products * before
    diagonal = np.arange(upper.shape[1])
    once = upper[:, diagonal, diagonal]
    result: Array = upper + upper.transpose(0, 2, 1)
    result[:, diagonal, diagonal] = once
    return result


def _solved(plain: Array, bent: Array, right: Array) -> Array:
    """The change of angles (N, K); where it would lead uphill, that without what bends."""
    change = np.asarray(np.linalg.solve(plain + bent, right[..., None])[..., 0], dtype=float)
    uphill = np.flatnonzero(np.sum(change * right, axis=1) < 0)
    if len(uphill):
        change[uphill] = np.linalg.solve(plain[uphill], right[uphill, :, None])[..., 0]
    return change


def _level(where: Array) -> Array:
    """The two level directions at points (N, C, 3): (N, 2, C, 3)."""
    return np.broadcast_to(LEVEL[None, :, None], (len(where), 2, where.shape[1], 3))
