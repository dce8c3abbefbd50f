"""Values that are right one by one and make no sense together."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from rungbook.model.acting import Assistance, Contact, Resistance
from rungbook.model.exercise import Exercise
from rungbook.model.ladder import Ladder, PainRule
from rungbook.model.movement import MOVEMENTS, split_side
from rungbook.model.place import Path
from rungbook.reading.limbs import follower_contradictions, limb_contradictions
from rungbook.reading.shape import Problem


def exercise_contradictions(exercise: Exercise, written: frozenset[str]) -> Iterator[Problem]:
    """Contradictions of one exercise; `written` are the keys it or what it varies has."""
    yield from _kind(exercise, written)
    yield from _dose(exercise)
    yield from _movement(exercise)
    yield from _sides(exercise)
    for number, contact in enumerate(exercise.contacts):
        yield from _contact(contact, ("contacts", number))
        yield from limb_contradictions(contact, exercise.sides == "both", ("contacts", number))
    yield from _once_each(exercise.contacts)
    yield from follower_contradictions(exercise)
    yield from _shares(exercise)
    for number, assist in enumerate(exercise.assist):
        yield from _assist(assist, ("assist", number))
    for number, load in enumerate(exercise.resistance):
        yield from _resistance(load, ("resistance", number))
    yield from _progressions(exercise)
    yield from _acceptances(exercise)


def _missing(path: Path, key: str, why: str) -> Problem:
    return Problem("missing-field", path, f"'{key}' is missing: {why}")


def _wrong(path: Path, message: str, other: Path | None = None) -> Problem:
    return Problem("wrong-value", path, message, at_key=True, other=other)


def _kind(exercise: Exercise, written: frozenset[str]) -> Iterator[Problem]:
    if exercise.movement and not exercise.works and "works" not in written:
        yield _missing(
            (), "works", "name the action that the movement loads, such as 'knee extension'"
        )
    if exercise.passive and exercise.resistance:
        message = "a passive exercise has no resistance: remove 'resistance', or 'passive'"
        yield _wrong(("resistance",), message, ("passive",))
    if not exercise.ballistic:
        return
    if exercise.passive:
        message = "an exercise is passive or ballistic, not both: remove one of the two"
        yield _wrong(("ballistic",), message, ("passive",))
    if not exercise.measured and "measured" not in written:
        why = "statics does not apply to hops and throws: give a published figure with its source"
        yield _missing(("ballistic",), "measured", why)
    if "impact" not in written:
        yield _missing(("ballistic",), "impact", "write none, both feet or one foot")


def _dose(exercise: Exercise) -> Iterator[Problem]:
    dose = exercise.dose
    if dose is None or dose.duration is None:
        return
    for key in ("reps", "hold"):
        if getattr(dose, key) is not None:
            message = (
                f"'duration' is for continuous work and excludes '{key}': remove one of the two"
            )
            yield _wrong(("dose", "duration"), message, ("dose", key))


def _movement(exercise: Exercise) -> Iterator[Problem]:
    for number, item in enumerate(exercise.movement):
        path: Path = ("movement", number)
        if not any(item.values()):
            yield _wrong(path, "nothing moves here: write {joint: {movement: [from, to]}}")
        for joint, arcs in item.items():
            yield from _one_axis(joint, list(arcs), (*path, joint))
            for movement, (start, _) in arcs.items():
                yield from _against_posture(
                    exercise, joint, movement, start, (*path, joint, movement)
                )
    for joint, angles in exercise.posture.items():
        yield from _one_axis(joint, list(angles), ("posture", joint))


def _axis(joint: str, movement: str) -> tuple[str, int]:
    return MOVEMENTS.get(split_side(joint)[0], {}).get(movement, (movement, 1))


def _one_axis(joint: str, movements: list[str], path: Path) -> Iterator[Problem]:
    seen: dict[str, str] = {}
    for movement in movements:
        axis, _ = _axis(joint, movement)
        if axis in seen:
            message = (
                f"{seen[axis]} and {movement} of the {joint} are one axis: "
                "write one, with a negative number for the other"
            )
            yield _wrong((*path, movement), message, (*path, seen[axis]))
        seen.setdefault(axis, movement)


def _against_posture(
    exercise: Exercise, joint: str, movement: str, start: float, path: Path
) -> Iterator[Problem]:
    axis, sign = _axis(joint, movement)
    for name, angle in exercise.posture.get(joint, {}).items():
        other_axis, other_sign = _axis(joint, name)
        if axis == other_axis and sign * start != other_sign * angle:
            message = (
                f"the movement starts at {start:g} and the posture says {name} {angle:g}: "
                "make them agree, or remove the angle from 'posture'"
            )
            yield _wrong(path, message, ("posture", joint, name))


def _sides(exercise: Exercise) -> Iterator[Problem]:
    if exercise.sides != "both":
        return
    for path, word in _sided_words(exercise):
        if word.startswith("other-"):
            message = f"'{word}' needs a working side: write 'sides: one', or a plain name"
            yield _wrong(path, message, ("sides",))
    for key, value in (("stands-on", exercise.stands_on), ("front", exercise.front)):
        if value is not None:
            message = f"'{key}: {value}' needs a working side: write 'sides: one'"
            yield _wrong((key,), message, ("sides",))


def _sided_words(exercise: Exercise) -> Iterator[tuple[Path, str]]:
    yield from ((("posture", joint), joint) for joint in exercise.posture)
    for number, item in enumerate(exercise.movement):
        yield from ((("movement", number, joint), joint) for joint in item)
    for number, action in enumerate(exercise.works):
        yield ("works", number), str(action)
    for number, contact in enumerate(exercise.contacts):
        yield ("contacts", number, "at"), contact.at
        yield ("contacts", number, "surface"), (contact.surface or "") if contact.on_a_limb else ""
    for number, assist in enumerate(exercise.assist):
        yield ("assist", number, "at"), assist.at
        yield ("assist", number, "by"), assist.by or ""
    for number, load in enumerate(exercise.resistance):
        yield ("resistance", number, "at"), load.at or ""


def _contact(contact: Contact, path: Path) -> Iterator[Problem]:
    if contact.height is not None and contact.surface == "floor":
        message = "the floor has no height: name what the contact stands on, or remove 'height'"
        yield _wrong((*path, "height"), message, (*path, "surface"))
    if contact.distance is not None and contact.surface != "wall":
        yield _wrong((*path, "distance"), "'distance' is that from the wall: write 'surface: wall'")
    if contact.friction is not None and not contact.slides:
        message = "'friction' is for what is dragged: add 'slides: true', or remove it"
        yield _wrong((*path, "friction"), message)
    if contact.touch and contact.share:
        message = "a touch carries nothing: remove 'touch', or 'share'"
        yield _wrong((*path, "touch"), message, (*path, "share"))


def _once_each(contacts: Sequence[Contact]) -> Iterator[Problem]:
    """A part of the body on two things at once: no forces could be shared out between them."""
    for number, contact in enumerate(contacts):
        for earlier in contacts[:number]:
            apart = contact.during and earlier.during and contact.during != earlier.during
            if earlier.at == contact.at and not apart:
                message = (
                    f"'{contact.at}' is on something already: make one contact of the two, "
                    "or give both a 'during'"
                )
                yield Problem("wrong-value", ("contacts", number, "at"), message)
                break


def _shares(exercise: Exercise) -> Iterator[Problem]:
    shares = [contact.share or 0.0 for contact in exercise.contacts if contact.during is None]
    if sum(shares) > 1 + 1e-9:
        message = f"the shares add up to {sum(shares):.0%} of body weight: together at most 100 %"
        yield _wrong(("contacts",), message)


def _assist(assist: Assistance, path: Path) -> Iterator[Problem]:
    given = [key for key in ("share", "weight", "force") if getattr(assist, key) is not None]
    if not given:
        yield _missing(path, "share", "say how much is carried, by share, weight or force")
    if len(given) > 1:
        yield _wrong(
            (*path, given[1]), f"'{given[0]}' says how much already: remove one of the two"
        )
    if given and given[0] != "share" and assist.pulls is None:
        yield _missing(path, "pulls", f"say which way the {given[0]} pulls, such as 'pulls: up'")
    if given == ["share"] and assist.pulls is not None:
        yield _wrong(
            (*path, "pulls"), "a share carries straight up: remove 'pulls', or write a force"
        )
    yield from _above_zero(assist.weight, (*path, "weight"))
    yield from _above_zero(assist.force, (*path, "force"))


def _resistance(load: Resistance, path: Path) -> Iterator[Problem]:
    kinds = ("weight", "band", "push", "machine", "cable", "effort")
    given = [key for key in kinds if getattr(load, key) is not None]
    if not given:
        yield _missing(
            path, "weight", "say what resists: a weight, band, push, machine, cable or effort"
        )
        return
    if len(given) > 1:
        yield _wrong(
            (*path, given[1]), f"'{given[0]}' resists already: write a second item in the list"
        )
    if given[0] in ("machine", "cable") and load.at is not None:
        yield _wrong((*path, "at"), f"the {given[0]} says itself where it acts: remove this 'at'")
    if load.off_axis is not None and given[0] != "weight":
        yield _wrong((*path, "off-axis"), "only a weight is held by its handle: remove 'off-axis'")
    if given[0] in ("weight", "band", "push") and load.at is None:
        yield _missing(path, "at", f"name the point of the body that the {given[0]} acts on")
    if given[0] in ("band", "push") and load.pulls is None:
        yield _missing(
            path, "pulls", f"say which way the {given[0]} pulls, such as 'pulls: backward'"
        )
    if given[0] == "weight" and load.pulls is not None:
        yield _wrong((*path, "pulls"), "a weight pulls down: remove 'pulls', or write a push")
    if load.band is not None and load.band.start == load.band.end == 0:
        yield _wrong(
            (*path, "band"), "a band without tension resists nothing: write what was measured"
        )
    yield from _above_zero(load.weight, (*path, "weight"))
    yield from _above_zero(load.push, (*path, "push"))
    if load.machine is not None:
        yield from _above_zero(load.machine.push, (*path, "machine", "push"))
    if load.cable is not None:
        yield from _above_zero(load.cable.weight, (*path, "cable", "weight"))
    yield from _above_zero(load.effort, (*path, "effort"))


def _above_zero(value: float | None, path: Path) -> Iterator[Problem]:
    if value == 0:
        yield Problem(
            "wrong-value", path, f"'{path[-1]}' is nothing: write more, or remove the item"
        )


def _progressions(exercise: Exercise) -> Iterator[Problem]:
    first: dict[str, int] = {}
    for number, progression in enumerate(exercise.progressions):
        path: Path = ("progressions", number, "to")
        if progression.to == exercise.id:
            message = "an exercise is not its own progression: name the next harder one"
            yield Problem("wrong-value", path, message)
        elif progression.to in first:
            message = f"a progression to '{progression.to}' is there already: make one of the two"
            yield Problem("wrong-value", path, message)
        first.setdefault(progression.to, number)


def _acceptances(exercise: Exercise) -> Iterator[Problem]:
    for number, one in enumerate(exercise.accepts):
        if one.to is not None and one.from_ is not None:
            path: Path = ("accepts", number, "from")
            yield _wrong(path, "it is from or to this exercise, not both: remove one of the two")


def ladder_contradictions(ladder: Ladder, written: Mapping[str, object]) -> Iterator[Problem]:
    """Contradictions of one ladder; `written` is what its file says."""
    for number, one in enumerate(ladder.accepts):
        if (one.to is None) != (one.from_ is None):
            key = "from" if one.from_ is None else "to"
            yield _missing(("accepts", number), key, "name both ends of the progression")
    if not ladder.entries and "entries" not in written:
        why = "say where to start, such as {high: …, moderate: …, low: …}"
        yield _missing((), "entries", why)
    elif written.get("entries") == {}:
        yield _wrong(("entries",), "no entry: say where to start, such as {high: …, low: …}")
    if isinstance(ladder.pain_rule, PainRule) and ladder.pain_rule.source is None:
        yield _missing(
            ("pain-rule",), "source", "name where the rule comes from, or 'common practice'"
        )


def ladder_standards(ladder: Ladder) -> Iterator[Problem]:
    """Actions of a ladder that has no standard exercise for them, and standards it has no use for.

    `ladder` has its works, those of its goal where it writes none.
    """
    if not isinstance(ladder.standard, dict):
        return
    for action in ladder.works:
        if action not in ladder.standard:
            why = "name the exercise usually given for it, on which its steps are scaled"
            yield _missing(("standard",), str(action), why)
    for action in ladder.standard:
        if action not in ladder.works:
            works = ", ".join(map(str, ladder.works))
            message = f"'{action}' is not among what the ladder works ({works}): remove it"
            yield _wrong(("standard", str(action)), message)
