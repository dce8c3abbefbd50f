"""What a drawing needs of a solved way: points, surfaces and forces, in metres."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from rungbook.body.contacts import Contact
from rungbook.body.kinematics import forward
from rungbook.body.landmarks import skeleton_points
from rungbook.load.names import contact_name
from rungbook.load.result import PHASES, Applied, Skeleton, Surface
from rungbook.load.way_load import WayLoad

Array = NDArray[np.float64]


def skeleton(way: WayLoad, stature: float) -> Skeleton:
    """The body over the movement, with what it rests on and what pulls at it."""
    setup, settled = way.asked
    body = _points(way)
    surfaces = [
        _surface(body, contact, float(settled.offsets[n]), stature)
        for n, contact in enumerate(setup.posture.contacts)
    ]
    surfaces += [
        _surface(body, contact, contact.offset, stature) for contact in setup.supports.trunk
    ]
    applied = [
        Applied(force.kind, force.at, force.label, place * stature, pull)
        for force, place, pull in way.outer
    ]
    for name, _, place, per_kg in way.assistance:
        up = next(iter(per_kg.values())).T
        applied.append(Applied("assistance", name, "", place * stature, up))
    points = {name: place * stature for name, place in body.items()}
    return Skeleton(points, tuple(surfaces), tuple(applied), setup.way)


def _points(way: WayLoad) -> dict[str, Array]:
    """Places of the body as it was asked for, still on a surface that its load has left."""
    setup, settled = way.asked
    if settled is way.settled:
        return way.points
    base = np.repeat(setup.posture.base[..., None], PHASES, axis=-1)
    return skeleton_points(forward(settled.angles, base))


def _surface(
    body: dict[str, Array], contact: Contact, offset: float | None, stature: float
) -> Surface:
    normal = np.array(contact.normal)
    place = _place(body, contact)
    deepest = float(contact.body_point.patch.depth.max())
    height = float(place @ normal) - deepest if offset is None else offset
    origin = place - (float(place @ normal) - height) * normal
    x, y, z = (float(v) * stature for v in origin)
    return Surface(
        contact.surface, contact_name(contact), (x, y, z), contact.normal, contact.touch,
        contact.active,
    )  # fmt: skip


def _place(body: dict[str, Array], contact: Contact) -> Array:
    """Roughly where a patch lies at the first phase it is there, from the skeleton's points."""
    phase = contact.active.index(True) if True in contact.active else 0
    side = {"right": "working ", "left": "other ", "mid": ""}[contact.side]
    near = _NEAR[contact.point]
    place: Array = body[near if near in _MIDLINE else side + near][phase]
    return place


_MIDLINE = frozenset({"head", "chest", "pelvis"})
_NEAR = {
    "head": "head", "upper-back": "chest", "pelvis": "pelvis", "seat": "pelvis",
    "shoulder": "shoulder", "hip": "hip", "elbow": "elbow", "forearm": "elbow", "wrist": "wrist",
    "hand": "wrist", "thigh": "knee", "knee": "knee", "shank": "knee", "ankle": "ankle",
    "heel": "heel", "heel-back": "heel", "forefoot": "ball", "foot": "ankle", "foot-edge": "ankle",
}  # fmt: skip
