"""How points move with each angle, against central differences of where they lie."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray

from rungbook.body.joints import DOFS, MIRROR, SEGMENTS
from rungbook.body.kinematics import Pose, forward
from rungbook.body.screws import Screws
from rungbook.body.segments import segment_table
from rungbook.body.settle_batch import places
from rungbook.body.settle_classes import Columns
from rungbook.body.statics import centre_of_mass

Array = NDArray[np.float64]
POSTURES = 3
STEP = 1e-6  # radians, or statures
CLASSES = [
    Columns(symmetric=False, legs=True, arms=True, rooted=False),
    Columns(symmetric=False, legs=True, arms=False, rooted=True),
    Columns(symmetric=True, legs=True, arms=True, rooted=False),
]


def bent(columns: Columns) -> tuple[Array, Array]:
    """Angles (dofs, N) of some postures, of mirror images where they are solved, and bases."""
    generator = np.random.default_rng(20260501)
    angles = np.zeros((len(DOFS), POSTURES))
    angles[list(columns.dofs)] = generator.uniform(-0.6, 0.9, (len(columns.dofs), POSTURES))
    if columns.symmetric:
        angles = mirrored(angles)
    return angles, np.repeat(np.eye(3)[:, :, None], POSTURES, axis=2)


def mirrored(angles: Array) -> Array:
    """The left side as the right."""
    left = [index for index, (side, _, _) in enumerate(DOFS) if side == "left"]
    answer = angles.copy()
    answer[left] = angles[[MIRROR[index] for index in left]]
    return answer


def changes(columns: Columns, measured: object, both_sides: bool) -> Array:
    """Central differences of what `measured` (a function of a pose) gives, a last axis a column."""
    assert callable(measured)
    angles, base = bent(columns)
    found = []
    for dof in columns.dofs:
        ends = []
        for step in (-STEP, STEP):
            moved = angles.copy()
            moved[dof] += step
            ends.append(measured(forward(mirrored(moved) if both_sides else moved, base)))
        found.append((ends[1] - ends[0]) / (2 * STEP))
    return np.stack(found, axis=-1)


@pytest.mark.parametrize("columns", CLASSES)
def test_points_move_as_differences_say(columns: Columns) -> None:
    angles, base = bent(columns)
    pose = forward(angles, base)
    generator = np.random.default_rng(1)
    segment = np.tile(np.arange(len(SEGMENTS)), (POSTURES, 1))
    local = generator.uniform(-0.1, 0.1, (*segment.shape, 3))
    along = generator.uniform(-1, 1, (POSTURES, 2, len(SEGMENTS), 3))
    moves = Screws.of(columns, pose).of_points(places(pose, segment, local), along, segment)

    def where(pose: Pose) -> Array:
        return np.einsum("ndcj,ncj->ndc", along, places(pose, segment, local))

    assert moves == pytest.approx(changes(columns, where, both_sides=False), abs=1e-8)


@pytest.mark.parametrize("columns", CLASSES)
def test_the_centre_of_mass_moves_as_differences_say(columns: Columns) -> None:
    table = segment_table("female")
    pose = forward(*bent(columns))
    centre, moves = Screws.of(columns, pose).of_mass(table.mass, table.centre, pose)
    assert centre == pytest.approx(centre_of_mass(pose, table).T, abs=1e-12)

    def where(pose: Pose) -> Array:
        return centre_of_mass(pose, table).T

    expected = changes(columns, where, both_sides=columns.symmetric)
    solved = moves if not columns.symmetric else moves[:, [0, 2]]  # sideways is not solved for
    expected = expected if not columns.symmetric else expected[:, [0, 2]]
    assert solved == pytest.approx(expected, abs=1e-8)
