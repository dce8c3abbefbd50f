"""What a drawing needs of a solved way: points, surfaces and forces, in metres."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from rungbook.body.contacts import Contact
from rungbook.load.names import contact_name
from rungbook.load.result import Applied, Skeleton, Surface
from rungbook.load.way_load import WayLoad

Array = NDArray[np.float64]


def skeleton(way: WayLoad, stature: float) -> Skeleton:
    """The body over the movement, with what it rests on and what pulls at it."""
    points = {name: place * stature for name, place in way.points.items()}
    contacts = way.setup.posture.contacts
    surfaces = [
        _surface(way, contact, float(way.settled.offsets[n]), stature)
        for n, contact in enumerate(contacts)
    ]
    surfaces += [
        _surface(way, contact, contact.offset, stature) for contact in way.setup.supports.trunk
    ]
    applied = [
        Applied(force.kind, force.at, force.label, place * stature, pull)
        for force, place, pull in way.outer
    ]
    for name, _, place, per_kg in way.assistance:
        up = next(iter(per_kg.values())).T
        applied.append(Applied("assistance", name, "", place * stature, up))
    return Skeleton(points, tuple(surfaces), tuple(applied), way.setup.way)


def _surface(way: WayLoad, contact: Contact, offset: float | None, stature: float) -> Surface:
    normal = np.array(contact.normal)
    place = _place(way, contact)
    deepest = float(contact.body_point.patch.depth.max())
    height = float(place @ normal) - deepest if offset is None else offset
    origin = place - (float(place @ normal) - height) * normal
    x, y, z = (float(v) * stature for v in origin)
    return Surface(
        contact.surface, contact_name(contact), (x, y, z), contact.normal, contact.touch,
        contact.active,
    )  # fmt: skip


def _place(way: WayLoad, contact: Contact) -> Array:
    """Roughly where a patch lies at the first phase it is there, from the skeleton's points."""
    phase = contact.active.index(True) if True in contact.active else 0
    side = {"right": "working ", "left": "other ", "mid": ""}[contact.side]
    near = _NEAR[contact.point]
    place: Array = way.points[near if near in _MIDLINE else side + near][phase]
    return place


_MIDLINE = frozenset({"head", "chest", "pelvis"})
_NEAR = {
    "head": "head", "upper-back": "chest", "pelvis": "pelvis", "seat": "pelvis",
    "shoulder": "shoulder", "hip": "hip", "elbow": "elbow", "forearm": "elbow", "wrist": "wrist",
    "hand": "wrist", "thigh": "knee", "knee": "knee", "shank": "knee", "ankle": "ankle",
    "heel": "heel", "heel-back": "heel", "forefoot": "ball", "foot": "ankle", "foot-edge": "ankle",
}  # fmt: skip
