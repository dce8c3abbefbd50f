"""Names of contacts as a library writes them."""

from __future__ import annotations

from rungbook.body.contacts import Contact
from rungbook.body.points import BodyPoint

_SHOWN = {"heel-back": "heel", "foot-edge": "foot"}


def contact_name(contact: Contact) -> str:
    """`forefoot`, `other-heel`."""
    point = _SHOWN.get(contact.point, contact.point)
    return f"other-{point}" if contact.side == "left" else point


def point_name(point: BodyPoint) -> str:
    """`foot`, `other-knee`."""
    return f"other-{point.name}" if point.side == "left" else point.name
