"""Quantities with units: text in the library, SI numbers inside.

Angles are plain numbers in degrees; everything else is a number with a unit in a string.
"""

from __future__ import annotations

import datetime
import re
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from typing import Annotated, Any, Literal, TypeVar

from pydantic import BeforeValidator, Field, PlainValidator, WithJsonSchema
from pydantic_core import PydanticCustomError

from rungbook.model.movement import MOVEMENTS, Action, split_side
from rungbook.model.unit import COMMON, EXAMPLES, fault, magnitude


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


@dataclass(frozen=True, slots=True)
class AngleLimit:
    """A limit on a movement, `over 90` or `under 10` degrees: what lies past it is forbidden."""

    relation: Literal["over", "under"]
    degrees: float

    def __str__(self) -> str:
        return f"{self.relation} {self.degrees:g}"


T = TypeVar("T")


def _once(parse: Callable[[Any], T]) -> Callable[[Any], T]:
    """The parser with a memory: each distinct text is parsed once."""
    remembered = cache(parse)
    return lambda value: remembered(value) if type(value) is str else parse(value)


def _schema(pattern: str, *examples: Any, number: dict[str, Any] | None = None) -> WithJsonSchema:
    text = {"type": "string", "pattern": f"^{pattern}$", "examples": list(examples)}
    return WithJsonSchema({"anyOf": [number, text]} if number else text)


_NUMBER = r"\d+(\.\d+)?"


def _units(unit: str) -> str:
    return "|".join(re.escape(word) for word in COMMON[unit])


def _quantity(unit: str, most: str, least: str | None = None) -> BeforeValidator:
    highest = magnitude(most, unit)
    lowest = magnitude(least, unit) if least else 0.0

    def parse(value: Any) -> float:
        if not isinstance(value, str):
            raise fault("wrong_unit", value, f"a number with a unit, such as {EXAMPLES[unit]}")
        number = magnitude(value, unit)
        if not lowest <= number <= highest:
            raise fault("wrong_value", value, f"between {least or 0} and {most}")
        return number

    return BeforeValidator(_once(parse))


def _text(unit: str, *examples: str) -> WithJsonSchema:
    return _schema(rf"\s*\+?{_NUMBER}\s*({_units(unit)})\s*", *examples)


Mass = Annotated[float, _quantity("kg", "500 kg"), _text("kg", "2 kg", "5 lb")]
Force = Annotated[float, _quantity("N", "5000 N"), _text("N", "20 N")]
Length = Annotated[float, _quantity("m", "10 m"), _text("m", "0.45 m", "45 cm")]
Duration = Annotated[float, _quantity("s", "24 h", "0.1 s"), _text("s", "30 s", "2 min")]
Pause = Annotated[float, _quantity("s", "24 h"), _text("s", "1 s", "0 s")]
Share = Annotated[
    float,
    _quantity("dimensionless", "100 %"),
    _schema(r"\s*\+?(100(\.0+)?|\d{1,2}(\.\d+)?)\s*%\s*", "50 %"),
]
Angle = Annotated[float, Field(ge=-360, le=360)]


def parse_moment_figure(value: Any) -> MomentFigure:
    """`60 Nm` or `0.9 Nm/kg`."""
    if isinstance(value, MomentFigure):
        return value
    expected = "a moment with its unit, such as '60 Nm' or '0.9 Nm/kg'"
    if not isinstance(value, str):
        raise fault("wrong_unit", value, expected)
    for unit, per_mass in (("N*m", False), ("N*m/kg", True)):
        try:
            figure = MomentFigure(magnitude(value, unit), per_mass)
        except PydanticCustomError as error:
            if error.type == "wrong_value":
                raise
            continue
        if not 0 <= figure.value <= (20 if per_mass else 2000):
            raise fault("wrong_value", value, "between 0 and 2000 Nm or 20 Nm/kg")
        return figure
    raise fault("wrong_unit", value, expected)


ACTION_WORDS = tuple(f"{joint} {name}" for joint, names in MOVEMENTS.items() for name in names)


@cache
def parse_action(text: str) -> Action:
    """`ankle plantarflexion` or `other-hip abduction`."""
    words = text.split()
    if len(words) == 2:
        joint, other = split_side(words[0])
        if words[1] in MOVEMENTS.get(joint, ()):
            return Action(joint, words[1], other)
    raise fault("wrong_value", text, "an action such as 'ankle plantarflexion'", ACTION_WORDS)


def _action(value: Any) -> Action:
    if isinstance(value, Action):
        return value
    if not isinstance(value, str):
        raise fault("wrong_value", value, "an action such as 'ankle plantarflexion'")
    return parse_action(value)


def _as_list(value: Any) -> Any:
    return (
        value if isinstance(value, tuple) else tuple(value) if isinstance(value, list) else (value,)
    )


def _reps(value: Any) -> RepRange:
    if isinstance(value, RepRange):
        return value
    if isinstance(value, int) and not isinstance(value, bool) and 1 <= value <= 9999:
        return RepRange(value, value)
    if isinstance(value, str):
        match = re.fullmatch(r"(\d{1,4})(?:\s*[-\u2013]\s*(\d{1,4}))?", value)
        if match and 1 <= int(match[1]) <= int(match[2] or match[1]):
            return RepRange(int(match[1]), int(match[2] or match[1]))
    raise fault("wrong_value", value, "a number of repetitions, such as 12 or 8-12")


def _effort(value: Any) -> EffortRange:
    if isinstance(value, EffortRange):
        return value
    pattern = r"(\d{1,2}(?:\.\d+)?)(?:\s*[-\u2013]\s*(\d{1,2}(?:\.\d+)?))? of 10"
    match = re.fullmatch(pattern, value) if isinstance(value, str) else None
    if match:
        low, high = float(match[1]), float(match[2] or match[1])
        if 0 <= low <= high <= 10:
            return EffortRange(low, high)
    raise fault("wrong_value", value, "an effort such as '4-6 of 10'")


def _sessions(value: Any) -> float:
    pattern = r"(\d{1,2}(?:\.\d+)?) per (day|week)"
    match = re.fullmatch(pattern, value) if isinstance(value, str) else None
    if match and 0 < float(match[1]) <= 50:
        return float(match[1]) * (7 if match[2] == "day" else 1)
    raise fault("wrong_value", value, "a frequency such as '3 per week' or '2 per day'")


_UNIT_DAYS = {"session": 1.0, "day": 1.0, "week": 7.0, "month": 30.4375}


def _after(value: Any) -> After:
    if isinstance(value, After):
        return value
    pattern = r"(\d{1,4}(?:\.\d+)?) (session|day|week|month)s?"
    match = re.fullmatch(pattern, value) if isinstance(value, str) else None
    if match is None:
        expected = "a least time such as '6 sessions', '10 days' or '2 weeks'"
        raise fault("wrong_value", value, expected)
    unit: Literal["sessions", "days"] = "sessions" if match[2] == "session" else "days"
    return After(float(match[1]) * _UNIT_DAYS[match[2]], unit)


def _date(value: Any) -> datetime.date:
    if type(value) is datetime.date:
        return value
    if isinstance(value, str) and re.fullmatch(r"\d{4}-\d{2}-\d{2}", value):
        try:
            return datetime.date.fromisoformat(value)
        except ValueError:
            pass
    raise fault("wrong_value", value, "a date such as 2026-05-01")


def _from_to(value: Any) -> tuple[float, float]:
    if isinstance(value, (list, tuple)) and len(value) == 2 and all(map(_is_angle, value)):
        return float(value[0]), float(value[1])
    raise fault("wrong_value", value, "two angles in degrees, from and to, such as [0, 30]")


def _is_angle(value: Any) -> bool:
    return isinstance(value, (int, float)) and not isinstance(value, bool) and abs(value) <= 360


def _angle_limit(value: Any) -> AngleLimit:
    if isinstance(value, AngleLimit):
        return value
    pattern = r"(over|under) ([+-]?\d{1,3}(?:\.\d+)?)"
    match = re.fullmatch(pattern, value) if isinstance(value, str) else None
    if match is None or abs(float(match[2])) > 360:
        raise fault("wrong_value", value, "a limit in degrees such as 'over 90' or 'under 10'")
    return AngleLimit("over" if match[1] == "over" else "under", float(match[2]))


def _step_limit(value: Any) -> float | Literal["off"]:
    if value == "off":
        return "off"
    if isinstance(value, (int, float)) and not isinstance(value, bool) and 0 < value <= 1000:
        return float(value)
    if isinstance(value, str) and value.rstrip().endswith("%"):
        return magnitude(value, "dimensionless")
    raise fault("wrong_value", value, "a limit such as 1.5, '30 %' or off")


Moment = Annotated[
    MomentFigure,
    PlainValidator(_once(parse_moment_figure)),
    _schema(rf"\s*\+?{_NUMBER}\s*({_units('N*m')}|{_units('N*m/kg')})\s*", "0.9 Nm/kg", "60 Nm"),
]
_ONE_ACTION: dict[str, Any] = {
    "type": "string",
    "pattern": rf"^\s*(other-)?({'|'.join(ACTION_WORDS).replace(' ', chr(92) + 's+')})\s*$",
    "examples": ["ankle plantarflexion"],
}
OneAction = Annotated[Action, PlainValidator(_action), WithJsonSchema(_ONE_ACTION)]
Actions = Annotated[
    tuple[OneAction, ...],
    BeforeValidator(_as_list),
    WithJsonSchema({"anyOf": [_ONE_ACTION, {"type": "array", "items": _ONE_ACTION}]}),
]
Reps = Annotated[
    RepRange,
    PlainValidator(_reps),
    _schema(r"\d{1,4}(\s*[-\u2013]\s*\d{1,4})?", "8-12", number={"type": "integer", "minimum": 1}),
]
Effort = Annotated[
    EffortRange,
    PlainValidator(_once(_effort)),
    _schema(r"(\d|10)(\.\d+)?(\s*[-\u2013]\s*(\d|10)(\.\d+)?)? of 10", "4-6 of 10"),
]
SessionsPerWeek = Annotated[
    float,
    PlainValidator(_once(_sessions)),
    _schema(r"\d{1,2}(\.\d+)? per (day|week)", "3 per week", "2 per day"),
]
LeastTime = Annotated[
    After,
    PlainValidator(_once(_after)),
    _schema(r"\d{1,4}(\.\d+)? (session|day|week|month)s?", "6 sessions", "2 weeks"),
]
Date = Annotated[
    datetime.date, PlainValidator(_once(_date)), _schema(r"\d{4}-\d{2}-\d{2}", "2026-05-01")
]
FromTo = Annotated[
    tuple[float, float],
    PlainValidator(_from_to),
    WithJsonSchema(
        {
            "type": "array",
            "items": {"type": "number", "minimum": -360, "maximum": 360},
            "minItems": 2,
            "maxItems": 2,
            "examples": [[0, 30]],
        }
    ),
]
Bound = Annotated[
    AngleLimit,
    PlainValidator(_once(_angle_limit)),
    _schema(r"(over|under) [+-]?\d{1,3}(\.\d+)?", "over 90", "under 10"),
]
StepLimit = Annotated[
    float | Literal["off"],
    PlainValidator(_step_limit),
    _schema(
        rf"(off|{_NUMBER}\s*%)",
        "30 %",
        "off",
        number={"type": "number", "exclusiveMinimum": 0, "maximum": 1000},
    ),
]
