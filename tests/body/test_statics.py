"""Statics keeps the symmetries of space, and contact forces balance with the smallest forces."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builders.corners import on_corners
from rungbook.body.joints import DOF, DOFS, JOINT_DOFS, MIRROR, MIRROR_SIGN
from rungbook.body.kinematics import forward
from rungbook.body.segments import segment_table
from rungbook.body.statics import centre_of_mass, muscle_moments, reported_axes, weight

BASE = np.eye(3)[:, :, None]
angle_lists = st.lists(st.floats(-1.2, 1.2), min_size=len(DOFS), max_size=len(DOFS))


def moments(angles: np.ndarray) -> np.ndarray:
    pose = forward(angles[:, None], BASE)
    return muscle_moments(pose, weight(pose, segment_table("female")), reported_axes(pose))[:, 0]


@settings(max_examples=40, deadline=None)
@given(values=angle_lists, turn=st.floats(-3, 3))
def test_turning_the_room_about_the_vertical_changes_nothing(
    values: list[float], turn: float
) -> None:
    angles = np.array(values)
    turned = angles.copy()
    turned[DOF["mid", "root", "yaw"]] += turn
    assert moments(turned) == pytest.approx(moments(angles), abs=1e-9)


@settings(max_examples=40, deadline=None)
@given(values=angle_lists)
def test_a_mirror_image_has_mirror_image_moments(values: list[float]) -> None:
    angles = np.array(values)
    mirrored = angles[list(MIRROR)] * np.array(MIRROR_SIGN)
    rows = [JOINT_DOFS.index(MIRROR[dof]) for dof in JOINT_DOFS]
    sign = np.array([MIRROR_SIGN[dof] for dof in JOINT_DOFS])
    assert moments(mirrored) == pytest.approx(moments(angles)[rows] * sign, abs=1e-9)


def test_moments_are_the_gradient_of_the_height_of_the_centre_of_mass() -> None:
    # Virtual work: at every axis that is one joint, dV/dq = M. The spine's angles turn two joints.
    generator = np.random.default_rng(3)
    angles = generator.uniform(-1, 1, len(DOFS))
    table, step = segment_table("male"), 1e-6

    def potential(values: np.ndarray) -> float:
        return 9.81 * float(centre_of_mass(forward(values[:, None], BASE), table)[2, 0])

    pose = forward(angles[:, None], BASE)
    ours = muscle_moments(pose, weight(pose, table), reported_axes(pose, False))[:, 0]
    for row, dof in enumerate(JOINT_DOFS):
        if DOFS[dof][1] == "lumbar":
            continue
        up, down = angles.copy(), angles.copy()
        up[dof] += step
        down[dof] -= step
        assert ours[row] == pytest.approx((potential(up) - potential(down)) / (2 * step), abs=1e-6)


def feet(
    places: list[tuple[float, float]], centre: tuple[float, float]
) -> tuple[np.ndarray, float]:
    x, y = centre
    solved = on_corners([[*place, 0.0] for place in places], [0, 0, -1.0, -y, x, 0])
    return solved.force[0, :, 0], float(np.abs(solved.rest).max())


def test_four_corners_share_a_centred_weight_alike() -> None:
    sizes, rest = feet([(0, 0), (1, 0), (1, 1), (0, 1)], (0.5, 0.5))
    assert sizes == pytest.approx([0.25] * 4)
    assert rest < 1e-9


def test_no_corner_pulls_where_the_others_can_push() -> None:
    # Centre near one corner: the smallest pushing forces, by the conditions of Karush, Kuhn and
    # Tucker: corners that push lie on a plane λ·(1, x, y), the others below it.
    places = [(0, 0), (1, 0), (1, 1), (0, 1)]
    sizes, rest = feet(places, (0.9, 0.85))
    assert rest < 1e-9
    assert sizes.min() >= -1e-12
    pushing = [n for n, size in enumerate(sizes) if size > 1e-9]
    plane = np.linalg.lstsq([[1, *places[n]] for n in pushing], sizes[pushing], rcond=None)[0]
    for n, place in enumerate(places):
        assert sizes[n] == pytest.approx(max(0.0, float(plane @ [1, *place])), abs=1e-9)


def test_a_weight_outside_its_corners_cannot_be_carried() -> None:
    _, rest = feet([(0, 0), (1, 0), (1, 1), (0, 1)], (1.2, 0.5))
    assert rest > 1e-3
