"""Names of contacts as a library writes them."""

from __future__ import annotations

from rungbook.body.contacts import Contact

_SHOWN = {"heel-back": "heel", "foot-edge": "foot"}


def contact_name(contact: Contact) -> str:
    """`forefoot`, `other-heel`."""
    point = _SHOWN.get(contact.point, contact.point)
    return f"other-{point}" if contact.side == "left" else point
