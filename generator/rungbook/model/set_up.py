"""The numbers of an exercise that patient words name: `{{hold}}`, `{{weight}}`, `{{height}}`.

Words for the patient state no number themselves: they name it, and it is written out wherever the
words stand, so that what is changed for one patient changes every place that says it.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from rungbook.model.acting import Assistance, Contact, Resistance
from rungbook.model.exercise import Dose, Exercise
from rungbook.model.span import ends

HeightOf = Literal["seat", "step", "hands"]
TIMES = ("hold", "duration", "up", "pause", "down", "rest")
NAMES = ("sets", "reps", *TIMES, "weight", "height", "arc")
_WRITTEN = re.compile(r"\{\{\s*([^{}]*?)\s*\}\}")
_NAME = re.compile(r"\{\{\s*([a-z]+)\s*\}\}")  # anything else in braces stays as it is
_SENTENCE = re.compile(r"[^.!?]+[.!?]*\s*|[.!?]+\s*")
_TAG = re.compile(r"(<[^>]*>)")


@dataclass(frozen=True, slots=True)
class SetUp:
    """What is set for a patient beside the dose.

    `weight_kg` is that of one piece, of which there are `pieces`; `arc` is the leading movement,
    from and to in degrees, and `share` how much of it is done, in per cent.
    """

    weight_kg: float | None = None
    pieces: int = 1
    height_m: float | None = None
    height_of: HeightOf | None = None
    arc: tuple[float, float] | None = None
    share: int = 100


def set_up(exercise: Exercise) -> SetUp:
    """What an exercise is written with."""
    weight, pieces = _weight(exercise)
    height = min(filter(None, map(_height, exercise.contacts)), default=None)
    return SetUp(
        weight, pieces, height[1] if height else None, height[2] if height else None, _arc(exercise)
    )


def _weight(exercise: Exercise) -> tuple[float | None, int]:
    """The weight of one piece, and how many there are: a box in both hands is one."""
    held: tuple[Resistance | Assistance, ...] = (*exercise.resistance, *exercise.assist)
    for item in held:
        if item.weight is None or item.at is None:
            continue
        one_body = item.at in ("upper-back", "pelvis", "head")
        if exercise.sides == "one" or one_body:
            return item.weight, 1
        return (2 * item.weight, 1) if "box" in exercise.equipment else (item.weight, 2)
    return None, 1


def _height(contact: Contact) -> tuple[int, float, HeightOf] | None:
    """The height of the seat that is left, else of the step, else of what is leant on.

    First the one that decides; a seat that is sat on all the time is no part of the work.
    """
    if contact.height is None:
        return None
    if contact.at == "seat":
        return (0, contact.height, "seat") if contact.during else None
    if "foot" in contact.at or "feet" in contact.at or "heel" in contact.at:
        return 1, contact.height, "step"
    hands = "hand" in contact.at and not contact.touch and contact.share is None
    return (2, contact.height, "hands") if hands else None


def _arc(exercise: Exercise) -> tuple[float, float] | None:
    if exercise.dose is None or exercise.dose.reps is None or not exercise.movement:
        return None
    angles = next(iter(exercise.movement[0].values()), {})
    way = next(iter(angles.values()), None)
    return way if way and way[0] != way[1] else None


def names_in(words: str) -> list[str]:
    """The numbers that words name, as they are written."""
    return _WRITTEN.findall(words)


def fill(words: str, numbers: Mapping[str, str]) -> str:
    """Words, or HTML made of them, with the numbers they name written out.

    A sentence about a number that there is not is left out: nobody pauses for no seconds.
    """
    if "{{" not in words:
        return words
    parts = _TAG.split(words)
    return "".join(part if part.startswith("<") else _filled(part, numbers) for part in parts)


def _filled(text: str, numbers: Mapping[str, str]) -> str:
    kept = [
        sentence
        for sentence in _SENTENCE.findall(text)
        if all(name in numbers for name in _NAME.findall(sentence))
    ]
    return _NAME.sub(lambda found: numbers[found[1]], "".join(kept))


def owned(exercise: Exercise) -> frozenset[str]:
    """The names of the numbers that an exercise has, those of nothing included."""
    own, dose = set_up(exercise), exercise.dose or Dose()
    has = {name for name in ("sets", "reps", *TIMES) if getattr(dose, name) is not None}
    values = (("weight", own.weight_kg), ("height", own.height_m), ("arc", own.arc))
    return frozenset(has | {name for name, value in values if value is not None})


def in_units(exercise: Exercise) -> dict[str, str]:
    """Each number with the sign of its unit, for words that leave the library as they are."""
    own, dose = set_up(exercise), exercise.dose or Dose()
    found = {name: f"{_range(*ends(time))} s" for name in TIMES if (time := getattr(dose, name))}
    if dose.sets:
        found["sets"] = _range(*ends(dose.sets))
    if dose.reps:
        found["reps"] = _range(dose.reps.low, dose.reps.high)
    if own.weight_kg:
        found["weight"] = f"{own.weight_kg:g} kg"
    if own.height_m:
        found["height"] = f"{100 * own.height_m:.0f} cm"
    if own.arc:
        found["arc"] = f"{abs(own.arc[1] - own.arc[0]):.0f}\N{DEGREE SIGN}"
    return found


def _range(low: float, high: float) -> str:
    return f"{low:g}" if low == high else f"{low:g}-{high:g}"
