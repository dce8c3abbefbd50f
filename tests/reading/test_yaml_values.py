"""YAML text to plain values: the core schema, and what is refused."""

import math

import pytest

from rungbook.reading import limits
from rungbook.reading.core_schema import core_scalar
from rungbook.reading.yaml_values import read_yaml


# YAML 1.2.2, section 10.3.2, example 10.9 and its table of tags (from memory).
@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("null", None), ("~", None), ("", None), ("Null", None), ("NULL", None), ("nul", "nul"),
        ("true", True), ("True", True), ("FALSE", False), ("tRUE", "tRUE"),
        ("0", 0), ("-19", -19), ("+12", 12), ("012", 12), ("0o7", 7), ("0x3A", 58),
        ("0.", 0.0), ("-0.0", 0.0), (".5", 0.5), ("+12e03", 12000.0), ("-2E+05", -200000.0),
        (".inf", math.inf), ("-.Inf", -math.inf), ("+.INF", math.inf),
        # Words of YAML 1.1 that 1.2 leaves alone.
        ("yes", "yes"), ("no", "no"), ("on", "on"), ("off", "off"), ("y", "y"), ("Yes", "Yes"),
        ("2026-05-01", "2026-05-01"), ("12:30", "12:30"), ("1_000", "1_000"), ("0b1", "0b1"),
        ("1 kg", "1 kg"), (".", "."), ("-", "-"), ("1.2.3", "1.2.3"), ("+", "+"), ("0x", "0x"),
    ],
)  # fmt: skip
def test_plain_scalars_follow_the_core_schema(text: str, value: object) -> None:
    read = core_scalar(text)
    assert read == value
    assert type(read) is type(value)


def test_not_a_number_is_a_float() -> None:
    assert math.isnan(core_scalar(".nan"))


def test_digits_too_long_for_a_number_stay_text() -> None:
    assert core_scalar("9" * 5000) == "9" * 5000


def test_quotes_make_text() -> None:
    assert read_yaml("a: '12'\nb: \"true\"\nc: |\n  3\n")[0] == {"a": "12", "b": "true", "c": "3\n"}


def test_lists_become_tuples_and_keys_stay_text() -> None:
    assert read_yaml("1: [a, 2]\ntrue: {x: [[]]}\n")[0] == {"1": ("a", 2), "true": {"x": ((),)}}


def test_an_alias_repeats_its_value() -> None:
    assert read_yaml("a: &x {b: 1}\nc: *x\nd: [*x]\n")[0] == {
        "a": {"b": 1}, "c": {"b": 1}, "d": ({"b": 1},),
    }  # fmt: skip


def test_core_tags_say_the_type() -> None:
    assert read_yaml("a: !!str 12\nb: !!int '3'\nc: !!float 1\nd: ! 12\n")[0] == {
        "a": "12", "b": 3, "c": 1.0, "d": "12",
    }  # fmt: skip


def faults(text: str) -> list[tuple[str, int, int, str]]:
    return [
        (fault.check, fault.line + 1, fault.column + 1, fault.message)
        for fault in read_yaml(text)[1]
    ]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        (
            "a: 1\nb: 2\na: 3\n",
            ("wrong-value", 3, 1, "the key 'a' is written twice: remove one of them"),
        ),
        (
            "a: {b: 1, b: 2}\n",
            ("wrong-value", 1, 11, "the key 'b' is written twice: remove one of them"),
        ),
        (
            "a: !!python/object:os.system x\n",
            ("wrong-value", 1, 4,
             "the tag 'tag:yaml.org,2002:python/object:os.system' is not used here: remove it"),
        ),
        (
            "a: !!int twelve\n",
            ("wrong-value", 1, 4, "the tag 'tag:yaml.org,2002:int' is not used here: remove it"),
        ),
        (
            "a: *x\n",
            ("wrong-value", 1, 4,
             "'*x' repeats a value that is not defined before it: write the value out"),
        ),
        (
            "a: &x [*x]\n",
            ("wrong-value", 1, 8,
             "'*x' repeats a value that is not defined before it: write the value out"),
        ),
        (
            "? [a]\n: 1\n",
            ("wrong-value", 1, 3, "a key must be one word or text: write it out"),
        ),
        (
            "a: 1\n---\nb: 1\n",
            ("wrong-value", 2, 1, "a second document begins here: write one only"),
        ),
        (
            "a: [1, 2\nb: 3\n",
            ("unreadable-file", 2, 2,
             "broken YAML: did not find expected ',' or ']' while parsing a flow sequence: "
             "a list that is opened and never closed: add its ']', or put a text in quotes"),
        ),
    ],
)  # fmt: skip
def test_what_cannot_be_meant_is_a_fault(text: str, expected: tuple[str, int, int, str]) -> None:
    assert faults(text) == [expected]


def test_a_doubled_key_does_not_hide_the_rest() -> None:
    value, found = read_yaml("a: 1\na: 2\nb: 3\n")
    assert value == {"a": 1, "b": 3}
    assert len(found) == 1


def test_columns_count_characters_not_bytes() -> None:
    assert faults("{ä: 1, ö: 2, ä: 3}\n")[0][1:3] == (1, 14)


def test_a_bomb_of_aliases_is_refused() -> None:
    rows = [f"a{n}: &a{n} [{', '.join([f'*a{n - 1}'] * 9)}]" for n in range(1, 30)]
    text = "a0: &a0 [x, x, x, x, x, x, x, x, x]\n" + "\n".join(rows)
    value, found = read_yaml(text)
    assert value is None
    assert found[-1].check == "unreadable-file"


def test_deep_nesting_is_refused() -> None:
    for text in ("[" * 40 + "]" * 40, "{a: " * 40 + "}" * 40, "- " * 40 + "x"):
        value, found = read_yaml(text)
        assert value is None
        assert found[0].message == (
            f"more than {limits.MOST_DEPTH} levels inside one another: write it flatter"
        )


def test_very_deep_nesting_costs_nothing() -> None:
    for opened in ("[", "{a: ", "- "):
        value, found = read_yaml(opened * 100_000)
        assert value is None
        assert found[0].check == "unreadable-file"


def test_more_values_than_a_file_may_hold_are_refused() -> None:
    value, found = read_yaml("a: [" + "1, " * limits.MOST_NODES + "1]")
    assert value is None
    assert found[0].message == "more values than a file of this kind may hold: split it"
