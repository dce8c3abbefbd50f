"""What has to hold before a step on, or calls for one back: in figures, or in words.

All that one criterion says has to hold together. What is in figures can be held against what
happened; what is in words, the clinician judges.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field, PlainValidator, WithJsonSchema, model_validator

from rungbook.model.fields import Duration
from rungbook.model.translated import Translated
from rungbook.model.unit import fault, magnitude

Relation = Literal["up to", "at least", "above", "below"]
Settled = Literal["that night", "next morning", "two days"]
SETTLED_HOURS: dict[Settled, float] = {"that night": 12.0, "next morning": 24.0, "two days": 48.0}
Swelling = Literal["none", "no more", "more"]
_BOUND = re.compile(r"(up to|at least|above|below) (\d{1,3}(?:\.\d{1,2})?)( of 10)?")
OF_TEN = 10.0


@dataclass(frozen=True, slots=True)
class NumberBound:
    """`up to 4`, `above 5`: what a number has to be."""

    relation: Relation
    value: float

    def holds(self, number: float) -> bool:
        """Whether a number is within it."""
        match self.relation:
            case "up to":
                return number <= self.value
            case "at least":
                return number >= self.value
            case "above":
                return number > self.value
            case _:
                return number < self.value

    def __str__(self) -> str:
        return f"{self.relation} {self.value:g}"


def _bound(most: float) -> Any:
    @cache
    def parse(text: str) -> NumberBound:
        found = _BOUND.fullmatch(text)
        if found is None:
            expected = "a bound such as 'up to 4', 'at least 12', 'above 5' or 'below 3'"
            raise fault("wrong_value", text, expected)
        if float(found[2]) > most:
            raise fault("wrong_value", text, f"between 0 and {most:g}")
        relation: Any = found[1]
        return NumberBound(relation, float(found[2]))

    def bound(value: Any) -> NumberBound:
        if isinstance(value, NumberBound):
            return value
        if not isinstance(value, str):
            raise fault("wrong_value", value, f"a bound such as 'up to {value}' in words")
        return parse(value)

    return PlainValidator(bound)


_SCHEMA = WithJsonSchema(
    {"type": "string", "pattern": _BOUND.pattern.replace("?:", ""), "examples": ["up to 4"]}
)
OfTen = Annotated[NumberBound, _bound(OF_TEN), _SCHEMA]
Amount = Annotated[float | str, Field(union_mode="left_to_right")]  # `12`, or `15 s`, `90 %`


class Criterion(Translated):
    """One criterion. `words` are the author's own; without figures they are all there is.

    `pain` is the worst of what is told of a session, `next-morning` that of the next morning, both
    of 10; `settled` by when it has to be back at its level, `not-settled` when it was not yet. What
    is `judged-by: clinician` stands on no patient's sheet.
    """

    TRANSLATED = frozenset({"words"})

    words: str | None = None
    judged_by: Literal["patient", "clinician"] = "patient"
    sets: int | None = Field(default=None, ge=1, le=100)
    reps: int | None = Field(default=None, ge=1, le=9999)
    hold: Duration | None = None
    effort: OfTen | None = None
    pain: OfTen | None = None
    next_morning: OfTen | None = None
    settled: Settled | None = None
    not_settled: Settled | None = None
    swelling: Swelling | None = None
    test: str | None = None
    at_least: Amount | None = None
    at_most: Amount | None = None

    @model_validator(mode="before")
    @classmethod
    def _something(cls, values: Any) -> Any:
        if isinstance(values, dict) and not values:
            raise fault("wrong_value", "{}", "a criterion such as {sets: 3, reps: 15}")
        return values

    @property
    def in_figures(self) -> bool:
        """Whether anything of it can be held against figures."""
        return bool(self.model_fields_set - {"words", "judged_by", "in_languages"})

    def __str__(self) -> str:
        return self.words if self.words is not None and not self.in_figures else _sentence(self)


def _as_criterion(value: Any) -> Any:
    return {"words": value} if isinstance(value, str) else value


_CriterionOrWords = Annotated[
    Criterion, BeforeValidator(_as_criterion, json_schema_input_type=str | Criterion)
]
Criteria = tuple[_CriterionOrWords, ...]


def in_words(criteria: Criteria) -> tuple[str, ...]:
    """Each criterion as a sentence."""
    return tuple(map(str, criteria))


def amount(value: float | str, unit: str) -> float:
    """What `at-least` and `at-most` of a test say, in its own unit: repetitions, seconds, %.

    Raises:
        PydanticCustomError: the unit is missing or another; the message says what is expected.
    """
    if unit == "repetitions":
        if isinstance(value, str):
            raise fault("wrong_unit", value, "a plain number of repetitions, such as 12")
        return float(value)
    if not isinstance(value, str):
        example = "'15 s'" if unit == "s" else "'90 %'"
        raise fault("wrong_unit", value, f"a number with its unit, such as {example}")
    return magnitude(value, "s") if unit == "s" else 100 * magnitude(value, "dimensionless")


def _sentence(one: Criterion) -> str:
    """A criterion in figures as the trade says it: `3 sets of 15, effort up to 4 of 10`."""
    return ", ".join(part for part in (*_parts(one), one.words) if part)


def _parts(one: Criterion) -> tuple[str | None, ...]:
    return (
        _amount_words(one),
        f"effort {one.effort} of 10" if one.effort else None,
        f"pain {one.pain} of 10" if one.pain else None,
        f"pain {one.next_morning} of 10 the next morning" if one.next_morning else None,
        f"settled by {_BY[one.settled]}" if one.settled else None,
        f"not settled by {_BY[one.not_settled]}" if one.not_settled else None,
        {"none": "no swelling", "no more": "no more swelling", "more": "more swelling"}[
            one.swelling
        ]
        if one.swelling
        else None,
        _test_words(one),
    )


_BY: dict[Settled, str] = {
    "that night": "that night",
    "next morning": "the next morning",
    "two days": "two days later",
}


def _amount_words(one: Criterion) -> str | None:
    hold = f"{one.hold:g} s" if one.hold is not None else None
    if one.sets is None:
        return f"{one.reps} repetitions" if one.reps else f"a hold of {hold}" if hold else None
    sets = "1 set" if one.sets == 1 else f"{one.sets} sets"
    if one.reps is not None:
        return f"{sets} of {one.reps}" + (f" holds of {hold}" if hold else "")
    return f"{sets} of {hold}" if hold else sets


def _test_words(one: Criterion) -> str | None:
    if one.test is None:
        return None
    name = one.test.replace("-", " ")
    least = one.at_least is not None
    amount = one.at_least if least else one.at_most
    shown = f"{amount:g}" if isinstance(amount, float) else amount
    return f"{name}: {shown} or {'more' if least else 'less'}"
