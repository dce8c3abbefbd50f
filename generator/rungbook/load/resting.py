"""What the body rests on: written contacts, a position's own, and which limbs are free."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from rungbook.body.contacts import ALWAYS, Contact
from rungbook.body.joints import JOINT_LIMB, Side
from rungbook.body.points import body_point, is_sided, point_names, singular
from rungbook.body.positions import Position
from rungbook.load.result import PHASES, Fault
from rungbook.model.exercise import Contact as WrittenContact
from rungbook.model.exercise import Exercise
from rungbook.model.movement import split_side

Array = NDArray[np.float64]
Limb = tuple[str, str]  # ("right", "leg"), ("mid", "spine"), ("mid", "neck")
LIMBS: tuple[Limb, ...] = (("right", "leg"), ("left", "leg"), ("right", "arm"), ("left", "arm"))
_CARRYING = frozenset({"pelvis", "seat", "hip"})
_TRUNK = frozenset({"pelvis", "seat", "hip", "upper-back", "shoulder", "head"})
_LYING = frozenset({"supine", "prone", "left-up", "right-up"})
UP = (0.0, 0.0, 1.0)


@dataclass(frozen=True)
class Supports:
    """What carries whom.

    `contacts` shape the posture; `free` limbs are solved; `rests` are contacts of free limbs
    in a position whose trunk is carried. `trunk_surfaces` are for the drawing.
    """

    contacts: tuple[Contact, ...]
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
    tilt = _tilt(exercise, place)
    normal = UP if tilt is None else tuple(float(v) for v in tilt @ np.array(UP))
    written = _written(exercise, place, stature, way, normal, faults)
    trunk_written = [c for c in written if c.point in _TRUNK]
    carried = bool(place.carried) and not _frees_pelvis(place, trunk_written)
    loaded = _loaded_limbs(exercise)
    free = _free_limbs(exercise, place, carried, written, written_limbs, moving_limbs, loaded)
    defaults = _defaults(exercise, place, carried, written, free, normal)
    seat_height = _seat_height(place, written)
    contacts = [*written, *defaults]
    if carried:
        held = [c for c in contacts if c.point not in _TRUNK]
        trunk = tuple(c for c in contacts if c.point in _TRUNK)
        rests = tuple(c for c in held if (c.side, c.body_point.limb) in free and c.index >= 0)
    else:
        held, trunk, rests = contacts, (), ()
        _reject_nothing(exercise, held, faults)
    return Supports(
        tuple(held), carried, free, rests, trunk, _mirrored(contacts),
        all(c.active == ALWAYS for c in held), place.orientation in _LYING or place.name == "quadruped",
        tilt, seat_height, tuple(faults),
    )  # fmt: skip


def _reject_nothing(exercise: Exercise, contacts: list[Contact], faults: list[Fault]) -> None:
    for phase in range(PHASES):
        if not any(c.active[phase] and c.carries for c in contacts):
            message = (
                f"nothing carries the body in {exercise.position}: "
                "write what it stands or rests on under contacts"
            )
            faults.append(Fault("not-in-balance", message, ("contacts",)))
            return


def _tilt(exercise: Exercise, place: Position) -> Array | None:
    """Turn of a sloping surface about the side axis: uphill to the head, or to the front."""
    if exercise.incline == 0:
        return None
    uphill_forward = place.orientation in ("upright", "prone")
    angle = np.radians(-exercise.incline if uphill_forward else exercise.incline)
    cosine, sine = np.cos(angle), np.sin(angle)
    turn = np.array([[cosine, 0, sine], [0, 1, 0], [-sine, 0, cosine]])
    return turn


def _active(during: str | None) -> tuple[bool, ...]:
    if during == "start":
        return (True,) + (False,) * (PHASES - 1)
    if during == "end":
        return (False,) * (PHASES - 1) + (True,)
    return ALWAYS


def _written(
    exercise: Exercise,
    place: Position,
    stature: float,
    way: str,
    normal: tuple[float, ...],
    faults: list[Fault],
) -> list[Contact]:
    found: list[Contact] = []
    for number, contact in enumerate(exercise.contacts):
        if contact.during in ("up", "down") and contact.during != way:
            continue
        sides = point_sides(contact.at, exercise.sides == "both")
        if sides is None:
            message = (
                f"there is no body point {contact.at!r}; choose one of {', '.join(point_names())}"
            )
            faults.append(Fault("wrong-value", message, ("contacts", number, "at")))
            continue
        name, where = sides
        plane, offset = _plane(contact, name, place, stature, normal)
        share = contact.share / len(where) if contact.share is not None else None
        found += [
            Contact(
                place.patches.get(name, name), side, contact.surface or "floor", plane, offset,
                contact.distance / stature if contact.distance is not None else None,
                contact.slides, contact.friction, share, contact.touch, contact.grip,
                _active(contact.during), number,
            )
            for side in where
        ]  # fmt: skip
    return found


def point_sides(written: str, both: bool) -> tuple[str, tuple[Side, ...]] | None:
    """A written body point as its singular name and sides; None where there is no such point."""
    bare, other = split_side(written)
    name, plural = singular(bare)
    if name not in point_names():
        return None
    if not is_sided(name):
        return name, ("mid",)
    if other and not plural:
        return name, ("left",)
    return name, ("right", "left") if plural or both else ("right",)


def _plane(
    contact: WrittenContact, point: str, place: Position, stature: float, normal: tuple[float, ...]
) -> tuple[tuple[float, float, float], float | None]:
    surface = contact.surface or "floor"
    if surface == "wall":
        return _wall_normal(point, place, normal), None
    level = (normal[0], normal[1], normal[2])
    if surface == "floor":
        return level, 0.0
    if contact.height is not None:
        return level, contact.height / stature
    return level, 0.0 if point in _TRUNK and place.orientation in _LYING else None


def _wall_normal(
    point: str, place: Position, level: tuple[float, ...]
) -> tuple[float, float, float]:
    """A wall stands where the point looks to: before hands, behind a back, at lying feet.

    At the foot of a slope that one lies on, it stands square to the slope.
    """
    if place.orientation == "prone":
        return (1.0, 0.0, 0.0) if point in ("foot", "forefoot", "heel") else (-1.0, 0.0, 0.0)
    if place.orientation == "upright":
        return (1.0, 0.0, 0.0) if point in _TRUNK | {"heel"} else (-1.0, 0.0, 0.0)
    return (-level[2], 0.0, level[0])


def _frees_pelvis(place: Position, trunk: list[Contact]) -> bool:
    if place.orientation not in _LYING or not trunk:
        return False
    if any(c.slides for c in trunk):
        return True
    return not any(c.point in _CARRYING for c in trunk)


def _seat_height(place: Position, written: list[Contact]) -> float | None:
    if place.seat_depth is None:
        return None
    heights = [c.offset for c in written if c.point == "seat" and c.offset is not None]
    return heights[0] + place.seat_depth if heights else None


def _loaded_limbs(exercise: Exercise) -> frozenset[Limb]:
    limbs: set[Limb] = set()
    for part in (*exercise.resistance, *exercise.assist):
        if part.at is None:
            continue
        sides = point_sides(part.at, exercise.sides == "both")
        if sides is not None:
            limbs |= {(side, body_point(sides[0], side).limb) for side in sides[1]}
    return frozenset(limbs)


def _free_limbs(
    exercise: Exercise,
    place: Position,
    carried: bool,
    written: list[Contact],
    written_limbs: frozenset[Limb],
    moving_limbs: frozenset[Limb],
    loaded: frozenset[Limb],
) -> frozenset[Limb]:
    """Limbs whose joints are solved: all of them where nothing carries the trunk."""
    if not carried and not place.carried:
        return frozenset((*LIMBS, ("mid", "spine"), ("mid", "neck")))
    if not carried:  # bridging: arms and head stay on the floor unless they are used
        arms = {limb for limb in LIMBS if limb[1] == "arm" and limb in moving_limbs | loaded}
        return frozenset({("right", "leg"), ("left", "leg"), ("mid", "spine"), *arms})
    free = {limb for limb in (*written_limbs, *loaded) if limb in LIMBS}
    if any(limb in moving_limbs for limb in (("mid", "spine"),)):
        free |= {("mid", "spine"), ("mid", "neck"), ("right", "arm"), ("left", "arm")}
    elif ("mid", "neck") in moving_limbs:
        free.add(("mid", "neck"))
    return frozenset(free)


def _defaults(
    exercise: Exercise,
    place: Position,
    carried: bool,
    written: list[Contact],
    free: frozenset[Limb],
    normal: tuple[float, ...],
) -> list[Contact]:
    """The position's own contacts that nothing replaces."""
    replaced = {(c.side, c.body_point.limb) for c in written if c.body_point.limb != "trunk"}
    trunk_written = any(c.body_point.limb == "trunk" for c in written)
    lifted = _lifted(exercise, place, carried, free)
    supports = []
    for name in _standing(exercise, place):
        bare, other = split_side(name)
        side: Side = ("left" if other else "right") if is_sided(bare) else "mid"
        limb = body_point(bare, side).limb
        if limb == "trunk" and (trunk_written or (place.carried and not carried)):
            continue
        if limb != "trunk" and ((side, limb) in replaced or (side, limb) in lifted):
            continue
        point = place.patches.get(bare, bare)
        offset = 0.0 if limb != "trunk" or place.orientation in _LYING else None
        surface = "floor"
        supports.append(Contact(point, side, surface, (normal[0], normal[1], normal[2]), offset))
    if not carried and place.carried and place.orientation == "supine":
        arms = {("right", "arm"), ("left", "arm")} - free - replaced
        supports += [
            Contact("forearm", side, "floor", (normal[0], normal[1], normal[2]), 0.0, touch=True)
            for side, _ in sorted(arms, reverse=True)
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
        contacts.append(Contact(point, side, "floor", (normal[0], normal[1], normal[2]), 0.0))
    return contacts


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
    swapped = {"right": "left", "left": "right", "mid": "mid"}
    all_of = set(contacts)
    return all(replace(c, side=swapped[c.side]) in all_of for c in contacts)  # type: ignore[arg-type]
