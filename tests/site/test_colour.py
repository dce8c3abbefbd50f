"""The library's accent colour stays readable on both papers."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rungbook.site.pages.colour import PAPERS, contrast, parse, readable, stylesheet

part = st.integers(0, 255)


def test_contrast_is_that_of_wcag() -> None:
    # WCAG 2.2, definition of contrast ratio: black on white is 21 to 1.
    assert contrast((0, 0, 0), (255, 255, 255)) == pytest.approx(21)
    # WCAG technique G18 and common checkers: #767676 on white is 4.54 to 1 (from memory).
    assert contrast((0x76, 0x76, 0x76), (255, 255, 255)) == pytest.approx(4.54, abs=0.005)


@given(st.tuples(part, part, part))
def test_any_colour_becomes_readable(colour: tuple[int, int, int]) -> None:
    for scheme, paper in PAPERS.items():
        assert contrast(readable(colour, scheme), paper) >= 4.5


def test_a_readable_colour_stays_itself() -> None:
    assert readable((0x0B, 0x55, 0x63), "light") == (0x0B, 0x55, 0x63)


@pytest.mark.parametrize("text", ["red", "#12", "#0b5563; } body { display: none", "", "#gggggg"])
def test_what_is_no_colour_changes_no_rule(text: str) -> None:
    assert parse(text) is None
    assert "{" not in stylesheet(text)


def test_short_and_long_spellings_are_one_colour() -> None:
    assert parse("#abc") == parse("#AABBCC") == (0xAA, 0xBB, 0xCC)
