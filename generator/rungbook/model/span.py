"""A range of a dose, `2-3`: its middle to compute with, both its ends to show."""

from __future__ import annotations

import re
from typing import Any

from pydantic_core import PydanticCustomError

from rungbook.model.unit import EXAMPLES, fault, magnitude

_RANGE = re.compile(r"\s*(\d{1,6}(?:\.\d{1,6})?)\s*(?:-|\u2013|to)\s*(\d{1,6}(?:\.\d{1,6})?)(.*)")
MOST_SETS = 100
MOST_A_WEEK = 350.0


class Span(float):
    """From `low` to `high`, not the same; as a number it is their middle."""

    __slots__ = ("high", "low")
    low: float
    high: float

    def __new__(cls, low: float, high: float) -> Span:
        span = super().__new__(cls, (low + high) / 2)
        span.low, span.high = low, high
        return span

    def __reduce__(self) -> tuple[type[Span], tuple[float, float]]:
        return Span, (self.low, self.high)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Span) and (self.low, self.high) == (other.low, other.high)

    def __ne__(self, other: object) -> bool:
        return not self == other

    def __hash__(self) -> int:
        return hash((self.low, self.high))

    def __repr__(self) -> str:
        return f"Span({self.low!r}, {self.high!r})"

    def __str__(self) -> str:
        return format(self, "g")

    def __format__(self, form: str) -> str:
        """Both ends in that form: `2-3`."""
        return f"{self.low:{form}}-{self.high:{form}}"

    def times(self, factor: float) -> Span:
        """The range, so many times as much."""
        return Span(self.low * factor, self.high * factor)


def ends(value: float) -> tuple[float, float]:
    """The least and the most of a number or a range."""
    return (value.low, value.high) if isinstance(value, Span) else (value, value)


def _ranged(value: Any) -> tuple[float, float, str] | None:
    """Both ends of a text that is a range, and what follows them."""
    match = _RANGE.fullmatch(value) if isinstance(value, str) else None
    return (float(match[1]), float(match[2]), match[3].strip()) if match else None


def _span(low: float, high: float, value: Any, expected: str) -> float:
    if low > high:
        raise fault("wrong_value", value, f"{expected}, the smaller number first")
    return low if low == high else Span(low, high)


def parse_sets(value: Any) -> float:
    """`3`, or `2-3`."""
    if isinstance(value, Span) or (type(value) is int and 1 <= value <= MOST_SETS):
        return value
    expected = "a whole number such as 3, or 2-3"
    found = _ranged(value)
    if found and not found[2] and all(one.is_integer() for one in found[:2]):
        low, high = int(found[0]), int(found[1])
        if low >= 1 and high <= MOST_SETS:
            return _span(low, high, value, expected)
    if isinstance(value, int) and not isinstance(value, bool):
        expected = f"from 1 to {MOST_SETS}"
    raise fault("wrong_value", value, expected)


def parse_sessions(value: Any) -> float:
    """Sessions per week, of `3 per week`, `2-3 per week` or `2 per day`."""
    if isinstance(value, Span):
        return value
    number = r"(\d{1,2}(?:\.\d+)?)"
    pattern = rf"{number}(?:\s*(?:-|\u2013|to)\s*{number})? per (day|week)"
    match = re.fullmatch(pattern, value) if isinstance(value, str) else None
    expected = "a frequency such as '3 per week', '2-3 per week' or '2 per day'"
    if match:
        low, high = float(match[1]), float(match[2] or match[1])
        days = 7 if match[3] == "day" else 1
        if low > 0 and high <= 50:
            return _span(low * days, high * days, value, expected)
    raise fault("wrong_value", value, expected)


def parse_time(value: Any) -> float:
    """Seconds, of `30 s`, `2 min` or `10-30 s`."""
    if isinstance(value, Span):
        return value
    if not isinstance(value, str):
        raise fault("wrong_unit", value, f"a number with a unit, such as {EXAMPLES['s']}")
    found = _ranged(value)
    if found is None:
        return _bounded(magnitude(value, "s"), value)
    try:
        low, high = (_bounded(magnitude(f"{one} {found[2]}", "s"), value) for one in found[:2])
    except PydanticCustomError as error:
        expected = str((error.context or {})["expected"])
        raise fault(error.type, value, expected) from None
    return _span(low, high, value, "a time such as '10-30 s'")


def _bounded(seconds: float, value: Any) -> float:
    if not 0.1 <= seconds <= 86400:
        raise fault("wrong_value", value, "between 0.1 s and 24 h")
    return seconds
