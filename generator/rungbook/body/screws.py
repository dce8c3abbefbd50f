"""How points of the body move with each solved angle: the geometric Jacobian, by screws."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rungbook.body.joints import PARENT, ROTATIONS, SEGMENTS
from rungbook.body.kinematics import Pose
from rungbook.body.settle_classes import Columns, Selection, selection
from rungbook.body.vectors import cross

Array = NDArray[np.float64]
_SEGMENT_OF = np.array([rotation.segment for rotation in ROTATIONS])


@dataclass(frozen=True)
class Screws:
    """What moves in a class as screws (N, 6, K): direction, and place times direction.

    A point x moves along d by d · (a × (x - o)) = [x × d, d] · [a, o × a] for each axis a
    through o, and by [x × d, d] · [0, t] for each translation t: one small matrix product for
    all corners and columns.
    """

    chosen: Selection
    lines: Array

    @staticmethod
    def of(columns: Columns, pose: Pose) -> Screws:
        chosen = selection(columns)
        first = len(chosen.translations)
        axis = pose.axis[chosen.rotations].transpose(2, 0, 1) * chosen.scale[:, None]
        joint = pose.origin[_SEGMENT_OF[chosen.rotations]].transpose(2, 0, 1)
        lines = np.zeros((len(axis), 6, first + axis.shape[1]))
        lines[:, 3:, :first] = chosen.translations.T
        lines[:, :3, first:] = axis.transpose(0, 2, 1)
        lines[:, 3:, first:] = cross(joint, axis).transpose(0, 2, 1)
        return Screws(chosen, lines)

    def of_points(self, where: Array, along: Array, segment: NDArray[np.intp]) -> Array:
        """How points (N, C, 3) of segments (N, C) move along directions (N, D, C, 3)."""
        count, directions, corners, _ = along.shape
        place = np.concatenate([cross(where[:, None], along), along], axis=3)
        moves = np.matmul(place.reshape(count, directions * corners, 6), self.lines)
        moves = moves.reshape(count, directions, corners, moves.shape[-1])
        moves *= self.chosen.moves[segment][:, None]
        return self._columns(moves)

    def of_mass(self, mass: Array, centre: Array, pose: Pose) -> tuple[Array, Array]:
        """The centre of mass (N, 3) and how it moves (N, 3, columns)."""
        total, moment = _hanging(pose, mass, centre)
        segments = _SEGMENT_OF[self.chosen.rotations]
        first = len(self.chosen.translations)
        axis, arm = self.lines[:, :3, first:], self.lines[:, 3:, first:]
        # m·a × c - m·a × o, with o × a at hand
        turned = cross(axis.transpose(0, 2, 1), moment[segments].transpose(2, 0, 1))
        moves = self.lines[:, 3:].copy()
        moves[..., first:] = (turned.transpose(0, 2, 1) + arm * total[segments]) * self.chosen.sided
        return moment[0].T, self._columns(moves)

    def _columns(self, moves: Array) -> Array:
        """From what moves to angles: halves of split angles added up, in place."""
        count = self.chosen.count
        for extra, column in enumerate(self.chosen.extra):
            moves[..., column] += moves[..., count + extra]
        return moves[..., :count]


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
