"""An exercise as written becomes postures to settle: angles, contacts, who is free."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import cache
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from rungbook.body.contacts import ALWAYS, Contact
from rungbook.body.joints import DOF, DOFS, JOINT_LIMB, LIMB_OF, MIRROR, Side, dofs_of
from rungbook.body.kinematics import Pose, forward
from rungbook.body.positions import Position, is_mirror_image, position, position_names
from rungbook.body.posture import Posture
from rungbook.body.segments import data
from rungbook.load.angles import WrittenAngles, is_horizontal, written_angles
from rungbook.load.resting import Limb, Supports, find_supports
from rungbook.load.result import PHASES, Fault
from rungbook.model.exercise import Exercise
from rungbook.model.movement import MOVEMENTS

Array = NDArray[np.float64]
Bools = NDArray[np.bool_]
WayName = Literal["both", "up", "down"]
SIDES: tuple[Side, Side] = ("right", "left")
THIN = 0.06  # of stature: what is met so near to the surface lies flat on it


@dataclass(frozen=True)
class WayOut:
    """What would let a contact be reached: in words, and as data."""

    words: str
    kind: str
    by: float


@dataclass(frozen=True)
class Setup:
    """One way of one exercise, ready to settle.

    `free` limbs are solved; others are carried by what they rest on. `spine_free`: lumbar and
    neck moments mean something. `lead` is the dof that leads (None without a movement).
    `ways_out`: by contact number, what was tried where one cannot be reached, and works.
    """

    exercise: Exercise
    way: WayName
    position: Position
    posture: Posture
    supports: Supports
    written: Bools
    moving: Bools
    lead: int | None
    horizontal: bool
    ways_out: Mapping[int, WayOut] = field(default_factory=dict)

    @property
    def carried(self) -> bool:
        """Whether a surface carries the trunk."""
        return self.posture.rooted


def ways(exercise: Exercise) -> tuple[WayName, ...]:
    """`both`, or `up` and `down` apart where something is there on one way only."""
    present = [
        *(contact.during for contact in exercise.contacts),
        *(assist.during for assist in exercise.assist),
        *(load.during for load in exercise.resistance),
    ]
    split = any(during in ("up", "down") for during in present)
    dragged = any(contact.slides and contact.friction != 0 for contact in exercise.contacts)
    return ("up", "down") if split or (dragged and exercise.movement) else ("both",)


def set_up(exercise: Exercise, stature: float) -> tuple[list[Setup], list[Fault]]:
    """The postures of an exercise; faults where it cannot be understood.

    Args:
        stature: of the reference person, m: written heights become fractions of it.
    """
    if exercise.position not in position_names():
        known = ", ".join(position_names())
        message = f"there is no position {exercise.position!r}; choose one of {known}"
        return [], [Fault("wrong-value", message, ("position",))]
    place = _place(exercise)
    angles = written_angles(exercise, place)
    setups, faults = [], angles.faults
    for way in ways(exercise):
        supports = find_supports(
            exercise,
            place,
            stature,
            way,
            _limbs(angles.written),
            _limbs(angles.moving),
        )
        faults = faults + [fault for fault in supports.faults if fault not in faults]
        setups.append(_setup(exercise, way, place, angles, supports, stature))
    return setups, faults


def _place(exercise: Exercise) -> Position:
    """The position; who leaves the seat, or only reaches it at the end, is standing but for it."""
    seats = [contact for contact in exercise.contacts if contact.at in ("seat", "pelvis")]
    feet = any(contact.at in ("feet", "foot", "other-foot") for contact in exercise.contacts)
    leaves = bool(seats) and all(contact.during in ("start", "end") for contact in seats)
    if exercise.position == "sitting" and leaves and feet and exercise.movement:
        return position("standing")
    return position(exercise.position)


def _limbs(mask: Bools) -> frozenset[Limb]:
    limbs = {LIMB_OF[dof] for dof in np.flatnonzero(mask).tolist()}
    return frozenset(limbs - {("mid", "root")})


def _setup(
    exercise: Exercise,
    way: WayName,
    place: Position,
    angles: WrittenAngles,
    supports: Supports,
    stature: float,
) -> Setup:
    values, written = angles.values.copy(), angles.written
    _second_leg(values, written, place, supports)
    _raised_arms(values, written, supports)
    _reach(values, written, supports)
    rooted = supports.carried
    base = place.base
    if supports.tilt is not None:
        base = supports.tilt @ base
        if rooted:
            root = supports.tilt @ np.array([0.0, 0.0, values[2, 0]])
            values[0:3] = root[:, None]
    if rooted and supports.seat_height is not None:
        values[2] = supports.seat_height
    supports = _thin_surfaces(supports, values, base)
    gives = _gives(supports, exercise.sides == "both")
    exact, stiffness = _exactness(place, angles, supports)
    seats = [c.active for c in supports.contacts if c.point in ("seat", "pelvis") and c.carries]
    depth = place.seat_depth if rooted and supports.seat_height is not None else None
    symmetric = exercise.sides == "both" and is_mirror_image(values) and supports.symmetric
    posture = Posture(
        np.ascontiguousarray(base), values, exact, gives, stiffness, supports.contacts,
        symmetric, rooted,
        balanced=not rooted, still=not np.any(values != values[:, :1]) and supports.constant,
        stride=_stride(exercise, place, supports, stature),
        links=supports.links, path=angles.written, seat_depth=depth, loose=_costs(place.name)[:, 0],
        upright=np.any(seats, axis=0) if seats else np.zeros(PHASES, dtype=bool),
    )  # fmt: skip
    return Setup(
        exercise, way, place, posture, supports, written, angles.moving, angles.lead,
        is_horizontal(angles),
    )  # fmt: skip


def _thin_surfaces(supports: Supports, values: Array, base: Array) -> Supports:
    """A mat that is met near the ground lies on it; a table stands where it is met."""
    open_ones = [c for c in supports.contacts if c.offset is None and c.level]
    if not open_ones:
        return supports
    pose = forward(values[:, :1], base[:, :, None])
    flat = {
        contact: replace(contact, offset=0.0)
        for contact in open_ones
        if _lowest(contact, pose) < THIN
    }
    return replace(
        supports,
        contacts=tuple(flat.get(c, c) for c in supports.contacts),
        rests=tuple(flat.get(c, c) for c in supports.rests),
    )


def _lowest(contact: Contact, pose: Pose) -> float:
    normal = np.array(contact.normal)
    heights = [
        float(pose.point(corner.segment, np.array(corner.local))[:, 0] @ normal) - corner.depth
        for corner in contact.corners
    ]
    return min(heights)


def _stride(
    exercise: Exercise, place: Position, supports: Supports, stature: float
) -> float | None:
    feet = [c for c in supports.contacts if c.point in ("foot", "forefoot", "heel")]
    if len(feet) < 2 or supports.carried:
        return None
    written = exercise.stride / stature if exercise.stride is not None else place.stride
    if written is None:
        return None
    return -written if exercise.front == "other" else written


def _reach(values: Array, written: Bools, supports: Supports) -> None:
    """Default angles of arms that are put on something, and of legs under a body that sits."""
    for contact in supports.contacts:
        limb = contact.body_point.limb
        if contact.point == "seat" and not supports.carried:
            active = np.array(contact.active)
            _rest(values, written, active, "seat", ("right", "left"))
        if contact.index < 0 or limb != "arm":
            continue
        kind = "wall" if not contact.level else "raised"
        if contact.point in ("forearm", "elbow"):
            kind = "forearm"
        if kind != "raised" or not supports.flat:
            always = np.ones(PHASES, dtype=bool)
            _rest(values, written, always, kind, (contact.side,))


def _rest(values: Array, written: Bools, active: Bools, kind: str, sides: tuple[Side, ...]) -> None:
    for joint, movements in data("giving.yml")["reach"][kind].items():
        for movement, degrees in movements.items():
            axis, sign = MOVEMENTS[joint][movement]
            for side in sides:
                dof = DOF[side, joint, axis]
                if not written[dof]:
                    values[dof, active] = np.radians(sign * degrees)


def _raised_arms(values: Array, written: Bools, supports: Supports) -> None:
    """A raised arm hangs from the shoulder as in standing: a lap's elbow is that of an arm at rest.

    Otherwise an arm raised in sitting would be bent, and lighter, without anybody having said so.
    """
    put = {
        contact.side
        for contact in (*supports.contacts, *supports.rests)
        if contact.body_point.limb == "arm"
    }
    put |= {link.point.side for link in supports.links if link.point.limb == "arm"}
    hanging = position("standing").angles
    bend, sign = MOVEMENTS["elbow"]["flexion"]
    sides: tuple[Side, ...] = ("right", "left")
    for side in sides:
        elbow = DOF[side, "elbow", bend]
        raised = any(
            written[DOF[side, "shoulder", MOVEMENTS["shoulder"][name][0]]]
            for name in ("flexion", "abduction")
        )
        if raised and side not in put and not written[elbow]:
            values[elbow] = sign * np.minimum(sign * values[elbow], sign * hanging[elbow])


def _second_leg(values: Array, written: Bools, place: Position, supports: Supports) -> None:
    """In one-leg standing, a second leg that stands too does what the working one does.

    Where it alone stands, it is straight, whatever the working leg does in the air.
    """
    if place.name != "single-leg-standing":
        return
    legs = [c for c in supports.contacts if c.body_point.limb == "leg"]
    beside = [contact for contact in legs if contact.side == "left"]
    if not beside:
        return
    alone = len(beside) == len(legs)
    stays = not alone and any(contact.active == ALWAYS for contact in beside)
    for dof, (side, joint, _axis) in enumerate(DOFS):
        if side == "left" and JOINT_LIMB[joint] == "leg" and not written[dof]:
            values[dof] = values[MIRROR[dof]] if stays else 0.0


def _gives(supports: Supports, symmetric: bool) -> Bools:
    """Which angles may give way at which phase (dofs, 11): the trunk's, and of limbs in contact."""
    gives = np.zeros((len(DOFS), PHASES), dtype=bool)
    for contact in supports.contacts:
        limb = (contact.side, contact.body_point.limb)
        limb = ("mid", "neck") if contact.point == "head" else limb
        gives[list(dofs_of(limb))] |= np.array(contact.active)
    for link in supports.links:
        alike = link.point.limb == link.on.limb and (link.point.side, link.on.side) == SIDES
        for point in (link.point, link.on) if alike and symmetric else (link.point,):
            gives[list(dofs_of((point.side, point.limb)))] |= np.array(link.active)
    if not supports.carried:
        gives[list(dofs_of(("mid", "root"), ("mid", "spine")))] = True
    return gives


def _exactness(place: Position, angles: WrittenAngles, supports: Supports) -> tuple[Bools, Array]:
    """Which angles are exact at which phase, and what it costs to leave the others."""
    stiffness = _costs(place.name).copy()
    exact = np.empty(stiffness.shape, dtype=bool)
    exact[:] = angles.written[:, None]
    fixed = [c for c in supports.contacts if not c.slides and not c.touch]
    loose = len(fixed) >= 2 or (supports.carried and bool(supports.contacts))
    if not loose or angles.lead is None:
        return exact, stiffness
    _, name, axis = DOFS[angles.lead]
    sides = [(side, name, axis) for side in ("right", "left", "mid")]
    leading = [DOF[dof] for dof in sides if dof in DOF and angles.moving[DOF[dof]]]
    following = [dof for dof in np.flatnonzero(angles.written).tolist() if dof not in leading]
    giving = data("giving.yml")["written"]
    exact[following, 1:-1] = False
    stiffness[following, 1:-1] = float(giving["between"])
    for end in (0, -1):  # what stands where it stands wins over the angles at the ends
        if any(contact.metric and contact.active[end] for contact in fixed):
            exact[following, end] = exact[leading, end] = False
            stiffness[following, end] = float(giving["following"])
            stiffness[leading, end] = float(giving["leading"])
    return exact, stiffness


@cache
def _costs(position_name: str) -> Array:
    """What it costs each angle to leave its rest (dofs, 11), in a position."""
    costs = {**data("giving.yml")["stiffness"], **position(position_name).stiffness}
    each = np.array([float(costs[f"{joint} {axis}"]) for _, joint, axis in DOFS])
    return np.repeat(each[:, None], PHASES, axis=1)
