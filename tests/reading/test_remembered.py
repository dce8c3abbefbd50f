"""A library that is read over and over is read as if it were the first time."""

from __future__ import annotations

import pathlib

import pytest

import rungbook.reading.remembered as module
from builders.reading import library_folder
from rungbook.reading.read import read_library
from rungbook.reading.remembered import Remembered

RAISE = "title: Raise\nworks: hip flexion\nposition: supine\nsides: one\n"


@pytest.fixture
def texts(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """Every text that is really read."""
    found: list[str] = []
    really = module.read_yaml

    def watched(text, most_nodes):  # type: ignore[no-untyped-def]
        found.append(text)
        return really(text, most_nodes)

    monkeypatch.setattr(module, "read_yaml", watched)
    return found


def test_only_what_is_new_is_read_again(texts: list[str]) -> None:
    read = Remembered()
    first = read("a: 1", 10)
    assert read("a: 1", 10) == first == ({"a": 1}, [])
    assert read("a: 2", 10)[0] == {"a": 2}
    assert texts == ["a: 1", "a: 2"]


def test_what_was_not_read_for_a_whole_turn_is_forgotten(texts: list[str]) -> None:
    read = Remembered()
    read("a: 1", 10)
    read.forget_unused()
    read("b: 1", 10)
    read.forget_unused()
    read("a: 1", 10)
    assert texts == ["a: 1", "b: 1", "a: 1"]


def test_a_library_is_read_to_the_same_again_and_again(tmp_path: pathlib.Path) -> None:
    folder = library_folder(
        tmp_path,
        {
            "hip/raise": RAISE,
            "hip/lower": "title: Lower\nvariation-of: raise\n",
            "hip/bad": "a: [\n",
        },
    )
    read = Remembered()
    for text in ("variation-of: raise\ntitle: Low\n", "variation-of: raise\nposition: prone\n"):
        for _ in range(2):
            again, afresh = read_library(folder, read=read), read_library(folder)
            assert again.exercises == afresh.exercises
            assert again.findings == afresh.findings
            read.forget_unused()
        (folder / "exercises/hip/lower.md").write_text(f"---\n{text}---\n")
