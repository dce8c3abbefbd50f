"""The engine's moments against two multi-body programs: MuJoCo in space, SymPy in the plane."""

from __future__ import annotations

import mujoco
import numpy as np
import pytest
import sympy
from sympy.physics import mechanics

from builders.poses import hung, moment, posed
from rungbook.body.joints import (
    DOFS,
    JOINT_DOFS,
    PARENT,
    ROTATIONS,
    ROTATIONS_OF,
    SEGMENT,
    SEGMENTS,
)
from rungbook.body.kinematics import forward
from rungbook.body.positions import position, position_names
from rungbook.body.segments import joint_offsets, segment_table
from rungbook.body.settle_columns import passive_range
from rungbook.body.statics import GRAVITY, REPORTED, muscle_moments, reported_axes, weight

POSTURES = 40
MASS, STATURE = 70.0, 1.75
COORDINATES = ("1 0 0", "0 1 0", "0 0 1")


def body_xml(segment: int, base: np.ndarray) -> str:
    """A segment as a MuJoCo body, with one hinge for each of its axes, and all beyond it."""
    table, offset = segment_table("male"), joint_offsets()[segment] * STATURE
    hinges = "".join(
        f'<joint name="r{k}" type="hinge" axis="{_axis(k)}"/>' for k in ROTATIONS_OF[segment]
    )
    mass = max(MASS * float(table.mass[segment]), 1e-9)
    centre = _text(table.centre[segment] * STATURE)
    inertia = f'<inertial pos="{centre}" mass="{mass!r}" diaginertia="1e-3 1e-3 1e-3"/>'
    children = "".join(body_xml(s, base) for s, parent in enumerate(PARENT) if parent == segment)
    if segment == 0:
        slides = "".join(f'<joint type="slide" axis="{axis}"/>' for axis in COORDINATES)
        quaternion = np.zeros(4)
        mujoco.mju_mat2Quat(quaternion, base.ravel())
        carrier = '<inertial pos="0 0 0" mass="1e-9" diaginertia="1e-9 1e-9 1e-9"/>'
        inside = f'<body name="s0" quat="{_text(quaternion)}">{inertia}{children}</body>'
        return f"<body>{slides}{hinges}{carrier}{inside}</body>"
    return f'<body name="s{segment}" pos="{_text(offset)}">{hinges}{inertia}{children}</body>'


def _axis(k: int) -> str:
    sign = "-" if ROTATIONS[k].factor < 0 else ""
    return COORDINATES[ROTATIONS[k].axis].replace("1", f"{sign}1")


def _text(values: np.ndarray) -> str:
    return " ".join(repr(float(value)) for value in values)


def model_of(base: np.ndarray) -> mujoco.MjModel:
    return mujoco.MjModel.from_xml_string(
        '<mujoco><compiler angle="radian" boundmass="0" boundinertia="0"/>'
        f'<option gravity="0 0 -{GRAVITY}"/><worldbody>{body_xml(0, base)}</worldbody></mujoco>'
    )


def random_postures(name: str, generator: np.random.Generator) -> np.ndarray:
    """Joint angles anywhere in the passive range, the trunk as the position holds it."""
    low, high = passive_range()
    angles = np.repeat(position(name).angles[:, None], POSTURES, axis=1).copy()
    joints = list(JOINT_DOFS)
    angles[joints] = generator.uniform(
        low[joints, None], high[joints, None], (len(joints), POSTURES)
    )
    angles[3:6] += generator.uniform(-0.5, 0.5, (3, POSTURES))
    return angles


@pytest.mark.parametrize("name", position_names())
def test_moments_agree_with_inverse_dynamics(name: str) -> None:
    # MuJoCo 3, mj_inverse at rest with outer forces on every segment: agreement to 1e-6.
    generator = np.random.default_rng(position_names().index(name) + 1)
    base = position(name).base
    angles = random_postures(name, generator)
    pose = forward(angles, base[:, :, None])
    wrench = weight(pose, segment_table("male"))
    wrench.force *= MASS
    wrench.torque *= MASS
    forces = generator.normal(0, 100, (len(SEGMENTS), 3, POSTURES))
    local = generator.normal(0, 0.1, (len(SEGMENTS), 3))
    for segment in range(len(SEGMENTS)):
        wrench.add_at(segment, slice(None), pose.point(segment, local[segment]), forces[segment])
    ours = muscle_moments(pose, wrench, reported_axes(pose, False)) * STATURE
    model = model_of(base)
    data = mujoco.MjData(model)
    for n in range(POSTURES):
        theirs = _inverse(model, data, angles[:, n], forces[:, :, n], local)
        assert ours[:, n] == pytest.approx(theirs, abs=1e-6)


def _inverse(
    model: mujoco.MjModel,
    data: mujoco.MjData,
    angles: np.ndarray,
    forces: np.ndarray,
    local: np.ndarray,
) -> np.ndarray:
    data.qpos[:3] = angles[:3] * STATURE
    for k, rotation in enumerate(ROTATIONS):
        share = abs(rotation.factor)
        data.qpos[_address(model, k)] = angles[rotation.dof] * share + abs(rotation.zero)
    data.qvel[:] = 0
    data.qacc[:] = 0
    mujoco.mj_inverse(model, data)
    applied = np.zeros(model.nv)
    for segment in range(len(SEGMENTS)):
        body = mujoco.mj_name2id(model, mujoco.mjtObj.mjOBJ_BODY, f"s{segment}")
        turn = data.xmat[body].reshape(3, 3)
        place = data.xpos[body] + turn @ (local[segment] * STATURE)
        mujoco.mj_applyFT(model, data, forces[segment], np.zeros(3), place, body, applied)
    needed = data.qfrc_inverse - applied
    return np.array([needed[_address(model, k)] for k in REPORTED])


def _address(model: mujoco.MjModel, k: int) -> int:
    return int(model.jnt_dofadr[mujoco.mj_name2id(model, mujoco.mjtObj.mjOBJ_JOINT, f"r{k}")])


def test_every_joint_axis_is_compared() -> None:
    assert len(REPORTED) == len(JOINT_DOFS) == len(DOFS) - 6


def chain_in_closed_form() -> tuple[list[sympy.Expr], tuple[sympy.Symbol, ...]]:
    """Kane's generalised active forces of thigh, shank and foot hanging in the plane."""
    hip, knee, ankle = mechanics.dynamicsymbols("hip knee ankle")
    speeds = mechanics.dynamicsymbols("u1 u2 u3")
    thigh, shank, a, b, c, m1, m2, m3, g = sympy.symbols("thigh shank a b c m1 m2 m3 g")
    room = mechanics.ReferenceFrame("room")
    origin = mechanics.Point("origin")
    origin.set_vel(room, 0)
    # Clinical signs: hip flexion and dorsiflexion turn forward, knee flexion backward.
    turns = [hip, hip - knee, hip - knee + ankle]
    rates = [speeds[0], speeds[0] - speeds[1], speeds[0] - speeds[1] + speeds[2]]
    frames = []
    for number, (turn, rate) in enumerate(zip(turns, rates, strict=True)):
        frame = room.orientnew(f"f{number}", "Axis", (-turn, room.y))
        frame.set_ang_vel(room, -rate * room.y)
        frames.append(frame)
    joint, particles = origin, []
    for frame, length, along, mass in zip(
        frames,
        (thigh, shank, 0),
        (-a * frames[0].z, -b * frames[1].z, c * frames[2].x),
        (m1, m2, m3),
        strict=True,
    ):
        centre = joint.locatenew(f"c{frame.name}", along)
        centre.v2pt_theory(joint, room, frame)
        particles.append((centre, -mass * g * room.z))
        following = joint.locatenew(f"j{frame.name}", -length * frame.z)
        following.v2pt_theory(joint, room, frame)
        joint = following
    active = [
        sum(mechanics.dot(force, centre.partial_velocity(room, u)) for centre, force in particles)
        for u in speeds
    ]
    symbols = (hip, knee, ankle, thigh, shank, a, b, c, m1, m2, m3, g)
    return [sympy.simplify(-force) for force in active], symbols


def test_a_planar_leg_agrees_with_its_closed_form() -> None:
    # SymPy's physics.mechanics: Kane's partial velocities, evaluated at random postures.
    formulas, symbols = chain_in_closed_form()
    evaluate = sympy.lambdify(symbols, formulas)
    generator = np.random.default_rng(7)
    offset = joint_offsets()
    thigh, shank = -offset[SEGMENT["shank_right"], 2], -offset[SEGMENT["foot_right"], 2]
    for _ in range(40):
        hip, knee, ankle = np.radians(generator.uniform((-20, 0, -40), (120, 140, 20)))
        a, b, c = generator.uniform(0.05, 0.2, 3)
        masses = generator.uniform(0.5, 10, 3)
        pose = posed(
            right_hip_flexion=np.degrees(hip), right_knee_flexion=np.degrees(knee),
            right_ankle_dorsiflexion=np.degrees(ankle),
        )  # fmt: skip
        leg = hung(
            pose,
            ("thigh_right", (0, 0, -a), (0, 0, -9.81 * masses[0])),
            ("shank_right", (0, 0, -b), (0, 0, -9.81 * masses[1])),
            ("foot_right", (c, 0, 0), (0, 0, -9.81 * masses[2])),
        )
        ours = [
            moment(pose, leg, "right", joint, axis)
            for joint, axis in (("hip", "flexion"), ("knee", "flexion"), ("ankle", "dorsiflexion"))
        ]
        theirs = evaluate(hip, knee, ankle, thigh, shank, a, b, c, *masses, 9.81)
        assert ours == pytest.approx([float(value) for value in theirs], abs=1e-9)
