"""Levers that are not set by degrees: a field taken as it is in the other exercise."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from rungbook.filling.dosing import in_words
from rungbook.filling.placing import POSITION_WORDS
from rungbook.filling.setting import Setting, merged
from rungbook.model.exercise import Dose, Exercise
from rungbook.model.library import Lever
from rungbook.model.quantity import RepRange

SET_UP = ("position", "incline", "posture", "contacts", "sides", "stride", "stands_on", "front")
USUAL_WAY_S = 2.0


def taken(base: Exercise, other: Exercise) -> Iterator[Setting]:
    """Each field, or set of fields that belong together, in which the two exercises differ."""
    yield from _take(base, other, "position", "set-up", SET_UP, _set_up_words(other))
    yield from _take(base, other, "range", "arc", ("movement",), _as_in("the movement", other))
    help_words = _as_in("the help", other) if other.assist else "without the help"
    yield from _take(base, other, "assistance", "assist", ("assist",), help_words)
    load = _as_in("the resistance", other) if other.resistance else "without the resistance"
    yield from _take(base, other, "resistance", "resistance-0", ("resistance",), load)
    if other.dose is not None and _fits(base.dose, other.dose):
        yield from _take(base, other, "volume", "dose", ("dose",), in_words(other.dose))
    if base.passive != other.passive:
        words = "moved for the patient" if other.passive else "moved by the patient"
        yield from _take(base, other, "assistance", "passive", ("passive",), words)
    if base.ballistic and not other.ballistic:
        yield Setting("volume", "landing", "without-leaving-the-ground",
                      "slowly, without leaving the ground", 0, _grounded)  # fmt: skip


def _as_in(what: str, other: Exercise) -> str:
    return f"{what} as in “{other.title}”"


def _set_up_words(other: Exercise) -> str:
    return f"{POSITION_WORDS.get(other.position, other.position)}, set up as in “{other.title}”"


def _take(
    base: Exercise, other: Exercise, lever: Lever, handle: str, fields: tuple[str, ...], words: str
) -> Iterator[Setting]:
    if all(getattr(base, field) == getattr(other, field) for field in fields):
        return

    def apply(exercise: Exercise) -> Mapping[str, Any]:
        changed = {field: _taken_over(exercise, other, field) for field in fields}
        if handle in ("set-up", "assist", "resistance-0"):
            equipment = dict.fromkeys((*exercise.equipment, *other.equipment))
            changed["equipment"] = tuple(equipment)
        return changed

    yield Setting(lever, handle, f"{handle.removesuffix('-0')}-of-{other.id}", words, 0, apply)


def _fits(dose: Dose | None, other: Dose) -> bool:
    """Whether a variation can have the other dose: nothing written has to be taken out."""
    if dose is None:
        return True
    return not any(getattr(dose, key) and not getattr(other, key) for key in ("hold", "duration"))


def _taken_over(exercise: Exercise, other: Exercise, field: str) -> Any:
    """A field of the other exercise as a variation's file can have it."""
    value, now = getattr(other, field), getattr(exercise, field)
    if field == "posture":
        return merged(value, now)
    if field == "dose" and now is not None:
        known = {key: one for key in Dose.model_fields if (one := getattr(value, key)) is not None}
        if value.hold and not value.reps and now.reps:
            known["reps"] = RepRange(1, 1)
        return now.model_copy(update=known)
    return now if value is None else value


def _grounded(exercise: Exercise) -> Mapping[str, Any]:
    """A hop or throw done as a slow movement over the same range."""
    dose = (exercise.dose or Dose()).model_copy(update={"up": USUAL_WAY_S, "down": USUAL_WAY_S})
    return {"ballistic": False, "impact": "none", "dose": dose}
