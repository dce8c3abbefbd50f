"""Damped Gauss-Newton steps: residuals and geometric Jacobian of many postures at once."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rungbook.body.base import Base
from rungbook.body.joints import DOFS, MIRROR, SEGMENT
from rungbook.body.kinematics import Pose, forward
from rungbook.body.screws import Screws
from rungbook.body.settle_batch import HARD, Anchors, Batch, places
from rungbook.body.settle_classes import Columns, passive_range
from rungbook.body.settle_edges import BALANCE, beyond_edges, edges_of
from rungbook.body.vectors import cross

Array = NDArray[np.float64]
BOUND = 3e4  # cost of a radian squared outside the passive range
MAX_STEP = 0.25  # radians (or statures) in one iteration
MAX_ITERATIONS = 60
SETTLED = 1e-7  # radians (or statures): no angle moves by more
CREEPING = 1e-4  # steps this small that no longer shrink change nothing
RIDGE = 1e-9
_LEFT = [index for index, (side, _, _) in enumerate(DOFS) if side == "left"]
_RIGHT = [MIRROR[index] for index in _LEFT]


def settle_batch(
    batch: Batch,
    angles: Array,
    phase: int | NDArray[np.intp],
    anchors: Anchors | None,
    bases: list[Base | None],
) -> Array:
    """Settles N postures at one phase each, from the angles given (dofs, N) as a start."""
    count = angles.shape[1]
    phases = np.full(count, phase) if np.isscalar(phase) else np.asarray(phase)
    problem = _Problem.build(batch, phases, anchors, bases)
    current = angles.copy()
    cap = np.full(count, MAX_STEP)
    last = np.full(count, np.nan)  # a first step is compared with nothing
    before = np.zeros_like(angles)
    left = np.arange(count)
    here = problem
    for _ in range(MAX_ITERATIONS):
        if not len(left):
            break
        step = here.step(current[:, left])
        size = np.abs(step).max(axis=0)
        step *= np.minimum(1.0, cap[left] / np.maximum(size, 1e-12))
        turned = np.sum(step * before[:, left], axis=0) < 0
        cap[left] = np.where(turned, cap[left] * 0.5, np.minimum(cap[left] * 1.3, MAX_STEP))
        current[:, left] += step
        before[:, left] = step
        slower = size / last[left]  # the next step is this much smaller again
        creeping = (size < CREEPING) & (slower > 0.9)
        there = (size < SETTLED) | ((slower < 0.5) & (size * slower < SETTLED))
        last[left] = size
        stay = ~(there | creeping)
        if not stay.all():
            left = left[stay]
            here = here.part(np.flatnonzero(stay))
    return current


@dataclass(frozen=True)
class _Rows:
    """Residuals (N, M), their costs, and the Jacobian (N, M, columns)."""

    residual: Array
    cost: Array
    jacobian: Array


@dataclass(frozen=True)
class _Balance:
    """How the pressure moves (N, 2, columns), and the cost of where it lies: its slope (N, 2) and
    curvature (N, 2, 2)."""

    moves: Array
    slope: Array
    curvature: Array


@dataclass(frozen=True)
class _Problem:
    """N postures at their phases, N first: everything that a step needs."""

    columns: Columns
    mass: Array
    centre: Array
    base: Array  # (3, 3, N)
    default: Array  # (dofs, N)
    gives: Array
    stiffness: Array
    segment: NDArray[np.intp]  # (N, C)
    local: Array  # (N, C, 3)
    depth: Array  # (N, C)
    weight: Array  # (N, C)
    stays: Array  # (N, C) weight of staying in place
    frame: Array  # (N, 3, C, 3): normal and two tangents of each corner's plane
    offset: Array  # (N, C)
    place: Array  # (N, C, 3)
    middle: Array  # (N, C)
    shared: Array  # (N, C)
    burden_segment: NDArray[np.intp]  # (N, B)
    burden_local: Array  # (N, B, 3)
    burden: Array  # (N, B)
    edges: Array  # (N, E, 3)
    edge_weight: Array  # (N, E)
    centred: Array  # (N,)
    stride: Array  # (N,) nan where none
    moving: bool  # corners are not held yet: the middle of the feet moves with them

    @staticmethod
    def build(
        batch: Batch,
        phases: NDArray[np.intp],
        anchors: Anchors | None,
        bases: list[Base | None],
    ) -> _Problem:
        n = np.arange(len(phases))
        c = slice(batch.solved)
        weight = batch.weight[c, phases, n]
        if anchors is None:
            weight = weight * batch.known[c]
            normal, offset = batch.normal[c], batch.offset[c]
            place, stays = np.zeros_like(normal), np.zeros_like(weight)
        else:
            normal, offset, place = anchors.normal[c], anchors.offset[c], anchors.place[c]
            stays = weight * anchors.stays[c] * ~batch.slides[c]
        edges, edge_weight = edges_of(bases)
        middle = batch.middle[c, phases, n].T
        centred = middle.sum(axis=1) > 0.5
        strides = [
            np.nan if p.stride is None or anchors is not None else p.stride for p in batch.postures
        ]
        return _Problem(
            batch.columns, batch.mass, batch.centre, batch.base, batch.default[:, phases, n],
            batch.gives[:, phases, n], batch.stiffness[:, phases, n], batch.segment[c].T,
            batch.local[c].transpose(1, 0, 2), batch.depth[c].T, weight.T, stays.T,
            _frames(normal.transpose(1, 0, 2)), offset.T, place.transpose(1, 0, 2), middle,
            batch.shared[c, phases, n].T, batch.burden_segment.T,
            batch.burden_local.transpose(1, 0, 2), batch.burden[:, phases, n].T, edges,
            edge_weight * ~centred[:, None], centred.astype(float), np.array(strides),
            anchors is None,
        )  # fmt: skip

    def part(self, n: NDArray[np.intp]) -> _Problem:
        """Some of the postures."""
        return _Problem(
            self.columns, self.mass, self.centre, self.base[..., n], self.default[:, n],
            self.gives[:, n], self.stiffness[:, n], self.segment[n], self.local[n], self.depth[n],
            self.weight[n], self.stays[n], self.frame[n], self.offset[n], self.place[n],
            self.middle[n], self.shared[n], self.burden_segment[n], self.burden_local[n],
            self.burden[n], self.edges[n], self.edge_weight[n], self.centred[n],
            self.stride[n], self.moving,
        )  # fmt: skip

    def step(self, angles: Array) -> Array:
        """One Gauss-Newton step (dofs, N), not yet capped."""
        columns = self.columns
        dofs = list(columns.dofs)
        pose = forward(angles, self.base)
        where, screws = places(pose, self.segment, self.local), Screws.of(columns, pose)
        balance = self._balance(pose, where, screws)
        rows = self._rows(pose, where, screws, balance.moves)
        away, pull = self._pull(angles)
        away, pull, gives = away[dofs].T, pull[dofs].T, self.gives[dofs].T
        jacobian = rows.jacobian * gives[:, None, :]
        weighted = jacobian * rows.cost[:, :, None]
        curvature, moves = balance.curvature, jacobian[:, -2:]
        weighted[:, -2:] = curvature[..., :1] * moves[:, :1] + curvature[..., 1:] * moves[:, 1:]
        system = np.matmul(weighted.transpose(0, 2, 1), jacobian)
        right = -np.matmul(rows.residual[:, None], weighted)[:, 0] - pull * away * gives
        right -= np.matmul(balance.slope[:, None], moves)[:, 0]
        diagonal = np.arange(len(dofs))
        system[:, diagonal, diagonal] += pull + RIDGE + (1 - gives)
        change = np.linalg.solve(system, right[..., None])[..., 0] * gives
        step = np.zeros_like(angles)
        step[dofs] = change.T
        if columns.symmetric:
            step[_LEFT] = step[_RIGHT]
        return step

    def _pull(self, angles: Array) -> tuple[Array, Array]:
        """Distance from the rest angles (dofs, N) and its cost, the passive range included."""
        low, high = passive_range()
        rest, pull = self.default, self.stiffness * self.gives
        bound = np.clip(angles, low[:, None], high[:, None])
        outside = (bound != angles) & (self.gives > 0)
        if outside.any():
            blend = (self.stiffness * rest + BOUND * bound) / (self.stiffness + BOUND)
            rest = np.where(outside, blend, rest)
            pull = np.where(outside, pull + BOUND, pull)
        return angles - rest, pull

    def _rows(self, pose: Pose, where: Array, screws: Screws, balance: Array) -> _Rows:
        """Corners (N, C, 3) on and in their planes, the stride, and the two of balance, bare."""
        count, corners = where.shape[:2]
        off = np.einsum("ndcj,ncj->ndc", self.frame, where - np.where(self.moving, 0.0, self.place))
        across = np.einsum("ncj,ncj->nc", self.frame[:, 0], where) - self.offset - self.depth
        on_corners = screws.of_points(where, self.frame, self.segment)
        residuals = [across, off[:, 1], off[:, 2]]
        costs = [self.weight, self.stays, self.stays]
        jacobians = [on_corners.reshape(count, 3 * corners, on_corners.shape[-1])]
        if np.isfinite(self.stride).any():
            apart, apart_moves = self._stride(pose, screws)
            residuals.append(apart)
            costs.append(HARD * np.isfinite(self.stride)[:, None].astype(float))
            jacobians.append(apart_moves)
        bare = np.zeros((count, 2))
        return _Rows(
            np.concatenate([*residuals, bare], axis=1),
            np.concatenate([*costs, bare], axis=1),
            np.concatenate([*jacobians, balance], axis=1),
        )

    def _balance(self, pose: Pose, where: Array, screws: Screws) -> _Balance:
        """The pressure in the middle of the feet, or inside the edges of the base."""
        on = where - self.depth[..., None] * self.frame[:, 0]
        centre, moves = screws.of_mass(self.mass, self.centre, pose)
        fixed = self.shared.sum(axis=1)
        free = (1.0 + self.burden.sum(axis=1) - fixed)[:, None]
        centre, moves = centre[:, :2], moves[:, :2]
        if self.burden.shape[1]:
            hang = places(pose, self.burden_segment, self.burden_local)
            centre = centre + np.einsum("nb,nbj->nj", self.burden, hang[..., :2])
            follow = screws.of_points(hang, _level(hang), self.burden_segment)
            moves = moves + np.einsum("nb,ndbk->ndk", self.burden, follow)
        pressure = (centre - np.einsum("nc,ncj->nj", self.shared, on[..., :2])) / free
        moves = moves / free[..., None]
        if self.moving:
            follow = screws.of_points(where, _level(where), self.segment)
            moves = moves - np.einsum("nc,ndck->ndk", self.shared / free + self.middle, follow)
        sideways = 0.0 if self.columns.symmetric else 1.0
        pressure[:, 1] *= sideways
        middle = pressure - np.einsum("nc,ncj->nj", self.middle, on[..., :2])
        stiff = BALANCE * self.centred[:, None] * np.array([1.0, sideways])
        slope, curvature = beyond_edges(pressure, self.edges, self.edge_weight)
        return _Balance(moves, stiff * middle + slope, stiff[:, :, None] * np.eye(2) + curvature)

    def _stride(self, pose: Pose, screws: Screws) -> tuple[Array, Array]:
        feet = np.array([SEGMENT["foot_right"], SEGMENT["foot_left"]])
        where = pose.origin[feet].transpose(2, 0, 1)
        ahead = np.zeros((len(where), 1, 2, 3))
        ahead[..., 0] = 1.0
        moves = screws.of_points(where, ahead, np.broadcast_to(feet, (len(where), 2)))[:, 0]
        apart = where[:, 0, 0] - where[:, 1, 0] - np.nan_to_num(self.stride)
        return apart[:, None], (moves[:, 0] - moves[:, 1])[:, None]


def _level(where: Array) -> Array:
    """The two level directions at points (N, C, 3): (N, 2, C, 3)."""
    level = np.zeros((len(where), 2, *where.shape[1:]))
    level[:, 0, :, 0], level[:, 1, :, 1] = 1.0, 1.0
    return level


def _frames(normal: Array) -> Array:
    """Normal and two tangents of each plane, (N, 3, C, 3)."""
    across = np.where(np.abs(normal[..., 1:2]) > 0.9, [1.0, 0.0, 0.0], [0.0, 1.0, 0.0])
    first = cross(across, normal)
    first /= np.linalg.norm(first, axis=-1, keepdims=True)
    return np.stack([normal, first, cross(normal, first)], axis=1)
