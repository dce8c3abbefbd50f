"""How points of the body move with each solved angle: the geometric Jacobian, by screws."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rungbook.body.joints import DOFS, PARENT, ROTATIONS, SEGMENTS, ancestors
from rungbook.body.kinematics import Pose
from rungbook.body.settle_classes import Columns, selection

Array = NDArray[np.float64]
_SEGMENT_OF = np.array([rotation.segment for rotation in ROTATIONS])
# moves[s, k]: rotation k moves segment s
_MOVES = np.array(
    [[r.segment in ancestors(s) for r in ROTATIONS] for s in range(len(SEGMENTS))], dtype=float
)


@dataclass(frozen=True)
class Screws:
    """The solved axes as screws (N, 6, K): direction, and place times direction.

    A point x moves along d by d · (a × (x - o)) = [x × d, d] · [a, o × a] for each axis a
    through o: one small matrix product for all corners and axes.
    """

    columns: Columns
    lines: Array
    chosen: NDArray[np.intp]

    @staticmethod
    def of(columns: Columns, pose: Pose) -> Screws:
        chosen = selection(columns).rotations
        axis = pose.axis[chosen].transpose(2, 0, 1)
        joint = pose.origin[_SEGMENT_OF[chosen]].transpose(2, 0, 1)
        lines = np.concatenate([axis, cross(joint, axis)], axis=2).transpose(0, 2, 1)
        return Screws(columns, np.ascontiguousarray(lines), chosen)

    def of_points(self, where: Array, along: Array, segment: NDArray[np.intp]) -> Array:
        """How points (N, C, 3) of segments (N, C) move along directions (N, D, C, 3)."""
        count, directions, corners, _ = along.shape
        place = np.concatenate([cross(where[:, None], along), along], axis=3)
        moves = np.matmul(place.reshape(count, directions * corners, 6), self.lines)
        moves = moves.reshape(count, directions, corners, moves.shape[-1])
        moves *= _MOVES[segment][:, None][..., self.chosen]
        return self._columns(moves, along)

    def of_mass(self, mass: Array, centre: Array, pose: Pose) -> tuple[Array, Array]:
        """The centre of mass (N, 3) and how it moves (N, 3, columns)."""
        total, moment = _hanging(pose, mass, centre)
        segments = _SEGMENT_OF[self.chosen]
        axis, arm = self.lines[:, :3], self.lines[:, 3:]
        # m·a × c - m·a × o, with o × a at hand
        moves = cross(axis.transpose(0, 2, 1), moment[segments].transpose(2, 0, 1))
        moves = moves.transpose(0, 2, 1) + arm * total[segments]
        if self.columns.symmetric:  # both sides move: what is sided counts twice
            sided = np.array([DOFS[ROTATIONS[k].dof][0] == "right" for k in self.chosen])
            moves = moves * np.where(sided, 2.0, 1.0)
        along = np.broadcast_to(np.eye(3), (len(moves), 3, 3))
        return moment[0].T, self._columns(moves, along)

    def _columns(self, moves: Array, along: Array) -> Array:
        """From rotations to columns: translations before, halves of split angles added up."""
        chosen = selection(self.columns)
        scaled = moves * chosen.scale
        result = np.empty((*moves.shape[:-1], chosen.first + chosen.count))
        result[..., chosen.first :] = scaled[..., : chosen.count]
        for extra, column in enumerate(chosen.extra):
            result[..., chosen.first + column] += scaled[..., chosen.count + extra]
        for column in range(chosen.first):
            name = DOFS[self.columns.dofs[column]][2]
            result[..., column] = along[..., "xyz".index(name)]
        return result


def cross(a: Array, b: Array) -> Array:
    """Cross product over the last axis, without the detours of the general one."""
    x, y, z = a[..., 0], a[..., 1], a[..., 2]
    u, v, w = b[..., 0], b[..., 1], b[..., 2]
    return np.stack([y * w - z * v, z * u - x * w, x * v - y * u], axis=-1)


def _hanging(pose: Pose, mass: Array, centre: Array) -> tuple[Array, Array]:
    """Mass and first moment of each segment with all that hang from it: (18,), (18, 3, N)."""
    total = mass.copy()
    moment = pose.origin.copy()
    for j in range(3):
        moment += pose.turn[:, :, j] * centre[:, j, None, None]
    moment *= mass[:, None, None]
    for segment in range(len(SEGMENTS) - 1, 0, -1):
        total[PARENT[segment]] += total[segment]
        moment[PARENT[segment]] += moment[segment]
    return total, moment
