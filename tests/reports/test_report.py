from __future__ import annotations

import pathlib

import pytest

from builders.reports import finding, report
from rungbook.reports.report import Report, visible


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("plain, N·m, „Wörter“, 膝", "plain, N·m, „Wörter“, 膝"),
        ("a\tb\nc", "a\tb\nc"),
        ("\u0645\u06cc\u200c\u062e", "\u0645\u06cc\u200c\u062e"),  # a joiner Persian words need
        ("\x1b[2J", "\\x1b[2J"),
        ("a\rb\x00\x7f\x9b", "a\\rb\\x00\\x7f\\x9b"),
        ("\u202eabc\u2066", "\\u202eabc\\u2066"),
        ("\ud800", "\\ud800"),
    ],
)
def test_what_cannot_be_seen_is_written_out(text: str, shown: str) -> None:
    assert visible(text) == shown


@pytest.mark.parametrize(
    ("library", "path"),
    [
        ("library", "library/exercises/a.md"),
        (".", "exercises/a.md"),
        ("../clinic", "../clinic/exercises/a.md"),
        ("/somewhere/else", "/somewhere/else/exercises/a.md"),
    ],
)
def test_files_are_named_as_seen_from_here(tmp_path: pathlib.Path, library: str, path: str) -> None:
    one = report(tmp_path)
    named = Report(one.checked, pathlib.Path(library), one.today)
    assert named.path(finding(place="exercises/a.md:1:1").place) == path


def test_an_absolute_folder_below_this_one_is_named_from_here(
    tmp_path: pathlib.Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    one = report(tmp_path)
    monkeypatch.chdir(tmp_path)
    named = Report(one.checked, tmp_path / "library", one.today)
    assert named.path(finding(place="exercises/a.md:1:1").place) == "library/exercises/a.md"
