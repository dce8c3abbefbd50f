"""Doses in free text: what is certain is taken, everything else is left as text.

The texts are common practice of the trade, no source.
"""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rungbook.intake.dose_text import (
    read_count,
    read_dose,
    read_effort,
    read_frequency,
    read_time,
)
from rungbook.model.exercise import Dose

CERTAIN = {
    "3x10": {"sets": 3, "reps": 10},
    "3 x 10": {"sets": 3, "reps": 10},
    "3 × 8–12": {"sets": 3, "reps": "8-12"},
    "3 sets of 10": {"sets": 3, "reps": 10},
    "2 sets 15 reps": {"sets": 2, "reps": 15},
    "3 sets x 12 reps, 60s rest": {"sets": 3, "reps": 12, "rest": "60 s"},
    "30 s hold x 5": {"hold": "30 s", "reps": 5},
    "hold 30s x5": {"hold": "30 s", "reps": 5},
    "3 x 30 s hold": {"sets": 3, "hold": "30 s"},
    "3 x 10 x 5 s hold": {"sets": 3, "reps": 10, "hold": "5 s"},
    "3x10, 3/week": {"sets": 3, "reps": 10, "sessions": "3 per week"},
    "1x20, 2x/day": {"sets": 1, "reps": 20, "sessions": "2 per day"},
    "3x/day 3x10": {"sessions": "3 per day", "sets": 3, "reps": 10},
    "twice a day": {"sessions": "2 per day"},
    "daily": {"sessions": "1 per day"},
    "every other day": {"sessions": "3.5 per week"},
    "20 min": {"duration": "20 min"},
    "RPE 4-6/10": {"effort": "4-6 of 10"},
    "up 2 s, pause 1 s, down 3 s; 3x12": {
        "up": "2 s", "pause": "1 s", "down": "3 s", "sets": 3, "reps": 12,
    },
    "3 Sätze 12 Wdh": {"sets": 3, "reps": 12},
}  # fmt: skip

# text -> what may be taken of it, and words that must be left
DOUBTFUL = {
    "3x10, 2 kg, 3/week": ({"sets": 3, "reps": 10, "sessions": "3 per week"}, "2 kg"),
    "3x10 each leg": ({"sets": 3, "reps": 10}, "each leg"),
    "3x10-12 reps, RPE 7": ({"sets": 3, "reps": "10-12"}, "RPE 7"),
    "1,5 kg 3 x 12": ({"sets": 3, "reps": 12}, "1,5 kg"),
    "2 x 30 s": ({}, "2 x 30 s"),  # held, or moving?
    "2-3 x 10": ({}, "2-3 x 10"),
    "2 to 3 sets of 10": ({}, "2 to 3 sets of 10"),
    "30-60 s hold": ({}, "30-60 s hold"),
    "2-3x/week": ({}, "2-3x/week"),
    "3 x 10 kg": ({}, "3 x 10 kg"),
    "3 x 10 m": ({}, "3 x 10 m"),
    "12 x 3": ({}, "12 x 3"),  # repetitions first?
    "3x12/10/8": ({}, "3x12/10/8"),
    "pain < 3/10": ({}, "pain < 3/10"),
    "AMRAP": ({}, "AMRAP"),
    "15": ({}, "15"),
    "3 x 10 per day": ({"sets": 3, "reps": 10}, "per day"),
}


@pytest.mark.parametrize("text", CERTAIN)
def test_what_is_certain_becomes_fields(text: str) -> None:
    read = read_dose(text)
    assert (read.fields, read.rest) == (CERTAIN[text], ())


@pytest.mark.parametrize("text", DOUBTFUL)
def test_what_is_not_certain_is_left(text: str) -> None:
    fields, left = DOUBTFUL[text]
    read = read_dose(text)
    assert read.fields == fields
    assert left in read.rest


def test_a_dose_that_says_two_things_is_left_whole() -> None:
    read = read_dose("week 1: 2x10, week 2: 3x10")
    assert read.fields == {}
    assert read.rest == ("week 1:", "2x10", "week 2:", "3x10")


def test_a_word_that_only_joins_is_left_where_it_joins_nothing() -> None:
    assert read_dose("and").rest == ("and",)


@pytest.mark.parametrize("text", CERTAIN)
def test_the_fields_are_those_of_a_file(text: str) -> None:
    assert Dose.model_validate(read_dose(text).fields)


@given(st.text(alphabet="0123456789x×/-–., skgminhold repsweekday@%<\n", max_size=40))
def test_any_text_is_read_without_a_fault_and_into_valid_or_no_fields(text: str) -> None:
    """Faults of range, such as 0 sets, are reading's to report: here only the shape counts."""
    read = read_dose(text)
    assert read.fields.keys() <= set(Dose.model_fields)
    assert read.fields or read.rest or not any(c.isalnum() or c in "@%<" for c in text)


@given(sets=st.integers(1, 8), low=st.integers(1, 30), per=st.sampled_from(["week", "day"]))
def test_a_dose_written_in_the_usual_way_is_read_whole(sets: int, low: int, per: str) -> None:
    read = read_dose(f"{sets} x {low}, 2x/{per}")
    assert read.fields == {"sets": sets, "reps": low, "sessions": f"2 per {per}"}


def test_single_columns() -> None:
    assert read_frequency("3", "week") == "3 per week"
    assert read_frequency("3") is None
    assert read_frequency("3x/week, or less") is None
    assert read_time("45", "s") == "45 s"
    assert read_time("1,5 min") == "1.5 min"
    assert read_time("45") is None
    assert read_effort("4-6/10") == "4-6 of 10"
    assert read_effort("5") is None
    assert read_count("8 - 12 reps") == "8-12"
    assert read_count("ten") is None
