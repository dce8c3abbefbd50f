"""Quantities with units: text in the library, SI numbers inside.

Angles are plain numbers in degrees; everything else is a number with a unit in a string.
Each distinct text is parsed once.
"""

from __future__ import annotations

import datetime
import re
from dataclasses import dataclass
from functools import cache
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, WithJsonSchema
from pydantic_core import PydanticCustomError

from rungbook.model.movement import MOVEMENTS, Action, split_side


@dataclass(frozen=True, slots=True)
class RepRange:
    """Repetitions of a set, `12` or `8-12`."""

    low: int
    high: int


@dataclass(frozen=True, slots=True)
class EffortRange:
    """Perceived effort on a scale of ten, `4-6 of 10`."""

    low: float
    high: float


@dataclass(frozen=True, slots=True)
class After:
    """The least time on a rung: `6 sessions`, `10 days`, `2 weeks` (14 days)."""

    count: float
    unit: Literal["sessions", "days"]


@dataclass(frozen=True, slots=True)
class MomentFigure:
    """A published moment: N·m, or N·m per kg of body mass."""

    value: float
    per_mass: bool


def _wrong(kind: str, value: Any, expected: str) -> PydanticCustomError:
    return PydanticCustomError(kind, "{value} is not {expected}", {"value": repr(value), "expected": expected})


@cache
def _registry() -> Any:
    import pint

    return pint.UnitRegistry(cache_folder=None)


@cache
def magnitude(text: str, unit: str) -> float:
    """The number of `text` in `unit`.

    Raises:
        PydanticCustomError: kind `wrong_unit`, where the text has no unit or one of another
            dimension; `wrong_value`, where it is no quantity at all.
    """
    import pint

    example = EXAMPLES[unit]
    match = re.fullmatch(r"\s*([+-]?\d+(?:\.\d+)?(?:[eE][+-]?\d+)?)\s*([^\d\s].{0,30})?\s*", text)
    if match is None:
        raise _wrong("wrong_value", text, f"a number with a unit, such as {example}")
    number, unit_text = float(match[1]), match[2]
    if unit_text is None:
        raise _wrong("wrong_unit", text, f"a number with a unit, such as {example}")
    try:
        factor = _registry().Quantity(1.0, _UNIT_WORDS.get(unit_text, unit_text)).to(unit).magnitude
    except (pint.errors.PintError, AttributeError, TypeError, ValueError, ZeroDivisionError):
        raise _wrong("wrong_unit", text, f"in a unit this needs, such as {example}") from None
    return float(number * factor)


_UNIT_WORDS = {"%": "percent", "Nm": "N*m", "N·m": "N*m", "Nm/kg": "N*m/kg", "N·m/kg": "N*m/kg"}
EXAMPLES = {
    "kg": "'2 kg' or '5 lb'",
    "N": "'20 N'",
    "m": "'0.45 m'",
    "s": "'30 s'",
    "N*m": "'60 Nm'",
    "N*m/kg": "'0.9 Nm/kg'",
    "dimensionless": "'50 %'",
}


def _quantity(unit: str, least: float = 0.0, most: float = 1e6) -> BeforeValidator:
    def parse(value: Any) -> float:
        if not isinstance(value, str):
            raise _wrong("wrong_unit", value, f"a number with a unit, such as {EXAMPLES[unit]}")
        number = magnitude(value, unit)
        if not least <= number <= most:
            raise _wrong("wrong_value", value, f"between {least:g} and {most:g} {unit}")
        return number

    return BeforeValidator(parse)


def _text_schema(description: str, *examples: str) -> WithJsonSchema:
    return WithJsonSchema({"type": "string", "description": description, "examples": list(examples)})


Mass = Annotated[float, _quantity("kg", most=500), _text_schema("a mass", "2 kg", "5 lb")]
Force = Annotated[float, _quantity("N", most=5000), _text_schema("a force", "20 N")]
Length = Annotated[float, _quantity("m", most=10), _text_schema("a length", "0.45 m")]
Duration = Annotated[float, _quantity("s", most=86400), _text_schema("a time", "30 s", "2 min")]
Share = Annotated[
    float, _quantity("dimensionless", most=1.0), _text_schema("a share of the whole", "50 %")
]


def parse_moment_figure(value: Any) -> MomentFigure:
    """`60 Nm` or `0.9 Nm/kg`."""
    if not isinstance(value, str):
        raise _wrong("wrong_unit", value, "a moment with its unit, such as '60 Nm' or '0.9 Nm/kg'")
    try:
        return MomentFigure(magnitude(value, "N*m"), per_mass=False)
    except PydanticCustomError as error:
        if error.type == "wrong_value":
            raise
        return MomentFigure(magnitude(value, "N*m/kg"), per_mass=True)


@cache
def parse_action(text: str) -> Action:
    """`ankle plantarflexion` or `other-hip abduction`."""
    words = text.split()
    if len(words) == 2:
        joint, other = split_side(words[0])
        if words[1] in MOVEMENTS.get(joint, ()):
            return Action(joint, words[1], other)
    raise _wrong("wrong_value", text, "an action such as 'ankle plantarflexion'")


def _actions(value: Any) -> tuple[Action, ...]:
    items = value if isinstance(value, (list, tuple)) else [value]
    if not items or not all(isinstance(item, str) for item in items):
        raise _wrong("wrong_value", value, "an action such as 'ankle plantarflexion', or a list of them")
    return tuple(parse_action(item) for item in items)


def _reps(value: Any) -> RepRange:
    if isinstance(value, int) and not isinstance(value, bool) and value >= 1:
        return RepRange(value, value)
    match = re.fullmatch(r"(\d{1,4})\s*[-–]\s*(\d{1,4})", value) if isinstance(value, str) else None
    if match and 1 <= int(match[1]) <= int(match[2]):
        return RepRange(int(match[1]), int(match[2]))
    raise _wrong("wrong_value", value, "a number of repetitions, such as 12 or 8-12")


def _effort(value: Any) -> EffortRange:
    match = (
        re.fullmatch(r"(\d+(?:\.\d+)?)(?:\s*[-–]\s*(\d+(?:\.\d+)?))? of 10", value)
        if isinstance(value, str)
        else None
    )
    if match:
        low, high = float(match[1]), float(match[2] or match[1])
        if 0 <= low <= high <= 10:
            return EffortRange(low, high)
    raise _wrong("wrong_value", value, "an effort such as '4-6 of 10'")


def _sessions(value: Any) -> float:
    match = (
        re.fullmatch(r"(\d+(?:\.\d+)?) per (day|week)", value) if isinstance(value, str) else None
    )
    if match and 0 < float(match[1]) <= 50:
        return float(match[1]) * (7 if match[2] == "day" else 1)
    raise _wrong("wrong_value", value, "a frequency such as '3 per week' or '2 per day'")


def _after(value: Any) -> After:
    match = (
        re.fullmatch(r"(\d+(?:\.\d+)?) (session|day|week|month)s?", value)
        if isinstance(value, str)
        else None
    )
    if match is None:
        raise _wrong("wrong_value", value, "a least time such as '6 sessions', '10 days' or '2 weeks'")
    days = {"session": 1.0, "day": 1.0, "week": 7.0, "month": 30.4375}[match[2]]
    return After(float(match[1]) * days, "sessions" if match[2] == "session" else "days")


def _date(value: Any) -> datetime.date:
    if isinstance(value, str) and re.fullmatch(r"\d{4}-\d{2}-\d{2}", value):
        try:
            return datetime.date.fromisoformat(value)
        except ValueError:
            pass
    raise _wrong("wrong_value", value, "a date such as 2026-05-01")


def _angles(value: Any) -> tuple[float, ...]:
    items = value if isinstance(value, (list, tuple)) else [value]
    if len(items) == 2 and all(
        isinstance(item, (int, float)) and not isinstance(item, bool) and abs(item) <= 360
        for item in items
    ):
        return (float(items[0]), float(items[1]))
    raise _wrong("wrong_value", value, "two angles in degrees, from and to, such as [0, 30]")


Moment = Annotated[MomentFigure, BeforeValidator(parse_moment_figure), _text_schema("a moment", "0.9 Nm/kg", "60 Nm")]
Actions = Annotated[
    tuple[Action, ...],
    BeforeValidator(_actions),
    WithJsonSchema({"anyOf": [{"type": "string"}, {"type": "array", "items": {"type": "string"}}]}),
]
Reps = Annotated[
    RepRange,
    BeforeValidator(_reps),
    WithJsonSchema({"anyOf": [{"type": "integer", "minimum": 1}, {"type": "string", "pattern": r"^\d+-\d+$"}]}),
]
Effort = Annotated[EffortRange, BeforeValidator(_effort), _text_schema("perceived effort", "4-6 of 10")]
SessionsPerWeek = Annotated[
    float, BeforeValidator(_sessions), _text_schema("how often", "3 per week", "2 per day")
]
LeastTime = Annotated[After, BeforeValidator(_after), _text_schema("a least time", "6 sessions", "2 weeks")]
Date = Annotated[
    datetime.date, BeforeValidator(_date), WithJsonSchema({"type": "string", "format": "date"})
]
FromTo = Annotated[
    tuple[float, float],
    BeforeValidator(_angles),
    WithJsonSchema({"type": "array", "items": {"type": "number"}, "minItems": 2, "maxItems": 2}),
]
