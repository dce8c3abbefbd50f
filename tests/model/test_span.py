"""Doses as the trade writes them: `2-3` sets, `10-30 s`, `2-3 per week`."""

from __future__ import annotations

import copy
import json
import pickle

import pytest
from pydantic import ValidationError

from rungbook.model.exercise import Dose
from rungbook.model.span import Span, ends
from rungbook.model.written import written


@pytest.mark.parametrize(
    ("key", "text", "expected", "middle"),
    [
        ("sets", "2-3", (2, 3), 2.5),
        ("sets", "2 – 3", (2, 3), 2.5),
        ("sets", "2 to 4", (2, 4), 3),
        ("sessions", "2-3 per week", (2, 3), 2.5),
        ("sessions", "1-2 per day", (7, 14), 10.5),
        ("hold", "10-30 s", (10, 30), 20),
        ("duration", "5-10 min", (300, 600), 450),
    ],
)
def test_a_range_is_its_middle_to_compute_with_and_its_ends_to_show(
    key: str, text: str, expected: tuple[float, float], middle: float
) -> None:
    value = getattr(Dose.model_validate({key: text}), key)
    assert isinstance(value, Span)
    assert ends(value) == expected
    assert value * 1.0 == middle


@pytest.mark.parametrize(
    ("key", "text", "expected"),
    [("sets", 3, 3), ("sets", "3-3", 3), ("hold", "30 s", 30.0), ("sessions", "3 per week", 3.0)],
)
def test_what_is_no_range_stays_a_number(key: str, text: object, expected: float) -> None:
    value = getattr(Dose.model_validate({key: text}), key)
    assert type(value) in (int, float)
    assert value == expected


@pytest.mark.parametrize(
    ("key", "text", "message"),
    [
        ("sets", "3-2", "the smaller number first"),
        ("sets", "0-3", "a whole number such as 3, or 2-3"),
        ("sets", "2.5-3", "a whole number such as 3, or 2-3"),
        ("sets", 0, "from 1 to 100"),
        ("sets", True, "a whole number"),
        ("sessions", "3-2 per week", "the smaller number first"),
        ("sessions", "2-3", "'2-3 per week'"),
        ("sessions", "2-3 a week", "'2-3 per week'"),
        ("hold", "30-10 s", "the smaller number first"),
        ("hold", "10-30", "such as '30 s'"),
        ("hold", "10-30 kg", "in a unit that fits here"),
        ("hold", "10-90000 s", "between 0.1 s and 24 h"),
        ("hold", 30, "a number with a unit"),
    ],
)
def test_a_range_that_is_none_is_told(key: str, text: object, message: str) -> None:
    with pytest.raises(ValidationError, match=message):
        Dose.model_validate({key: text})


def test_ranges_are_written_as_they_were_read() -> None:
    given = {"sets": "2-3", "hold": "10-30 s", "sessions": "2-3 per week"}
    dose = Dose.model_validate(given)
    assert written(dose) == given
    assert Dose.model_validate(written(dose)) == dose
    daily = Dose.model_validate({"sessions": "1-2 per day"})
    assert written(daily) == {"sessions": "1-2 per day"}


def test_a_range_is_not_the_same_as_another_of_the_same_middle() -> None:
    span = Span(1, 3)
    assert span not in (Span(1.5, 2.5), 2.0)
    assert len({span, Span(1, 3), Span(1.5, 2.5)}) == 2
    assert pickle.loads(pickle.dumps(span)) == copy.deepcopy(span) == span
    assert f"{span}, {span:g}" == "1-3, 1-3"
    assert json.dumps(span) == "2.0"
