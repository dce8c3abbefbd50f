"""Words that the body and the room fix: joints, movements, positions, points, directions."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from typing import Any

from rungbook.model.acting import DIRECTIONS
from rungbook.model.body_point import LAY_POINTS, POINT_WORDS
from rungbook.model.exercise import Exercise
from rungbook.model.ladder import Ladder
from rungbook.model.library import (
    AXES,
    BODIES,
    MOST_LIMITS,
    RATIO_AXES,
    Person,
    Settings,
)
from rungbook.model.movement import MOVEMENTS, ROOM_ANGLES, SIDED_JOINTS, split_side
from rungbook.model.place import Path
from rungbook.model.position import POSITIONS
from rungbook.model.restriction import Restriction
from rungbook.reading.criteria_names import exercise_criteria, ladder_criteria
from rungbook.reading.shape import Problem
from rungbook.reading.wording import one_of, shown
from rungbook.reading.words import did_you_mean

JOINT_WORDS: tuple[str, ...] = (
    *MOVEMENTS,
    *ROOM_ANGLES,
    *(f"other-{joint}" for joint in sorted(SIDED_JOINTS)),
)
_POINTS = frozenset(POINT_WORDS)
JOINTS: dict[str, Collection[str]] = {
    joint: ROOM_ANGLES.get(joint) or MOVEMENTS[split_side(joint)[0]] for joint in JOINT_WORDS
}


def exercise_names(exercise: Exercise) -> Iterator[Problem]:
    """Names in an exercise that are no joint, movement, position, point or direction."""
    if exercise.position not in POSITIONS:
        words = one_of(exercise.position, POSITIONS)
        message = f"'position' is '{shown(exercise.position)}', not {words}"
        yield Problem("wrong-value", ("position",), message)
    yield from angle_names(exercise.posture, ("posture",))
    for number, item in enumerate(exercise.movement):
        yield from angle_names(item, ("movement", number))
    for number, contact in enumerate(exercise.contacts):
        yield from _point(contact.at, ("contacts", number, "at"))
    for number, assist in enumerate(exercise.assist):
        yield from _point(assist.at, ("assist", number, "at"))
        yield from _pull(assist.pulls, ("assist", number, "pulls"))
    for number, load in enumerate(exercise.resistance):
        yield from _point(load.at, ("resistance", number, "at"))
        yield from _pull(load.pulls, ("resistance", number, "pulls"))
    yield from exercise_criteria(exercise)


def written_angle_names(values: Mapping[str, Any], keys: Collection[str]) -> Iterator[Problem]:
    """As `angle_names`, of a posture or a movement that cannot be read as one: `keys` names them.

    A movement that a joint does not have explains the fault in its angles.
    """
    for key in ("posture", "movement"):
        value = values.get(key)
        if key not in keys or not isinstance(value, (dict, tuple)):
            continue
        items = value if isinstance(value, tuple) else (value,)
        for number, item in enumerate(items):
            path: Path = (key,) if isinstance(value, dict) else (key, number)
            if isinstance(item, dict):
                joints = {name: one for name, one in item.items() if isinstance(one, dict)}
                yield from angle_names(joints, path)


def angle_names(angles: Mapping[str, Mapping[str, object]], path: Path) -> Iterator[Problem]:
    """Names in `{joint: {movement: …}}` that are no joint or no movement of it."""
    for joint, movements in angles.items():
        known = JOINTS.get(joint)
        if known is None:
            hint = did_you_mean(joint, JOINT_WORDS, f"the joints are {', '.join(MOVEMENTS)}")
            if joint in ("other-lumbar", "other-neck", "other-trunk", "other-pelvis"):
                hint = f"it is on the mid-line: write '{joint[6:]}'"
            message = f"'{shown(joint)}' is not a joint: {hint}"
            yield Problem("wrong-value", (*path, joint), message, at_key=True)
            continue
        for movement in movements:
            if movement not in known:
                near = did_you_mean(movement, known, "")
                hint = f"{near} It has {', '.join(known)}" if near else f"it has {', '.join(known)}"
                message = f"'{shown(movement)}' is not a movement of the {joint}: {hint}"
                yield Problem("wrong-value", (*path, joint, movement), message, at_key=True)


def _point(point: str | None, path: Path) -> Iterator[Problem]:
    if point is not None and point not in _POINTS:
        meant = LAY_POINTS.get(point.lower().replace(" ", "-"))
        otherwise = "`rungbook words points` lists them"
        hint = f"write '{meant}'" if meant else did_you_mean(point, POINT_WORDS, otherwise)
        message = f"'{shown(point)}' is not a point of the body: {hint}"
        yield Problem("wrong-value", path, message)


def _pull(pull: str | None, path: Path) -> Iterator[Problem]:
    if pull is None or pull in DIRECTIONS:
        return
    if pull.startswith("toward "):
        yield from _point(pull.removeprefix("toward "), path)
        return
    words = one_of(pull, (*DIRECTIONS, "toward: <body point>"))
    yield Problem("wrong-value", path, f"'{shown(pull)}' is no direction; it is {words}")


def ladder_names(ladder: Ladder) -> Iterator[Problem]:
    """Limits of a ladder that no axis has, tests that there are not."""
    yield from limit_names(ladder.limits)
    yield from ladder_criteria(ladder)


def settings_names(settings: Settings) -> Iterator[Problem]:
    """Limits of the library that no axis has, and a body of which there is no table."""
    body = settings.person.body
    if body not in BODIES:
        message = f"'body' is '{shown(body)}', not {one_of(body, BODIES)}"
        yield Problem("wrong-value", ("person", "body"), message)
    yield from limit_names(settings.limits)


def restriction_names(restriction: Restriction) -> Iterator[Problem]:
    """Joints and movements in a restriction that there are not."""
    for number, limit in enumerate(restriction.never):
        yield from angle_names(limit, ("never", number))


def limit_names(limits: Mapping[str, object]) -> Iterator[Problem]:
    """Step limits: an axis of demand each, above 1 where it is a ratio."""
    for axis, limit in limits.items():
        path = ("limits", axis)
        if axis not in AXES:
            hint = did_you_mean(axis, AXES, f"the axes are {', '.join(AXES)}")
            message = f"'{shown(axis)}' is no axis of demand: {hint}"
            yield Problem("unknown-field", path, message, at_key=True)
        elif not isinstance(limit, float):
            continue
        elif axis in RATIO_AXES and limit <= 1:
            message = f"'{axis}' is {limit:g}, but a ratio from one rung to the next is above 1"
            yield Problem("wrong-value", path, f"{message}: write one such as 1.5, or off")
        elif limit > MOST_LIMITS.get(axis, limit):
            most = f"one step multiplies a load by {MOST_LIMITS[axis]:g} at most"
            message = f"'{axis}' is {limit:g}, and {most}"
            yield Problem("wrong-value", path, f"{message}: write one such as 1.5, or off")
        elif axis == "bearing" and limit > 1:
            message = f"'bearing' is {limit:g}, not a share of body weight: write '{limit:g} %'"
            yield Problem("wrong-unit", path, message)


def sound_settings(settings: Settings) -> Settings:
    """The settings without what `settings_names` finds fault with: nothing may compute with it."""
    limits = {
        axis: limit
        for axis, limit in settings.limits.items()
        if not any(limit_names({axis: limit}))
    }
    person = settings.person
    if person.body not in BODIES:
        person = person.model_copy(update={"body": Person().body})
    return settings.model_copy(update={"limits": limits, "person": person})
