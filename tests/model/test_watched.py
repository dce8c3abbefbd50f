"""What is looked up while something is done is noted, all of it and nothing else."""

from __future__ import annotations

import pytest

from rungbook.model.latest import latest
from rungbook.model.watched import Watched, note, watching

WORDS = Watched("words", {"a": 1, "b": 2})


def test_every_look_is_noted_by_its_key() -> None:
    with watching() as looks:
        assert WORDS["a"] == 1
        assert WORDS.get("c") is None
        assert "b" in WORDS
    assert looks == {("words", "a"), ("words", "b"), ("words", "c")}


def test_to_ask_which_there_are_is_a_look_as_well() -> None:
    for ask in (list, len, lambda words: words == {}):
        with watching() as looks:
            ask(WORDS)
        assert ("words", None) in looks
    with watching() as looks:
        assert dict(WORDS.items()) == {"a": 1, "b": 2}
    assert looks == {("words", None), ("words", "a"), ("words", "b")}


def test_a_key_that_is_not_there_is_noted_too() -> None:
    with watching() as looks, pytest.raises(KeyError):
        WORDS["c"]
    assert looks == {("words", "c")}


def test_who_watches_around_gets_the_looks_of_what_is_inside() -> None:
    with watching() as outer:
        _ = WORDS["a"]
        with watching() as inner:
            _ = WORDS["b"]
        assert inner == {("words", "b")}
    assert outer == {("words", "a"), ("words", "b")}
    _ = WORDS["c" if "c" in WORDS else "a"]  # nobody watches: nothing happens


def test_an_answer_that_is_remembered_counts_for_all_who_get_it() -> None:
    @latest
    def total(words: Watched[str, int]) -> int:
        return sum(words.values())

    for _ in range(2):
        with watching() as looks:
            assert total(WORDS) == 3
        assert looks == {("words", None), ("words", "a"), ("words", "b")}


def test_looks_can_be_noted_for_what_was_found_before() -> None:
    with watching() as looks:
        note([("words", "z")])
    assert looks == {("words", "z")}
