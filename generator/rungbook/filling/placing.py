"""Levers of place: how high the surfaces are, how long the lever arm is, how the body lies."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from typing import Any

from rungbook.filling.means import HANDS, heights_of
from rungbook.filling.setting import Setting, graded, limb_of
from rungbook.filling.titles import thing
from rungbook.model.acting import BUILT_IN_SURFACES, Contact
from rungbook.model.exercise import Exercise
from rungbook.model.library import Axis, Library

POSITION_WORDS = {
    "standing": "standing",
    "split-stance": "standing with one foot in front",
    "single-leg-standing": "standing on one leg",
    "bent-forward": "standing bent forward",
    "sitting": "sitting",
    "reclined": "half lying",
    "long-sitting": "sitting with the legs long",
    "tall-kneeling": "kneeling upright",
    "half-kneeling": "kneeling on one knee",
    "quadruped": "on hands and knees",
    "supine": "lying on the back",
    "hook-lying": "lying on the back with the knees bent",
    "prone": "lying face down",
    "prone-on-elbows": "lying face down on the elbows",
    "side-lying": "lying on the side",
    "side-lying-under": "lying on the side, the working side down",
}
TURNED = {
    "arm": ("supine", "side-lying", "reclined", "sitting", "prone"),
    "leg": ("supine", "side-lying", "reclined", "prone", "sitting"),
}
# Which joint shortens the limb about the joint that works.
SHORTENS = {"shoulder": "elbow", "hip": "knee"}
BENT_DEG = ((0, 90.0), (1, 45.0), (2, 60.0), (2, 30.0))
NEARER_POINT = {"hand": "elbow", "wrist": "elbow", "ankle": "knee", "foot": "knee"}
HEIGHT_STEPS_M = (0.1, 0.05, 0.02)
THIGH = 0.245  # of stature (Drillis and Contini 1966)
REACH_M, HANDS_REACH_M = 0.25, 0.6
LOW_M = 0.12  # hands lower than this are as good as on the floor
TURNS: frozenset[Axis] = frozenset({"demand", "stability", "range", "lengthening", "bearing"})
RAISES: frozenset[Axis] = frozenset({"demand", "bearing", "range", "lengthening"})


def lever_arms(base: Exercise) -> Iterator[Setting]:
    """A bent elbow or knee, a weight nearer the joint."""
    worked = next((action for action in base.works if action.joint in SHORTENS), None)
    if worked is not None and not base.ballistic:
        joint = SHORTENS[worked.joint]
        name = f"other-{joint}" if worked.other_side else joint
        now = base.posture.get(name, {}).get("flexion", 0.0)
        if not any(name in item for item in base.movement):
            yield from (_bent(name, joint, angle, fine) for fine, angle in BENT_DEG if angle > now)
    for number, item in enumerate(base.resistance):
        if item.at in NEARER_POINT and item.weight is not None:
            yield _nearer(number, NEARER_POINT[item.at])


def _bent(name: str, joint: str, angle: float, fine: int) -> Setting:
    def apply(exercise: Exercise) -> Mapping[str, Any]:
        bent = {**exercise.posture.get(name, {}), "flexion": angle}
        return {"posture": {**exercise.posture, name: bent}}

    words = f"the {joint} bent to {'a right angle' if angle == 90 else f'{angle:g}°'}"
    return Setting("lever-arm", "bent", f"{joint}-{angle:g}", words, apply, fine=fine)


def _nearer(number: int, point: str) -> Setting:
    def apply(exercise: Exercise) -> Mapping[str, Any]:
        items = list(exercise.resistance)
        if number < len(items):
            items[number] = items[number].model_copy(update={"at": point})
        return {"resistance": tuple(items)}

    words = f"the weight at the {point}"
    return Setting("lever-arm", "weight-at", f"weight-at-{point}", words, apply)


def positions(base: Exercise, other: Exercise, free: bool) -> Iterator[Setting]:
    """The body as in the other exercise, or turned so that gravity works less against it."""
    limb = limb_of(base)
    if not free or limb is None or base.ballistic:
        return
    if other.position != base.position and other.position in POSITION_WORDS:
        yield _turned(other.position, other)
    for fine, position in enumerate(TURNED[limb]):
        if position not in (base.position, other.position):
            yield _turned(position, None, 1 + fine)


def _turned(position: str, like: Exercise | None, fine: int = 0) -> Setting:
    def apply(exercise: Exercise) -> Mapping[str, Any]:
        if like is None:
            return {"position": position, "contacts": (), "incline": 0.0}
        used = dict.fromkeys((*exercise.equipment, *(one.surface for one in like.contacts)))
        known = tuple(one for one in used if one in (*exercise.equipment, *like.equipment))
        return {"position": position, "contacts": like.contacts, "incline": like.incline,
                "equipment": known}  # fmt: skip

    words = POSITION_WORDS[position]
    return Setting("position", "set-up", position, words, apply, TURNS, fine, by=position)


def heights(base: Exercise, other: Exercise, library: Library) -> Iterator[Setting]:
    """What carries the body higher or lower: a seat, a step, a surface under the hands.

    Where both exercises have it, every angle of the movement goes with it in proportion.
    """
    for number, contact in enumerate(base.contacts):
        here = contact.height or 0.0
        like = [one for one in other.contacts if one.at == contact.at]
        there = (like[0].height or 0.0) if like else here
        if contact.touch or not _may_be_moved(base, contact, there != here):
            continue
        reach = HANDS_REACH_M if contact.at in HANDS else REACH_M
        ends = (there,) if there != here else (max(0.0, here - reach), here + reach)
        known = heights_of((contact.at,), library)
        for height, fine in _settings_of_height(here, ends, known).items():
            if height >= LOW_M or contact.at not in HANDS:
                on = contact.model_copy(
                    update={"height": height, "surface": _surface_at(height, contact, known)}
                )
                if there != here:
                    moved = _blended(base, other, (height - here) / (there - here))
                elif contact.during == "start":
                    moved = _sat_on(base, height - here, library.settings.person.stature)
                else:
                    moved = {}
                yield _height(number, on, moved, fine, library)


def _may_be_moved(base: Exercise, contact: Contact, apart: bool) -> bool:
    """Whether another height changes what a contact asks for, and the movement can go with it."""
    if contact.at in HANDS:
        return limb_of(base) == "arm" and (contact.height is not None or contact.surface == "floor")
    return contact.height is not None and (apart or contact.during == "start")


Known = tuple[tuple[float, str], ...]


def _settings_of_height(here: float, ends: tuple[float, ...], known: Known) -> dict[float, int]:
    """Heights from here to some ends, each with how fine it is: the library's own are coarse."""
    found: dict[float, int] = {}
    for end in ends:
        least, most = sorted((here, end))
        found |= {height: 0 for height, _ in known if least < height < most}
        found |= {height: fine for fine, height in graded(here, end, HEIGHT_STEPS_M)
                  if height not in found}  # fmt: skip
    return found


def _surface_at(height: float, contact: Contact, known: Known) -> str | None:
    """What the library has for the hands at about this height; else what the exercise has."""
    if contact.at not in HANDS or not known:
        return contact.surface
    return min(known, key=lambda one: abs(one[0] - height))[1]


def _blended(base: Exercise, other: Exercise, share: float) -> Mapping[str, Any]:
    """The movement so far on the way from one exercise to the other, where both move alike."""
    if not share or [list(one) for one in base.movement] != [list(one) for one in other.movement]:
        return {}

    def mixed(one: tuple[float, float], two: tuple[float, float]) -> tuple[float, float]:
        start, end = (round(a + (b - a) * share) for a, b in zip(one, two, strict=True))
        return float(start), float(end)

    return {
        "movement": tuple(
            {
                joint: {
                    name: mixed(span, to[joint].get(name, span)) for name, span in spans.items()
                }
                for joint, spans in item.items()
            }
            for item, to in zip(base.movement, other.movement, strict=True)
        )
    }


def _sat_on(base: Exercise, higher_m: float, stature_m: float) -> Mapping[str, Any]:
    """The movement from a seat so much higher: the thigh starts steeper, the rest in proportion."""
    ends = [abs(one) for item in base.movement for one in item.get("knee", {}).get("flexion", ())]
    bent = max(ends, default=0.0)
    slope = math.cos(math.radians(bent)) + higher_m / (THIGH * stature_m)
    if not bent or not -1 < slope < 1:
        return {}
    share = math.degrees(math.acos(slope)) / bent

    def scaled(span: tuple[float, float]) -> tuple[float, float]:
        return float(round(span[0] * share)), float(round(span[1] * share))

    return {
        "movement": tuple(
            {joint: {name: scaled(span) for name, span in spans.items()}
             for joint, spans in item.items()}
            for item in base.movement
        )
    }  # fmt: skip


def _height(
    number: int, on: Contact, movement: Mapping[str, Any], fine: int, library: Library
) -> Setting:
    def apply(exercise: Exercise) -> Mapping[str, Any]:
        if number >= len(exercise.contacts) or exercise.contacts[number].at != on.at:
            return {}
        contacts = list(exercise.contacts)
        contacts[number] = contacts[number].model_copy(
            update={"height": on.height, "surface": on.surface}
        )
        known = on.surface in (None, *BUILT_IN_SURFACES, *exercise.equipment)
        equipment = exercise.equipment if known else (*exercise.equipment, str(on.surface))
        return {"contacts": tuple(contacts), "equipment": equipment, **movement}

    what = f"{thing(on.surface or 'floor', library)} {100 * (on.height or 0):.0f} cm high"
    opening = "from" if on.during == "start" else "with the hands on" if on.at in HANDS else "on"
    key = f"{on.at}-{100 * (on.height or 0):.0f}-cm"
    return Setting("position", f"height-{on.at}", key, f"{opening} {what}", apply, RAISES, fine,
                   on.surface or "")  # fmt: skip
