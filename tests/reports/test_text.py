from __future__ import annotations

import pathlib

from builders.reports import finding, report
from rungbook.reports.text import render


def test_findings_stand_worst_first_by_file_with_the_line_and_a_caret(
    tmp_path: pathlib.Path,
) -> None:
    found = [
        finding(message="'standing' is wrong: write 'sitting'."),
        finding("missing-dose", "warning", "a lacks a dose.", "exercises/calf/a.md:2:8"),
        finding("unknown-field", "error", "no such field.", "library.yml:1:1"),
    ]
    assert render(report(tmp_path, *found)) == (
        "library/exercises/calf/a.md\n"
        "  3:11 error wrong-value\n"
        "    'standing' is wrong: write 'sitting'.\n"
        "       3 | position: standing\n"
        "         |           ^\n"
        "\n"
        "library/library.yml\n"
        "  1:1 error unknown-field\n"
        "    no such field.\n"
        "\n"
        "library/exercises/calf/a.md\n"
        "  2:8 warning missing-dose\n"
        "    a lacks a dose.\n"
        "       2 | title: Heel raise\n"
        "         |        ^\n"
        "\n"
        "1 exercise, 0 ladders: 2 errors, 1 warning, 0 notes.\n"
    )


def test_a_library_without_findings_takes_one_line(tmp_path: pathlib.Path) -> None:
    accepted = (finding(),)
    assert render(report(tmp_path, accepted=accepted)) == (
        "1 exercise, 0 ladders: 0 errors, 0 warnings, 0 notes, 1 accepted.\n"
    )


def test_colour_adds_nothing_but_colour(tmp_path: pathlib.Path) -> None:
    import re

    plain = render(report(tmp_path, finding()))
    coloured = render(report(tmp_path, finding(), colour=True))
    assert "\x1b[31m" in coloured
    assert re.sub(r"\x1b\[\d*m", "", coloured) == plain


def test_control_characters_are_shown_and_not_obeyed(tmp_path: pathlib.Path) -> None:
    written = "[exercises/calf/a.md]\ntitle: A\n---\n## Do\n\x1b[2JRise\x07 \u202eup\n"
    hostile = finding(message="bad \x1b]0;title\x07 \u202e", place="exercises/calf/a.md:5:1")
    text = render(report(tmp_path, hostile, written=written))
    assert not set("\x1b\x07\u202e") & set(text)
    assert "bad \\x1b]0;title\\x07 \\u202e" in text
    assert "\\x1b[2JRise\\x07 \\u202eup" in text


def test_a_place_that_does_not_exist_has_no_excerpt(tmp_path: pathlib.Path) -> None:
    for place in ("exercises/calf/a.md:99:1", "gone.md:1:1", "../../etc/passwd:1:1"):
        text = render(report(tmp_path, finding(place=place)))
        assert " | " not in text


def test_an_endless_line_is_cut(tmp_path: pathlib.Path) -> None:
    written = f"[exercises/calf/a.md]\ntitle: {'x' * 5000}\n"
    text = render(report(tmp_path, finding(place="exercises/calf/a.md:2:8"), written=written))
    assert max(map(len, text.splitlines())) < 200
