"""The latest answer is remembered, by the objects that were asked about."""

from __future__ import annotations

from rungbook.model.latest import latest


def test_the_same_objects_are_asked_about_once() -> None:
    asked: list[object] = []

    @latest
    def size(words: list[str], more: int = 0) -> int:
        asked.append(words)
        return len(words) + more

    one, other = ["a", "b"], ["a", "b"]
    assert [size(one), size(one), size(other), size(one), size(one, more=2)] == [2, 2, 2, 2, 4]
    assert [words is one for words in asked] == [True, False, True, True]
