"""Forward kinematics of many postures at once.

A batch of B postures is the last axis of every array, so that each step is one pass over
contiguous numbers; both sides of a limb are placed in the same pass. Lengths are fractions of
stature.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

from rungbook.body.joints import PARENT, ROTATIONS, ROTATIONS_OF, SEGMENT, SEGMENTS, part_of
from rungbook.body.segments import joint_offsets

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Pose:
    """Where every segment is, in the room.

    `turn` (18, 3, 3, B): turn[s, :, j] is the segment's j-th axis. `origin` (18, 3, B).
    `axis` (rotations, 3, B): unit axis of each elementary rotation, positive movement by the
    right-hand rule, through the origin of the segment it moves.
    """

    turn: Array
    origin: Array
    axis: Array

    def point(self, segment: int, local: Array) -> Array:
        """A point of a segment, (3, B)."""
        point: Array = self.origin[segment].copy()
        for j in range(3):
            if local[j]:
                point += self.turn[segment, :, j] * local[j]
        return point


def forward(angles: Array, base: Array) -> Pose:
    """Places every segment.

    Args:
        angles: (dofs, B), radians; the first three are the pelvis's place in fractions of
            stature.
        base: (3, 3, B) or (3, 3, 1), the pelvis's orientation in its position before the
            root's own yaw, pitch and roll.
    """
    count = angles.shape[1]
    turn = np.empty((len(SEGMENTS), 3, 3, count))
    origin = np.empty((len(SEGMENTS), 3, count))
    axis = np.empty((len(ROTATIONS), 3, count))
    angle = angles[_TURNS] * _FACTORS + _ZEROS
    turned = angle.any(axis=1).tolist()  # most joints of most batches are straight
    cosine, sine = np.cos(angle)[:, None], np.sin(angle)[:, None]
    for place in _places():
        here = turn[place.segments]
        if place.parents is None:
            here[:] = np.eye(3)[None, :, :, None]
            origin[place.segments] = angles[0:3]
        else:
            here[:] = turn[place.parents]
            moved = origin[place.segments]
            moved[:] = origin[place.parents]
            for j, offset in place.offsets:
                moved += turn[place.parents][:, :, j] * offset
        for k, about, sign in place.rotations:
            np.multiply(here[:, :, about], sign, out=axis[k])
            if turned[k.start] or turned[k.stop - 1]:
                _rotate(here, about, cosine[k], sine[k])
        if place.parents is None:
            here[0] = np.einsum("ijb,jkb->ikb", here[0], np.broadcast_to(base, (3, 3, count)))
    return Pose(turn, origin, axis)


def _rotate(turn: Array, axis: int, cosine: Array, sine: Array) -> None:
    """Turns frames (S, 3, 3, B) about one of their own axes, in place; two columns change."""
    i, j = ((1, 2), (2, 0), (0, 1))[axis]
    first = cosine * turn[:, :, i]
    first += sine * turn[:, :, j]
    turn[:, :, j] *= cosine
    turn[:, :, j] -= sine * turn[:, :, i]
    turn[:, :, i] = first


_TURNS = [rotation.dof for rotation in ROTATIONS]
_FACTORS = np.array([[rotation.factor] for rotation in ROTATIONS])
_ZEROS = np.array([[rotation.zero] for rotation in ROTATIONS])


@dataclass(frozen=True)
class _Place:
    """One segment, or both sides of one, after what it hangs from.

    `offsets`: where its joint lies in its parent, axis and length (S, 1, 1), where not 0.
    `rotations`: which, about which axis of the segment, by which sign (S, 1, 1).
    """

    segments: slice
    parents: slice | None
    offsets: tuple[tuple[int, Array], ...]
    rotations: tuple[tuple[slice, int, Array], ...]


@cache
def _places() -> tuple[_Place, ...]:
    return tuple(
        _place(_sides(segment))
        for segment, name in enumerate(SEGMENTS)
        if part_of(name)[1] != "left"
    )


def _sides(segment: int) -> list[int]:
    part, side = part_of(SEGMENTS[segment])
    return [segment] if side == "mid" else [segment, SEGMENT[f"{part}_left"]]


def _place(segments: list[int]) -> _Place:
    offsets = joint_offsets()[segments]
    parents = [PARENT[segment] for segment in segments]
    rotations = []
    for mates in zip(*(ROTATIONS_OF[segment] for segment in segments), strict=True):
        signs = np.sign([ROTATIONS[k].factor for k in mates])[:, None, None]
        rotations.append((_every(mates), ROTATIONS[mates[0]].axis, signs))
    return _Place(
        _every(segments),
        None if parents[0] < 0 else _every(parents),
        tuple((j, offsets[:, j, None, None]) for j in range(3) if offsets[:, j].any()),
        tuple(rotations),
    )


def _every(numbers: list[int] | tuple[int, ...]) -> slice:
    """One number, or two, as a slice."""
    first, last = numbers[0], numbers[-1]
    return slice(first, last + 1, max(1, last - first))
