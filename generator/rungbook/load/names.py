"""Names of contacts and angles as a library writes them."""

from __future__ import annotations

from rungbook.body.contacts import PHASES, Contact
from rungbook.body.joints import DOFS
from rungbook.body.points import BodyPoint

_SHOWN = {"heel-back": "heel", "foot-edge": "foot"}


def contact_name(contact: Contact) -> str:
    """`forefoot`, `other-heel`."""
    point = _SHOWN.get(contact.point, contact.point)
    return f"other-{point}" if contact.side == "left" else point


def point_name(point: BodyPoint) -> str:
    """`foot`, `other-knee`."""
    return f"other-{point.name}" if point.side == "left" else point.name


_ROOM = {"pitch": "trunk forward-lean", "roll": "trunk side-lean", "yaw": "trunk turn"}


def angle_name(dof: int) -> str:
    """`working hip flexion`, `lumbar flexion`, `trunk forward-lean`."""
    side, joint, axis = DOFS[dof]
    if joint == "root":
        return _ROOM.get(axis, axis)
    return {"right": "working ", "left": "other ", "mid": ""}[side] + f"{joint} {axis}"


def phase_name(phase: int) -> str:
    """`at the start`, `at 30 % of the movement`, `at the end`."""
    ends = {0: "at the start", PHASES - 1: "at the end"}
    return ends.get(phase, f"at {phase * 10} % of the movement")
