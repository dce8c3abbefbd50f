"""Cells: what a spreadsheet might run is shielded, and every value comes back."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from rungbook.exporting.cells import cell, shielded, unshielded
from rungbook.intake.cell_values import listed


def test_what_a_spreadsheet_might_run_begins_with_an_apostrophe() -> None:
    """OWASP ASVS 5.0, requirement 1.2.10: = + - @ tab NUL; carriage returns and wide forms too."""
    for sign in ("=", "+", "-", "@", "\t", "\0", "\r", "＝", "＋", "－", "＠"):  # noqa: RUF001
        assert shielded(f"{sign}cmd()") == f"'{sign}cmd()"


def test_numbers_and_words_stay_as_they_are() -> None:
    for text in ("-10", "+3.5", "12", "heel raise", "'tis", "a=b", ""):
        assert shielded(text) == text


@given(st.text())
def test_a_shield_comes_off_again(text: str) -> None:
    assert unshielded(shielded(text)) == text


@given(st.lists(st.text(min_size=1, alphabet="ab ;,[]{}\n'=-"), max_size=4))
def test_lists_of_sentences_come_back(items: list[str]) -> None:
    items = [item.strip() for item in items if item.strip()]
    if items:
        assert listed(cell(items, "back-off"), sentences=True) == items
        assert listed(cell(items, "purpose"), sentences=False) == items
