"""Levers of posture: how far, how long the lever arm is, how the body lies to gravity."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import Any

from rungbook.filling.setting import Setting, grid, limb_of
from rungbook.ladder.less_of_the_same import arc_between
from rungbook.ladder.profile import leading
from rungbook.model.exercise import Contact, Exercise

# Which joint shortens the limb about the joint that works, and how it is said.
SHORTENS = {"shoulder": ("elbow", "elbow"), "hip": ("knee", "knee")}
SHORTER_ANGLES = ((0, 90.0), (0, 45.0), (1, 60.0), (1, 30.0))
NEARER_POINT = {"hand": "elbow", "wrist": "elbow", "ankle": "knee", "foot": "knee"}
POSITION_WORDS = {
    "standing": "standing",
    "split-stance": "standing with one foot in front",
    "single-leg-standing": "standing on one leg",
    "bent-forward": "standing bent forward",
    "sitting": "sitting",
    "reclined": "half lying, with the backrest up",
    "long-sitting": "sitting with the legs long",
    "tall-kneeling": "kneeling upright",
    "half-kneeling": "kneeling on one knee",
    "quadruped": "on hands and knees",
    "plank": "in a plank",
    "side-plank": "in a side plank",
    "supine": "lying on the back",
    "hook-lying": "lying on the back with the knees bent",
    "prone": "lying face down",
    "prone-on-elbows": "lying face down on the elbows",
    "side-lying": "lying on the side, the working side up",
    "side-lying-under": "lying on the side, the working side down",
}
TURNED = {
    "arm": ("supine", "side-lying", "reclined", "sitting", "prone"),
    "leg": ("supine", "side-lying", "reclined", "prone", "sitting"),
}
MOST_SHIFTS = 5
HEIGHT_STEPS_M = ((0, 0.1), (1, 0.05))


def ranges(base: Exercise, other: Exercise) -> Iterator[Setting]:
    """The far end or the start of the movement, nearer or further."""
    lead = leading(base)
    if lead is None or base.ballistic:
        return
    joint, movement = lead
    start, end = base.movement[0][joint][movement]
    arc = abs(end - start)
    if arc < 1e-9:
        yield from _held_at(base, joint, movement, end)
        return
    far = _farthest(other, joint, movement, start, end)
    for level, step in ((0, 15.0 if arc > 45 else 5.0), (1, 5.0)):
        kept = [value for value in grid(min(start, end), max(start, end), step)]
        for angle in kept:
            if level and arc <= 45:
                continue
            share = (angle - start) / (end - start)
            if share * arc > 4.9:
                words = f"to {angle:g}° instead of {end:g}°"
                yield _arc(base, f"to-{angle:g}", words, level, 0.0, share, joint, movement)
            if (1 - share) * arc > 4.9:
                words = f"from {angle:g}° instead of {start:g}°"
                yield _arc(base, f"from-{angle:g}", words, level, share, 1.0, joint, movement)
        yield from _shifted(base, joint, movement, level, step)
        yield from _further(base, joint, movement, far, level, step)


def _further(
    base: Exercise, joint: str, movement: str, far: float, level: int, step: float
) -> Iterator[Setting]:
    """The far end moved on, up to where the other exercise goes."""
    start, end = base.movement[0][joint][movement]
    if far == end or (level and abs(end - start) <= 45):
        return
    for angle in grid(min(end, far) - 1e-6, max(end, far) + 1e-6, step):
        share = (angle - start) / (end - start)
        if share > 1 + 1e-6:
            words = f"to {angle:g}° instead of {end:g}°"
            one = _arc(base, f"to-{angle:g}", words, level, 0.0, share, joint, movement)
            yield replace(one, makes_up=True)


def _shifted(
    base: Exercise, joint: str, movement: str, level: int, step: float
) -> Iterator[Setting]:
    """The whole arc moved to lesser angles, with what moves along in proportion."""
    start, end = base.movement[0][joint][movement]
    for number in range(1, MOST_SHIFTS + 1):
        by = -number * step
        backward = min(start, end) + by < min(0.0, start, end)
        if backward or (level and not round(number * step / 15.0, 6) % 1):
            continue

        def apply(exercise: Exercise, by: float = by) -> Mapping[str, Any]:
            first = {**exercise.movement[0]}
            first[joint] = {**first[joint], movement: (start + by, end + by)}
            return {"movement": (first, *exercise.movement[1:])}

        words = f"from {start + by:g}° to {end + by:g}° instead of {start:g}° to {end:g}°"
        key = f"between-{start + by:g}-{end + by:g}".replace("--", "-minus-")
        yield Setting("range", "arc", key, words, level, apply)


def _farthest(other: Exercise, joint: str, movement: str, start: float, end: float) -> float:
    """How far the other exercise goes the way from start to end, to whichever of its ends."""
    if other.movement and movement in other.movement[0].get(joint, {}):
        ends = other.movement[0][joint][movement]
        return max(end, *ends) if end > start else min(end, *ends)
    return end


def _held_at(base: Exercise, joint: str, movement: str, held: float) -> Iterator[Setting]:
    """A hold at a lesser angle."""
    for level, step in ((0, 15.0 if abs(held) > 45 else 5.0), (1, 5.0)):
        for angle in grid(min(0.0, held), max(0.0, held), step):
            if level and abs(held) <= 45:
                continue

            def apply(exercise: Exercise, angle: float = angle) -> Mapping[str, Any]:
                first = {**exercise.movement[0]}
                first[joint] = {**first[joint], movement: (angle, angle)}
                return {"movement": (first, *exercise.movement[1:])}

            words = f"held at {angle:g}° instead of {held:g}°"
            yield Setting("range", "arc", f"at-{angle:g}", words, level, apply)


def _arc(
    base: Exercise, key: str, words: str, level: int, first: float, last: float, joint: str,
    movement: str,
) -> Setting:  # fmt: skip
    def apply(exercise: Exercise) -> Mapping[str, Any]:
        return {"movement": arc_between(exercise, first, last)}

    return Setting("range", "arc", key.replace("--", "-minus-"), words, level, apply)


def lever_arms(base: Exercise, other: Exercise) -> Iterator[Setting]:
    """A bent elbow or knee, a weight nearer the joint."""
    worked = next((action for action in base.works if action.joint in SHORTENS), None)
    if worked is not None and not base.ballistic:
        joint, words = SHORTENS[worked.joint]
        name = f"other-{joint}" if worked.other_side else joint
        moving = any(name in item for item in base.movement)
        now = base.posture.get(name, {}).get("flexion", 0.0)
        for level, angle in SHORTER_ANGLES:
            if not moving and abs(angle - now) > 1e-9:
                yield _bent(name, words, angle, level)
    for number, item in enumerate(base.resistance):
        if item.at in NEARER_POINT and item.weight is not None:
            yield _nearer(number, NEARER_POINT[item.at])


def _bent(joint: str, words: str, angle: float, level: int) -> Setting:
    def apply(exercise: Exercise) -> Mapping[str, Any]:
        bent = {**exercise.posture.get(joint, {}), "flexion": angle}
        return {"posture": {**exercise.posture, joint: bent}}

    key = f"{words}-{angle:g}"
    return Setting("lever-arm", "bent", key, f"the {words} bent to {angle:g}°", level, apply)


def _nearer(number: int, point: str) -> Setting:
    def apply(exercise: Exercise) -> Mapping[str, Any]:
        items = list(exercise.resistance)
        if number < len(items):
            items[number] = items[number].model_copy(update={"at": point})
        return {"resistance": tuple(items)}

    words = f"the weight at the {point}"
    return Setting("lever-arm", "weight-at", f"weight-at-{point}", words, 0, apply)


def positions(base: Exercise, other: Exercise, free: bool) -> Iterator[Setting]:
    """The body turned, so that gravity works across the movement or less against it."""
    limb = limb_of(base)
    if free and limb is not None and not base.ballistic:
        for position in TURNED[limb]:
            if position != base.position:
                yield _turned(position)
    yield from _heights(base, other)


def _turned(position: str) -> Setting:
    def apply(exercise: Exercise) -> Mapping[str, Any]:
        return {"position": position, "contacts": (), "incline": 0.0}

    return Setting("position", "set-up", position, POSITION_WORDS[position], 0, apply)


def _heights(base: Exercise, other: Exercise) -> Iterator[Setting]:
    """What carries the body higher or lower: a seat, a step, a surface under the hands."""
    for number, contact in enumerate(base.contacts):
        if contact.height is None or contact.touch:
            continue
        like = [one.height for one in other.contacts if one.at == contact.at and one.height]
        reach = 0.6 if contact.at == "hands" and limb_of(base) == "arm" else 0.25
        least = min([max(0.05, contact.height - reach), *like])
        most = max([contact.height + reach, *like])
        for level, step in HEIGHT_STEPS_M:
            for height in grid(least - 1e-6, most + 1e-6, step):
                on_coarse = level and not round(height / 0.1, 6) % 1
                if not on_coarse and abs(height - contact.height) > 0.01:
                    yield _height(number, contact, height, level)
    if limb_of(base) == "arm":
        yield from _raised_hands(base)


def _height(number: int, contact: Contact, height: float, level: int) -> Setting:
    def apply(exercise: Exercise) -> Mapping[str, Any]:
        if number >= len(exercise.contacts) or exercise.contacts[number].at != contact.at:
            return {}
        contacts = list(exercise.contacts)
        contacts[number] = contacts[number].model_copy(update={"height": height})
        return {"contacts": tuple(contacts)}

    where = (contact.surface or "surface").replace("-", " ")
    words = f"the {where} {100 * height:.0f} cm high"
    return Setting("position", f"height-{number}", f"{100 * height:.0f}-cm", words, level, apply)


def _raised_hands(base: Exercise) -> Iterator[Setting]:
    """Hands that press on the floor put on something higher."""
    for number, contact in enumerate(base.contacts):
        if contact.at == "hands" and contact.surface == "floor":
            for level, step in HEIGHT_STEPS_M:
                for height in grid(0.0, 0.95, step):
                    if level == 0 or round(height / 0.1, 6) % 1:
                        raised = contact.model_copy(update={"surface": "bench"})
                        yield _hands_on(number, raised, height, level)


def _hands_on(number: int, contact: Contact, height: float, level: int) -> Setting:
    def apply(exercise: Exercise) -> Mapping[str, Any]:
        contacts = list(exercise.contacts)
        contacts[number] = contact.model_copy(update={"height": height})
        equipment = exercise.equipment
        if contact.surface and contact.surface not in equipment:
            equipment = (*equipment, contact.surface)
        return {"contacts": tuple(contacts), "equipment": equipment}

    words = f"the hands on something {100 * height:.0f} cm high"
    key = f"hands-{100 * height:.0f}-cm"
    return Setting("position", f"height-{number}", key, words, level, apply)
