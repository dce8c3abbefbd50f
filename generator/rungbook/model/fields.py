"""Kinds of fields: how a text becomes a value, and what the schema says of it."""

from __future__ import annotations

import datetime
import re
from collections.abc import Callable
from functools import cache
from typing import Annotated, Any, Literal, TypeVar

from pydantic import BeforeValidator, Field, PlainValidator, WithJsonSchema

from rungbook.model.movement import Action
from rungbook.model.quantity import (
    ACTION_WORDS,
    After,
    AngleLimit,
    EffortRange,
    LoadCeiling,
    MomentFigure,
    RepRange,
    as_action,
    as_list,
    parse_after,
    parse_angle_limit,
    parse_ceiling,
    parse_date,
    parse_effort,
    parse_from_to,
    parse_moment_figure,
    parse_reps,
    parse_step_limit,
    parse_weeks,
)
from rungbook.model.span import MOST_SETS, parse_sessions, parse_sets, parse_time
from rungbook.model.unit import COMMON, EXAMPLES, fault, magnitude

T = TypeVar("T")


def _once(parse: Callable[[Any], T]) -> Callable[[Any], T]:
    """The parser with a memory: each distinct text is parsed once."""
    remembered = cache(parse)
    return lambda value: remembered(value) if type(value) is str else parse(value)


def _schema(pattern: str, *examples: Any, number: dict[str, Any] | None = None) -> WithJsonSchema:
    text = {"type": "string", "pattern": f"^{pattern}$", "examples": list(examples)}
    return WithJsonSchema({"anyOf": [number, text]} if number else text)


_NUMBER = r"\d+(\.\d+)?"
_FROM_TO = rf"{_NUMBER}(\s*(-|\u2013|to)\s*{_NUMBER})?"


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
OneAction = Annotated[Action, PlainValidator(as_action), WithJsonSchema(_ONE_ACTION)]
Actions = Annotated[
    tuple[OneAction, ...],
    BeforeValidator(as_list),
    WithJsonSchema({"anyOf": [_ONE_ACTION, {"type": "array", "items": _ONE_ACTION}]}),
]
Reps = Annotated[
    RepRange,
    PlainValidator(parse_reps),
    _schema(r"\d{1,4}(\s*[-\u2013]\s*\d{1,4})?", "8-12", number={"type": "integer", "minimum": 1}),
]
Effort = Annotated[
    EffortRange,
    PlainValidator(_once(parse_effort)),
    _schema(r"(\d|10)(\.\d+)?(\s*[-\u2013]\s*(\d|10)(\.\d+)?)? of 10", "4-6 of 10"),
]
SessionsPerWeek = Annotated[
    float,
    PlainValidator(_once(parse_sessions)),
    _schema(
        r"\d{1,2}(\.\d+)?(\s*(-|\u2013|to)\s*\d{1,2}(\.\d+)?)? per (day|week)",
        "3 per week",
        "2-3 per week",
        "2 per day",
    ),
]
SetCount = Annotated[
    float,
    PlainValidator(parse_sets),
    _schema(
        r"\s*[1-9]\d{0,2}\s*(-|\u2013|to)\s*[1-9]\d{0,2}\s*",
        "2-3",
        number={"type": "integer", "minimum": 1, "maximum": MOST_SETS},
    ),
]
RangedTime = Annotated[
    float,
    PlainValidator(_once(parse_time)),
    _schema(rf"\s*\+?{_FROM_TO}\s*({_units('s')})\s*", "30 s", "10-30 s"),
]
LeastTime = Annotated[
    After,
    PlainValidator(_once(parse_after)),
    _schema(r"\d{1,4}(\.\d+)? (session|day|week|month)s?", "6 sessions", "2 weeks"),
]
Date = Annotated[
    datetime.date, PlainValidator(_once(parse_date)), _schema(r"\d{4}-\d{2}-\d{2}", "2026-05-01")
]
FromTo = Annotated[
    tuple[float, float],
    PlainValidator(parse_from_to),
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
Weeks = Annotated[
    tuple[float, float | None],
    PlainValidator(parse_weeks),
    WithJsonSchema(
        {
            "type": "array",
            "items": {"type": "number", "minimum": 0, "maximum": 520},
            "minItems": 1,
            "maxItems": 2,
            "examples": [[0, 6], [12]],
        }
    ),
]
MostLoad = Annotated[
    LoadCeiling,
    PlainValidator(_once(parse_ceiling)),
    _schema(
        rf"\s*(effort\s+{_NUMBER}\s*%|{_NUMBER}\s*({_units('kg')}|{_units('N*m')}))\s*",
        "5 kg",
        "effort 30 %",
        "20 Nm",
    ),
]
Bound = Annotated[
    AngleLimit,
    PlainValidator(_once(parse_angle_limit)),
    _schema(r"(over|under) [+-]?\d{1,3}(\.\d+)?", "over 90", "under 10"),
]
StepLimit = Annotated[
    float | Literal["off"],
    PlainValidator(parse_step_limit),
    _schema(
        rf"(off|{_NUMBER}\s*%)",
        "30 %",
        "off",
        number={"type": "number", "exclusiveMinimum": 0, "maximum": 1000},
    ),
]
