"""The way back after a flare-up, by the library's own rules."""

import pytest

from builders.loads import exercise, measured_of
from rungbook.ladder.flare_up import DEFAULT_RULES, lasting, parse_time, rule_for, way_back
from rungbook.ladder.routes import Route
from rungbook.model.ladder import Ladder
from rungbook.model.library import FlareUpRule, Settings

HELP = [{"at": "wrist", "by": "pulley", "share": share} for share in ("90 %", "60 %", "30 %")]


def ladder_of_four():
    ladder = Ladder(id="arm", title="Arm", goal="d", entries={"high": "a", "low": "b"})
    return measured_of(
        exercise("a", "b", assist=(HELP[0],)), exercise("b", "c", assist=(HELP[1],)),
        exercise("c", "d", assist=(HELP[2],)), exercise("d"), ladders=[ladder],
    )  # fmt: skip


@pytest.mark.parametrize(
    ("lasted", "back_to", "rungs"),
    [
        ("12 hours", "c", ("c", "d")),
        ("2 days", "b", ("b", "c", "d")),
        ("1 week", "a", ("a", "b", "c", "d")),
    ],
)
def test_the_longer_it_lasted_the_further_back(lasted, back_to, rungs):
    found = way_back(ladder_of_four(), "c", "d", parse_time(lasted))
    assert found.back_to == back_to and isinstance(found.up, Route) and found.up.rungs == rungs


def test_a_rung_without_an_easier_one_is_where_one_stays():
    assert way_back(ladder_of_four(), "a", "d", 48).back_to == "a"


@pytest.mark.parametrize(
    ("text", "before", "span"),
    [
        ("up to 24 hours", 0, (0, 24)),
        ("more than 24 hours and up to 3 days", 24, (24, 72)),
        ("more than 3 days", 72, (72, float("inf"))),
        ("longer", 24, (24, float("inf"))),
        ("several days", 24, (72, float("inf"))),
    ],
)
def test_the_times_of_a_rule_are_read_from_its_words(text, before, span):
    assert lasting(text, before) == span


def test_of_rules_that_fit_the_one_that_starts_latest_counts():
    rules = tuple(
        FlareUpRule(lasts=text, do="x") for text in ("up to 24 hours", "longer", "several days")
    )
    assert [rule_for(rules, hours).lasts for hours in (24, 30, 72, 100)] == [
        "up to 24 hours", "longer", "longer", "several days",
    ]  # fmt: skip


def test_a_library_without_rules_has_common_practice():
    assert Settings().flare_up == ()
    assert [rule.source for rule in DEFAULT_RULES] == ["common practice"] * 3


def test_what_is_no_time_says_what_one_is():
    with pytest.raises(ValueError, match="'soon' is not a time such as '12 hours'"):
        parse_time("soon")
