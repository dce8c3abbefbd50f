"""What makes no sense where limbs rest on limbs, or follow what they rest on."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from rungbook.model.acting import Contact
from rungbook.model.body_point import LIMB_OF_POINT, body_point
from rungbook.model.exercise import Exercise
from rungbook.model.movement import MOVEMENTS, split_side
from rungbook.model.place import Path
from rungbook.reading.shape import Problem

NOT_ON_A_LIMB = ("height", "distance", "share", "friction", "grip")


def limb_contradictions(contact: Contact, both: bool, path: Path) -> Iterator[Problem]:
    """A limb that rests on itself, or on another one that is given a place in the room."""
    if contact.thickness is not None and not contact.on_a_limb:
        message = "'thickness' is of what lies between two limbs: name the other as 'surface'"
        yield _wrong((*path, "thickness"), message)
    if not contact.on_a_limb:
        return
    for key in NOT_ON_A_LIMB:
        if getattr(contact, key):
            message = f"a limb that is rested on has no '{key}': remove it, or 'surface'"
            yield _wrong((*path, key), message, (*path, "surface"))
    assert contact.surface is not None
    try:
        on, at = body_point(contact.surface, both), body_point(contact.at, both)
    except KeyError:
        return  # told as no point of the body
    limbs = [LIMB_OF_POINT.get(one.name, "trunk") for one in (at, on)]
    apart = limbs[0] != limbs[1] or (limbs[0] != "trunk" and (at.side != on.side or both))
    if not apart:
        message = f"'{contact.at}' cannot rest on its own limb, the '{contact.surface}'"
        yield _wrong((*path, "surface"), f"{message}: name another one", (*path, "at"))


def follower_contradictions(exercise: Exercise) -> Iterator[Problem]:
    """A joint that follows the contacts and whose angle is written all the same."""
    for number, action in enumerate(exercise.follows):
        for path in _written(exercise, action.joint, action.axis, action.other_side):
            message = f"'{action}' follows the contacts and its angle is written: make it one"
            yield _wrong(("follows", number), message, path)


def _written(exercise: Exercise, joint: str, axis: str, other: bool) -> Iterator[Path]:
    placed: list[tuple[Path, Iterable[str]]] = [
        (("posture", name), angles) for name, angles in exercise.posture.items()
    ]
    for number, item in enumerate(exercise.movement):
        placed += [(("movement", number, name), arcs) for name, arcs in item.items()]
    for path, movements in placed:
        if split_side(str(path[-1])) == (joint, other):
            for movement in movements:
                if MOVEMENTS.get(joint, {}).get(movement, ("", 0))[0] == axis:
                    yield (*path, movement)


def _wrong(path: Path, message: str, other: Path | None = None) -> Problem:
    return Problem("wrong-value", path, message, at_key=True, other=other)
