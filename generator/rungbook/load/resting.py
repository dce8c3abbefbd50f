"""What the body rests on: written contacts, a position's own, and which limbs are free."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from functools import cache
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from rungbook.body.contacts import ALWAYS, Contact, Link
from rungbook.body.joints import JOINT_LIMB, Side
from rungbook.body.points import BodyPoint, body_point, is_sided
from rungbook.body.positions import Position
from rungbook.load.result import PHASES, Fault
from rungbook.load.surfaces import (
    CARRYING,
    LYING,
    TRUNK,
    UP,
    point_sides,
    tilt_of,
    written_contacts,
    written_links,
)
from rungbook.model.exercise import Exercise
from rungbook.model.movement import split_side

Array = NDArray[np.float64]
Limb = tuple[str, str]  # ("right", "leg"), ("mid", "spine"), ("mid", "neck")
SPINE, NECK, TRUNK_LIMB = ("mid", "spine"), ("mid", "neck"), ("mid", "trunk")
LIMBS: tuple[Limb, ...] = (("right", "leg"), ("left", "leg"), ("right", "arm"), ("left", "arm"))


@dataclass(frozen=True)
class Supports:
    """What carries whom.

    `contacts` shape the posture, and `links` of limbs that rest on limbs; `free` limbs are solved;
    `rests` are contacts of free limbs in a position whose trunk is carried; `trunk` is for the
    drawing.
    """

    contacts: tuple[Contact, ...]
    links: tuple[Link, ...]
    carried: bool
    free: frozenset[Limb]
    rests: tuple[Contact, ...]
    trunk: tuple[Contact, ...]
    symmetric: bool
    constant: bool
    flat: bool  # hands rest at the height of the trunk's own surface
    tilt: Array | None
    seat_height: float | None
    faults: tuple[Fault, ...] = field(default=())


def find_supports(
    exercise: Exercise,
    place: Position,
    stature: float,
    way: Literal["both", "up", "down"],
    written_limbs: frozenset[Limb],
    moving_limbs: frozenset[Limb],
) -> Supports:
    """Contacts of one way of an exercise, resolved to sides and planes."""
    faults: list[Fault] = []
    tilt = tilt_of(exercise, place)
    normal = UP if tilt is None else tuple(float(v) for v in tilt @ np.array(UP))
    written = _within_body_weight(
        written_contacts(exercise, place, stature, way, normal, faults), faults
    )
    links = written_links(exercise, stature, way)
    trunk_written = [c for c in written if c.point in TRUNK and c.point != "head"]
    carried = bool(place.carried) and not _frees_pelvis(place, trunk_written)
    loaded = _loaded_limbs(exercise)
    free = _free_limbs(place, carried, written_limbs, moving_limbs, loaded)
    free |= _free_spine(exercise, carried, moving_limbs, loaded)
    linked = {(link.point.side, link.point.limb) for link in links if not link.touch}
    defaults = [
        contact
        for contact in _defaults(exercise, place, carried, written, free, normal)
        if (contact.side, contact.body_point.limb) not in linked
    ]
    seat_height = _seat_height(place, written)
    contacts = [*written, *defaults]
    if carried:
        held = [c for c in contacts if c.point not in TRUNK]
        trunk = tuple(c for c in contacts if c.point in TRUNK)
        rests = tuple(c for c in contacts if _limb(c) in free and c.index >= 0)
    else:
        lies = {NECK} - free  # in bridging, the head that stays on the floor carries itself
        held, rests = [c for c in contacts if _limb(c) not in lies], ()
        trunk = tuple(c for c in contacts if _limb(c) in lies)
        _nothing_carries(exercise, held, faults)
    return Supports(
        tuple(held), tuple(links), carried, free, rests, trunk, _mirrored(contacts),
        all(active == ALWAYS for active in [*(c.active for c in held), *(n.active for n in links)]),
        place.orientation in LYING or place.name == "quadruped",
        tilt, seat_height, tuple(faults),
    )  # fmt: skip


MOST_SHARED = 0.99


def _within_body_weight(contacts: list[Contact], faults: list[Fault]) -> list[Contact]:
    """Written shares leave something to the other contacts; else they are a fault, and halved."""
    total = sum(contact.share or 0.0 for contact in contacts)
    if total <= MOST_SHARED:
        return contacts
    first = next(contact for contact in contacts if contact.share)
    message = (
        f"the written shares add up to {total:.0%} of body weight and leave nothing to the other "
        "contacts: lower a share, or leave it out and let it be computed"
    )
    faults.append(Fault("not-in-balance", message, ("contacts", first.index, "share")))
    return [
        replace(contact, share=contact.share / (2 * total)) if contact.share else contact
        for contact in contacts
    ]


def _nothing_carries(exercise: Exercise, contacts: list[Contact], faults: list[Fault]) -> None:
    for phase in range(PHASES):
        if not any(c.active[phase] and c.carries for c in contacts):
            message = (
                f"nothing carries the body in {exercise.position}: "
                "write what it stands or rests on under contacts"
            )
            faults.append(Fault("not-in-balance", message, ("contacts",)))
            return


def _frees_pelvis(place: Position, trunk: list[Contact]) -> bool:
    if place.orientation not in LYING or not trunk:
        return False
    if any(c.slides for c in trunk):
        return True
    return not any(c.point in CARRYING for c in trunk)


def _seat_height(place: Position, written: list[Contact]) -> float | None:
    if place.seat_depth is None:
        return None
    heights = [c.offset for c in written if c.point == "seat" and c.offset is not None]
    return heights[0] + place.seat_depth if heights else None


def _loaded_limbs(exercise: Exercise) -> frozenset[Limb]:
    limbs: set[Limb] = set()
    points = [*(load.at for load in exercise.resistance), *(help.at for help in exercise.assist)]
    for at in points:
        sides = point_sides(at, exercise.sides == "both") if at is not None else None
        if sides is not None:
            limbs |= {limb_of(body_point(sides[0], side)) for side in sides[1]}
    return frozenset(limbs)


def _free_limbs(
    place: Position,
    carried: bool,
    written_limbs: frozenset[Limb],
    moving_limbs: frozenset[Limb],
    loaded: frozenset[Limb],
) -> frozenset[Limb]:
    """Limbs whose joints are solved: all of them where nothing carries the trunk."""
    if not carried and not place.carried:
        return frozenset((*LIMBS, SPINE, NECK))
    if not carried:  # bridging: arms and head stay on the floor unless they are used
        arms = {limb for limb in LIMBS if limb[1] == "arm" and limb in moving_limbs | loaded}
        return frozenset({("right", "leg"), ("left", "leg"), SPINE, *arms})
    return frozenset(limb for limb in (*written_limbs, *loaded) if limb in LIMBS)


def _free_spine(
    exercise: Exercise, carried: bool, moving_limbs: frozenset[Limb], loaded: frozenset[Limb]
) -> frozenset[Limb]:
    """Of a trunk that is carried: a moving lumbar or neck frees what lies above it.

    So does a load at the head, or at a trunk whose muscles the exercise is about.
    """
    if not carried:
        return frozenset()
    works = {action.joint for action in exercise.works}
    if SPINE in moving_limbs or ("lumbar" in works and loaded & {TRUNK_LIMB, NECK}):
        return frozenset({SPINE, NECK, ("right", "arm"), ("left", "arm")})
    return frozenset({NECK} & (moving_limbs | loaded))


def limb_of(point: BodyPoint) -> Limb:
    """What a point belongs to; the head, to the neck."""
    if point.name == "head":
        return NECK
    return TRUNK_LIMB if point.limb == "trunk" else (point.side, point.limb)


def _limb(contact: Contact) -> Limb:
    return limb_of(contact.body_point)


def _defaults(
    exercise: Exercise,
    place: Position,
    carried: bool,
    written: list[Contact],
    free: frozenset[Limb],
    normal: tuple[float, ...],
) -> list[Contact]:
    """The position's own contacts that nothing replaces."""
    replaced = {_limb(c) for c in written} - {TRUNK_LIMB}
    trunk_written = any(_limb(c) == TRUNK_LIMB for c in written)
    lifted = _lifted(exercise, place, carried, free)
    supports = []
    for name in _standing(exercise, place):
        bare, other = split_side(name)
        side: Side = ("left" if other else "right") if is_sided(bare) else "mid"
        limb = limb_of(body_point(bare, side))
        if limb in (TRUNK_LIMB, NECK) and place.carried and not carried:
            continue
        if (limb == TRUNK_LIMB and trunk_written) or limb in replaced or limb in lifted:
            continue
        point = place.patches.get(bare, bare)
        on_trunk = limb in (TRUNK_LIMB, NECK)
        offset = None if on_trunk and place.orientation not in LYING else 0.0
        supports.append(_on_floor(point, side, normal, offset))
    if not carried and place.carried and place.orientation == "supine":
        both: tuple[Side, Side] = ("right", "left")
        supports += [
            replace(_on_floor("forearm", side, normal, 0.0), slides=True, touch=True)
            for side in both
            if (side, "arm") not in free | replaced
        ]
    if not carried and not any(c.carries for c in (*supports, *written)):
        return _standing_contacts(exercise, place, normal)
    return supports


def _standing_contacts(
    exercise: Exercise, place: Position, normal: tuple[float, ...]
) -> list[Contact]:
    contacts = []
    for name in _standing(exercise, place):
        bare, other = split_side(name)
        side: Side = ("left" if other else "right") if is_sided(bare) else "mid"
        point = place.patches.get(bare, bare)
        contacts.append(_on_floor(point, side, normal, 0.0))
    return contacts


@cache
def _on_floor(point: str, side: Side, normal: tuple[float, ...], offset: float | None) -> Contact:
    return Contact(point, side, "floor", (normal[0], normal[1], normal[2]), offset)


def _standing(exercise: Exercise, place: Position) -> tuple[str, ...]:
    """Default contacts; one-leg standing on the leg that was asked for."""
    names = place.contacts
    if exercise.front == "other" and place.name == "half-kneeling":
        return tuple(name[6:] if name.startswith("other-") else f"other-{name}" for name in names)
    if exercise.stands_on == "other" and "foot" in names and "other-foot" not in names:
        return tuple("other-foot" if name == "foot" else name for name in names)
    return names


def _lifted(
    exercise: Exercise, place: Position, carried: bool, free: frozenset[Limb]
) -> frozenset[Limb]:
    """Limbs that have left their default contact because they move or are posed."""
    if carried:
        return free
    if place.keep or exercise.sides == "both" or place.name == "side-plank":
        return frozenset()
    moved = {split_side(joint) for item in exercise.movement for joint in item}
    posed = {split_side(joint) for joint in exercise.posture if joint.startswith("other-")}
    lifted: set[Limb] = set()
    for joint, other in moved | posed:
        if joint in JOINT_LIMB:
            lifted.add(("left" if other else "right", JOINT_LIMB[joint]))
    if exercise.stands_on is not None:
        lifted.discard(("right" if exercise.stands_on == "working" else "left", "leg"))
        lifted.add(("left" if exercise.stands_on == "working" else "right", "leg"))
    return frozenset(lifted)


def _mirrored(contacts: list[Contact]) -> bool:
    """Whether every sided contact has its mirror image."""
    sides: dict[tuple[object, ...], set[Side]] = {}
    for c in contacts:
        alike = (c.point, c.surface, c.normal, c.offset, c.distance, c.slides, c.friction, c.share,
                 c.touch, c.grip, c.active, c.index)  # fmt: skip
        sides.setdefault(alike, set()).add(c.side)
    return all(("right" in each) == ("left" in each) for each in sides.values())
