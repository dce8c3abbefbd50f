"""Records back into the form of their files."""

from __future__ import annotations

import pathlib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builders.exercises import exercise, frozen
from rungbook.model.exercise import Exercise
from rungbook.model.unit import COMMON, magnitude
from rungbook.model.written import quantity_text, sessions_text, written
from rungbook.reading.read import read_library

DEMO = pathlib.Path(__file__).parents[2] / "library"


def test_a_demo_exercise_is_written_as_it_was_read() -> None:
    for one in read_library(DEMO).exercises.values():
        values = {key: frozen(value) for key, value in written(one).items()}
        again = Exercise.model_validate({**values, "id": one.id, "text": dict(one.text)})
        assert again.model_copy(update={"source": one.source}) == one, one.id


@given(
    number=st.decimals(0, 9999, places=3),
    unit=st.sampled_from([(unit, word) for unit, words in COMMON.items() for word in words]),
)
def test_a_quantity_in_any_unit_is_written_so_that_it_reads_the_same(
    number: object, unit: tuple[str, str]
) -> None:
    value = magnitude(f"{number} {unit[1]}", unit[0])
    assert magnitude(quantity_text(value, unit[0]), unit[0]) == pytest.approx(value, rel=1e-12)


@pytest.mark.parametrize("text", ["2 kg", "5 lb", "0.25 kg", "12.5 lb", "30 g"])
def test_common_weights_keep_a_unit_of_the_trade(text: str) -> None:
    shown = quantity_text(magnitude(text, "kg"), "kg")
    assert shown == {"30 g": "0.03 kg"}.get(text, text)


def test_frequencies() -> None:
    assert sessions_text(3) == "3 per week"
    assert sessions_text(14) == "2 per day"
    assert sessions_text(3.5) == "3.5 per week"


def test_defaults_are_left_out_unless_asked_for() -> None:
    assert written(exercise(title="A")) == {"title": "A"}
    assert written(exercise(title="A"), defaults=True)["position"] == "standing"


def test_a_variation_says_what_it_undoes() -> None:
    one = exercise(title="A", variation_of="b", assist=[], sides="both")
    assert written(one) == {"title": "A", "sides": "both", "assist": [], "variation-of": "b"}


def test_a_ballistic_exercise_says_its_impact() -> None:
    one = exercise(
        ballistic=True,
        impact="none",
        works="shoulder flexion",
        measured=[{"works": "shoulder flexion", "value": "20 Nm", "source": "x"}],
    )
    assert written(one)["impact"] == "none"
