"""What is shown of one way for a person: curves, and the forces at one phase."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from rungbook.body.statics import GRAVITY
from rungbook.load.burdens import pressure_moment
from rungbook.load.curves import JointCurves, axis_of
from rungbook.load.names import contact_name
from rungbook.load.person import Person
from rungbook.load.result import PHASES, PointForce
from rungbook.load.scaling import JOINT_NAMES
from rungbook.load.solved import solved_rows
from rungbook.load.way_load import WayLoad

Array = NDArray[np.float64]


def point_of(values: Array) -> tuple[float, float, float]:
    x, y, z = (float(value) for value in values)
    return (x, y, z)


def reactions_of(way: WayLoad, phase: int, person: Person) -> tuple[PointForce, ...]:
    weight = person.mass_kg * GRAVITY
    found = []
    for one in way.reactions:
        if one.contact.active[phase]:
            force = point_of(one.forces(person.body, person.mass_kg)[:, phase])
            share = float(np.linalg.norm(force)) / weight
            found.append(PointForce(contact_name(one.contact), force, share))
    return tuple(found)


def assistance_of(way: WayLoad, phase: int, person: Person) -> tuple[PointForce, ...]:
    weight = person.mass_kg * GRAVITY
    found = []
    for name, _, _, per_kg in way.assistance:
        force = point_of(per_kg[person.body][:, phase] * person.mass_kg)
        found.append(PointForce(name, force, float(np.linalg.norm(force)) / weight))
    for outer, _, pull in way.outer:
        if outer.kind == "assistance":
            force = point_of(pull[phase])
            found.append(PointForce(outer.at, force, float(np.linalg.norm(force)) / weight))
    return tuple(found)


def bearing_of(way: WayLoad, limb: str, person: Person) -> Array:
    """(11,) Share of body weight through the working leg or arm."""
    total = np.zeros((3, PHASES))
    for one in way.reactions:
        if one.contact.side != "left" and one.contact.body_point.limb == limb:
            total += one.forces(person.body, person.mass_kg) * np.array(one.contact.active)
    total += pushed_back(way, limb)
    share: Array = np.linalg.norm(total, axis=0) / (person.mass_kg * GRAVITY)
    return share


def pushed_back(way: WayLoad, limb: str) -> Array:
    """(3, 11) N of the machines that the working leg or arm pushes against."""
    total = np.zeros((3, PHASES))
    for force, _, pull in way.outer:
        if force.borne and force.point.side != "left" and force.point.limb == limb:
            total += pull.T
    return total


def margin_of(way: WayLoad, phase: int, person: Person) -> float | None:
    base = way.settled.bases[phase]
    if base is None:
        return None
    moments, weights = pressure_moment(way, person.body, person.mass_kg)
    return base.margin(moments[:, phase], float(weights[phase])) * person.stature_m


def curves_of(way: WayLoad, angles: Array, moments: Array) -> JointCurves:
    """All joint axes; not the spine's where a surface carries it: its moments are not known."""
    solved = solved_rows(way.setup.supports.free)
    still = ~way.angles[_MIDLINE].any(axis=1)
    left_out = _MIDLINE[still & (solved[_MIDLINE] == 0)]
    return JointCurves(angles, moments, tuple(left_out.tolist()))


_MIDLINE = np.array(
    [row for row, name in enumerate(JOINT_NAMES) if axis_of(name)[0] is None], dtype=np.intp
)
