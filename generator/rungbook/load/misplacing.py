"""What loads would be if angles were not quite as written, or surfaces not quite where they are.

A joint is read to two degrees at best and a seat stands a centimetre higher or lower: each written
angle and each height or distance is moved by as much, one at a time, and the posture settles anew.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from rungbook.body.contacts import Contact
from rungbook.body.joints import DOFS, JOINT_DOFS, MIRROR, MIRROR_SIGN
from rungbook.body.posture import Fit, Posture
from rungbook.body.segments import SegmentTable
from rungbook.body.settle import Wanted, settle
from rungbook.load.faults import posture_faults
from rungbook.load.posture import Setup
from rungbook.load.result import STOPS
from rungbook.load.way_load import Person, WayLoad, way_loads

Array = NDArray[np.float64]
BY_DEG, BY_M = (
    2.0,
    0.01,
)  # a goniometer is read to about 5 degrees, by one person to 2; a rule to 1 cm
_JOINTS = frozenset(JOINT_DOFS)


def misplaced(
    ways: Sequence[WayLoad], table: SegmentTable, reference: Person
) -> Iterator[dict[str, Array]]:
    """Of each way by what is moved: moments (34, 11) over mass and stature, all phases.

    What cannot settle when moved is left out.
    """
    moved = [
        (n, name, replace(way.asked[0], posture=posture))
        for n, way in enumerate(ways)
        for name, posture in _moved(way.asked[0], reference.stature)
    ]
    found: list[dict[str, Array]] = [{} for _ in ways]
    settled = settle([Wanted(setup.posture, (Fit(table.name),)) for *_, setup in moved])
    again = [
        (setup, one[0], ways[n].forces) for (n, _, setup), one in zip(moved, settled, strict=True)
    ]
    for (n, name, _), load in zip(moved, way_loads(again, [table], reference, False), strict=True):
        if not any(fault.check in STOPS for fault in posture_faults([load])):
            found[n][name] = load.body[table.name] + load.fixed[table.name] / reference.mass
    yield from found


def _moved(setup: Setup, stature: float) -> Iterator[tuple[str, Posture]]:
    """The posture with each thing moved a little, by name."""
    posture = setup.posture
    for dof in np.flatnonzero(setup.written).tolist():
        side, joint, axis = DOFS[dof]
        mirror = MIRROR[dof]
        if dof not in _JOINTS or (posture.symmetric and mirror != dof and side == "left"):
            continue
        angles = posture.angles.copy()
        angles[dof] += np.radians(BY_DEG)
        if posture.symmetric and mirror != dof:
            angles[mirror] = MIRROR_SIGN[dof] * angles[dof]
        other = "other " if side == "left" else ""
        yield f"{other}{joint} {axis} as written", replace(posture, angles=angles)
    for number in sorted({c.index for c in posture.contacts if c.metric and not c.steadies}):
        contacts = tuple(
            _shifted(c, BY_M / stature) if c.index == number and c.metric else c
            for c in posture.contacts
        )
        point = next(c.point for c in posture.contacts if c.index == number)
        yield f"surface of the {point}", replace(posture, contacts=contacts)


def _shifted(contact: Contact, by: float) -> Contact:
    if contact.distance is not None:
        return replace(contact, distance=contact.distance + by)
    return replace(contact, offset=(contact.offset or 0.0) + by)
