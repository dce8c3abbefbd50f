"""Quantities with units: text in the library, SI numbers inside.

Angles are plain numbers in degrees; everything else is a number with a unit in a string.
"""

from __future__ import annotations

import datetime
import re
from dataclasses import dataclass
from functools import cache
from typing import Any, Literal

from pydantic_core import PydanticCustomError

from rungbook.model.movement import MOVEMENTS, Action, split_side
from rungbook.model.unit import fault, magnitude


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


@dataclass(frozen=True, slots=True)
class LoadCeiling:
    """The most load that is allowed: kg, a share of a maximum, or N·m."""

    unit: Literal["kg", "effort", "Nm"]
    value: float

    def __str__(self) -> str:
        if self.unit == "effort":
            return f"effort {100 * self.value:g} %"
        return f"{self.value:g} {self.unit}"


def parse_ceiling(value: Any) -> LoadCeiling:
    """`5 kg`, `effort 30 %` or `20 Nm`."""
    if isinstance(value, LoadCeiling):
        return value
    expected = "a most load such as '5 kg', 'effort 30 %' or '20 Nm'"
    if not isinstance(value, str):
        raise fault("wrong_unit", value, expected)
    words = value.strip()
    if words.startswith("effort "):
        share = magnitude(words.removeprefix("effort "), "dimensionless")
        if not 0 <= share <= 1:
            raise fault("wrong_value", value, "an effort from 0 to 100 %")
        return LoadCeiling("effort", share)
    for unit, name, most in (("kg", "kg", 500.0), ("N*m", "Nm", 2000.0)):
        try:
            number = magnitude(words, unit)
        except PydanticCustomError as error:
            if error.type == "wrong_value":
                raise fault("wrong_value", value, expected) from None
            continue
        if not 0 <= number <= most:
            raise fault("wrong_value", value, f"between 0 and {most:g} {name}")
        return LoadCeiling("kg" if unit == "kg" else "Nm", number)
    raise fault("wrong_unit", value, expected)


def parse_weeks(value: Any) -> tuple[float, float | None]:
    """`[0, 6]` from and to, `[12]` from then on."""
    if isinstance(value, (list, tuple)) and len(value) in (1, 2) and all(map(_is_week, value)):
        start, end = float(value[0]), float(value[1]) if len(value) > 1 else None
        if end is None or start < end:
            return start, end
    raise fault("wrong_value", value, "weeks from and to, such as [0, 6], or [12] from then on")


def _is_week(value: Any) -> bool:
    return isinstance(value, (int, float)) and not isinstance(value, bool) and 0 <= value <= 520


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


def as_action(value: Any) -> Action:
    """An action, or its text."""
    if isinstance(value, Action):
        return value
    if not isinstance(value, str):
        raise fault("wrong_value", value, "an action such as 'ankle plantarflexion'")
    return parse_action(value)


def as_list(value: Any) -> Any:
    """A single value as a list of one."""
    return (
        value if isinstance(value, tuple) else tuple(value) if isinstance(value, list) else (value,)
    )


def parse_reps(value: Any) -> RepRange:
    """`12` or `8-12`."""
    if isinstance(value, RepRange):
        return value
    if isinstance(value, int) and not isinstance(value, bool) and 1 <= value <= 9999:
        return RepRange(value, value)
    if isinstance(value, str):
        match = re.fullmatch(r"(\d{1,4})(?:\s*[-\u2013]\s*(\d{1,4}))?", value)
        if match and 1 <= int(match[1]) <= int(match[2] or match[1]):
            return RepRange(int(match[1]), int(match[2] or match[1]))
    raise fault("wrong_value", value, "a number of repetitions, such as 12 or 8-12")


def parse_effort(value: Any) -> EffortRange:
    """`4-6 of 10`."""
    if isinstance(value, EffortRange):
        return value
    pattern = r"(\d{1,2}(?:\.\d+)?)(?:\s*[-\u2013]\s*(\d{1,2}(?:\.\d+)?))? of 10"
    match = re.fullmatch(pattern, value) if isinstance(value, str) else None
    if match:
        low, high = float(match[1]), float(match[2] or match[1])
        if 0 <= low <= high <= 10:
            return EffortRange(low, high)
    raise fault("wrong_value", value, "an effort such as '4-6 of 10'")


_UNIT_DAYS = {"session": 1.0, "day": 1.0, "week": 7.0, "month": 30.4375}


def parse_after(value: Any) -> After:
    """`6 sessions`, `10 days`, `2 weeks`, `3 months`."""
    if isinstance(value, After):
        return value
    pattern = r"(\d{1,4}(?:\.\d+)?) (session|day|week|month)s?"
    match = re.fullmatch(pattern, value) if isinstance(value, str) else None
    if match is None:
        expected = "a least time such as '6 sessions', '10 days' or '2 weeks'"
        raise fault("wrong_value", value, expected)
    unit: Literal["sessions", "days"] = "sessions" if match[2] == "session" else "days"
    return After(float(match[1]) * _UNIT_DAYS[match[2]], unit)


def parse_date(value: Any) -> datetime.date:
    """`2026-05-01`."""
    if type(value) is datetime.date:
        return value
    if isinstance(value, str) and re.fullmatch(r"\d{4}-\d{2}-\d{2}", value):
        try:
            return datetime.date.fromisoformat(value)
        except ValueError:
            pass
    raise fault("wrong_value", value, "a date such as 2026-05-01")


def parse_from_to(value: Any) -> tuple[float, float]:
    """Two angles in degrees, `[0, 30]`."""
    if isinstance(value, (list, tuple)) and len(value) == 2 and all(map(_is_angle, value)):
        return float(value[0]), float(value[1])
    raise fault("wrong_value", value, "two angles in degrees, from and to, such as [0, 30]")


def _is_angle(value: Any) -> bool:
    return isinstance(value, (int, float)) and not isinstance(value, bool) and abs(value) <= 360


def parse_angle_limit(value: Any) -> AngleLimit:
    """`over 90` or `under 10`."""
    if isinstance(value, AngleLimit):
        return value
    pattern = r"(over|under) ([+-]?\d{1,3}(?:\.\d+)?)"
    match = re.fullmatch(pattern, value) if isinstance(value, str) else None
    if match is None or abs(float(match[2])) > 360:
        raise fault("wrong_value", value, "a limit in degrees such as 'over 90' or 'under 10'")
    return AngleLimit("over" if match[1] == "over" else "under", float(match[2]))


def parse_step_limit(value: Any) -> float | Literal["off"]:
    """`1.5`, `30 %` (0.3) or `off`."""
    if value == "off" or value is False:  # what YAML 1.1 makes of `off`
        return "off"
    if isinstance(value, (int, float)) and not isinstance(value, bool) and 0 < value <= 1000:
        return float(value)
    if isinstance(value, str) and value.rstrip().endswith("%"):
        return magnitude(value, "dimensionless")
    raise fault("wrong_value", value, "a limit such as 1.5, '30 %' or off")
