"""Written contacts as patches on planes: which side, which surface, when."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from rungbook.body.contacts import ALWAYS, Contact, Link
from rungbook.body.joints import Side
from rungbook.body.points import BodyPoint, body_point, is_sided, point_names, singular
from rungbook.body.positions import Position
from rungbook.load.result import PHASES, Fault
from rungbook.model.acting import Contact as WrittenContact
from rungbook.model.exercise import Exercise
from rungbook.model.movement import split_side

Array = NDArray[np.float64]
TRUNK = frozenset({"pelvis", "seat", "hip", "upper-back", "shoulder", "head"})
CARRYING = frozenset({"pelvis", "seat", "hip"})
LYING = frozenset({"supine", "prone", "left-up", "right-up"})
UP = (0.0, 0.0, 1.0)


def tilt_of(exercise: Exercise, place: Position) -> Array | None:
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


def written_contacts(
    exercise: Exercise,
    place: Position,
    stature: float,
    way: str,
    normal: tuple[float, ...],
    faults: list[Fault],
) -> list[Contact]:
    found: list[Contact] = []
    for number, contact in enumerate(exercise.contacts):
        if contact.on_a_limb or (contact.during in ("up", "down") and contact.during != way):
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


def written_links(exercise: Exercise, stature: float, way: str) -> list[Link]:
    """Limbs that rest on limbs; of a mirror image that leans on its own, one stands for both."""
    found: list[Link] = []
    both = exercise.sides == "both"
    for number, contact in enumerate(exercise.contacts):
        if not contact.on_a_limb or (contact.during in ("up", "down") and contact.during != way):
            continue
        at, on = point_sides(contact.at, both), point_sides(contact.surface or "", both)
        if at is None or on is None:
            continue  # told where points are read
        for side in at[1]:
            point = body_point(at[0], side)
            under = body_point(on[0], _side_under(point, on))
            if both and point.limb == under.limb and side == "left":
                continue
            found.append(
                Link(
                    point, under, (contact.thickness or 0.0) / stature, contact.slides,
                    contact.touch, _active(contact.during), number,
                )
            )  # fmt: skip
    return found


def _side_under(point: BodyPoint, on: tuple[str, tuple[Side, ...]]) -> Side:
    """The side of what a point rests on: its own, or the other one of its own kind of limb."""
    name, sides = on
    if len(sides) == 1 or point.side == "mid":
        return sides[0]
    alike = body_point(name, point.side).limb == point.limb
    return ("left" if point.side == "right" else "right") if alike else point.side


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
    return level, 0.0 if point in TRUNK and place.orientation in LYING else None


def _wall_normal(
    point: str, place: Position, level: tuple[float, ...]
) -> tuple[float, float, float]:
    """A wall stands where the point looks to: before hands, behind a back, at lying feet.

    At the foot of a slope that one lies on, it stands square to the slope.
    """
    if place.orientation == "prone":
        return (1.0, 0.0, 0.0) if point in ("foot", "forefoot", "heel") else (-1.0, 0.0, 0.0)
    if place.orientation == "upright":
        return (1.0, 0.0, 0.0) if point in TRUNK | {"heel"} else (-1.0, 0.0, 0.0)
    return (-level[2], 0.0, level[0])
