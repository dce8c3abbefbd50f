"""Points of the body and the sides they stand for."""

import pytest

from rungbook.model.body_point import BODY_POINTS, POINT_WORDS, BodyPoint, body_point


def test_a_plain_name_is_the_working_side() -> None:
    assert body_point("hand") == BodyPoint("hand", "working")
    assert body_point("hand").sides == ("working",)


def test_with_both_sides_a_plain_name_is_both() -> None:
    assert body_point("hand", both_sides=True).sides == ("working", "other")


def test_a_plural_is_both_sides() -> None:
    assert body_point("forefeet") == BodyPoint("forefoot", "both")
    assert body_point("feet").sides == ("working", "other")


def test_other_is_the_other_side() -> None:
    assert body_point("other-foot") == BodyPoint("foot", "other")


def test_the_mid_line_has_no_side() -> None:
    assert body_point("seat").sides == (None,)


@pytest.mark.parametrize("word", ["other-seat", "other-hands", "seats", "toe", "", "other-"])
def test_no_other_word_is_a_point(word: str) -> None:
    with pytest.raises(KeyError):
        body_point(word)


def test_every_word_offered_is_a_point() -> None:
    assert {body_point(word).name for word in POINT_WORDS} == set(BODY_POINTS)
