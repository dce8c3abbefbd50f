"""How points move with each angle, against central differences of where they lie."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest
from numpy.typing import NDArray

from rungbook.body.joints import DOFS, SEGMENT, SEGMENTS
from rungbook.body.kinematics import Pose, forward
from rungbook.body.screws import FARTHEST, between, hanging, screws
from rungbook.body.segments import segment_table
from rungbook.body.settle_anchors import places
from rungbook.body.settle_columns import before, moved_by
from rungbook.body.statics import centre_of_mass

Array = NDArray[np.float64]
POSTURES = 3
STEP = 1e-6  # radians, or statures


def bent() -> tuple[Array, Array]:
    """Angles (dofs, N) of some postures, and bases."""
    generator = np.random.default_rng(20260501)
    angles = generator.uniform(-0.6, 0.9, (len(DOFS), POSTURES))
    return angles, np.repeat(np.eye(3)[:, :, None], POSTURES, axis=2)


def changes(measured: Callable[[Pose], Array]) -> Array:
    """Central differences of what `measured` gives, a last axis an angle."""
    angles, base = bent()
    found = []
    for dof in range(len(DOFS)):
        ends = []
        for step in (-STEP, STEP):
            moved = angles.copy()
            moved[dof] += step
            ends.append(measured(forward(moved, base)))
        found.append((ends[1] - ends[0]) / (2 * STEP))
    return np.stack(found, axis=-1)


def test_points_move_as_differences_say() -> None:
    pose = forward(*bent())
    generator = np.random.default_rng(1)
    # no patch lies on the segment between the two joints that share the lumbar angles
    beyond = [n for n in range(len(SEGMENTS)) if n != SEGMENT["abdomen"]]
    segment = np.tile(np.array(beyond), (POSTURES, 1))
    local = generator.uniform(-0.1, 0.1, (*segment.shape, 3))
    where, lines = places(pose, segment, local), screws(pose).transpose(2, 1, 0)
    turn, shift = lines[:, None, :3], lines[:, None, 3:]
    moves = np.cross(turn, where[..., None], axis=2) + shift
    moves *= moved_by()[segment][:, :, None]
    assert moves == pytest.approx(changes(lambda pose: places(pose, segment, local)), abs=1e-8)


def test_the_centre_of_mass_moves_as_differences_say() -> None:
    table = segment_table("female")
    mass, centre = table.mass[:, None], table.centre[..., None]
    pose = forward(*bent())
    hangs, lines = hanging(pose, mass, centre), screws(pose)
    assert hangs[0, :3] == pytest.approx(centre_of_mass(pose, table), abs=1e-12)
    beyond = hangs[FARTHEST]
    moves = np.cross(lines[:, :3], beyond[:, :3], axis=1) + lines[:, 3:] * beyond[:, 3:]
    for dof, moved in between(pose, mass, centre):
        moves[dof, :2] += moved
    expected = changes(lambda pose: centre_of_mass(pose, table)[:2].T)
    assert moves[:, :2].transpose(2, 1, 0) == pytest.approx(expected, abs=1e-8)


def test_an_angle_comes_before_those_whose_axis_it_turns() -> None:
    def axes(pose: Pose) -> Array:
        return screws(pose)[:, :3].transpose(2, 0, 1)

    turned = np.abs(changes(axes)).max(axis=(0, 2)) > 1e-6  # (turned, turning)
    comes = before() > 0
    # the second half of a lumbar angle is also turned by the first half of the angles after it
    split = [dof for dof, (_, joint, _) in enumerate(DOFS) if joint == "lumbar"]
    turned[np.ix_(split, split)] = False
    assert not (turned & ~comes.T).any()
