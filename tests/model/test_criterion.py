"""Criteria in figures and in words: what they say, what is refused, what they are written as."""

import pytest
from pydantic import ValidationError

from rungbook.model.criterion import Criterion, amount
from rungbook.model.exercise import Exercise
from rungbook.model.unit import PydanticCustomError
from rungbook.model.written import written


def exercise(*criteria):
    return Exercise.model_validate({"id": "e", "title": "E", "back-off": criteria})


@pytest.mark.parametrize(
    ("figures", "words"),
    [
        ({"sets": 3, "reps": 15, "effort": "up to 4"}, "3 sets of 15, effort up to 4 of 10"),
        ({"sets": 4, "hold": "40 s"}, "4 sets of 40 s"),
        ({"sets": 3, "reps": 5, "hold": "15 s"}, "3 sets of 5 holds of 15 s"),
        (
            {"pain": "up to 2", "settled": "next morning"},
            "pain up to 2 of 10, settled by the next morning",
        ),
        ({"pain": "above 5"}, "pain above 5 of 10"),
        ({"swelling": "no more"}, "no more swelling"),
        ({"test": "chair-stand-30s", "at-least": 12.0}, "chair stand 30s: 12 or more"),
        ({"sets": 3, "reps": 12, "words": "the pelvis level"}, "3 sets of 12, the pelvis level"),
    ],
)
def test_figures_read_as_the_trade_says_them_and_are_written_back(figures, words):
    one = exercise(figures)
    assert str(one.back_off[0]) == words and one.back_off[0].in_figures
    keys = {k: tuple(v) if isinstance(v, list) else v for k, v in written(one).items()}
    again = Exercise.model_validate({"id": "e", **keys})
    assert again.back_off == one.back_off


def test_words_stay_the_authors_own():
    one = exercise("the last part down turns into a drop")
    assert str(one.back_off[0]) == "the last part down turns into a drop"
    assert written(one)["back-off"] == ["the last part down turns into a drop"]


@pytest.mark.parametrize(
    "figures",
    [{"pain": "up to 11"}, {"pain": 4}, {"effort": "4"}, {"settled": "soon"}, {}, {"reps": 0},
     {"pains": "up to 4"}],
)  # fmt: skip
def test_what_makes_no_sense_is_refused(figures):
    with pytest.raises(ValidationError):
        Criterion.model_validate(figures)


def test_an_amount_has_the_unit_of_its_test():
    assert amount(12.0, "repetitions") == 12 and amount("0.5 min", "s") == 30
    assert amount("90 %", "%") == pytest.approx(90)
    for value, unit in (("12 s", "repetitions"), (15.0, "s"), ("15 kg", "s"), ("90", "%")):
        with pytest.raises(PydanticCustomError):
            amount(value, unit)
