"""Annotations against the grammar of GitHub's workflow commands, told in their documentation.

`::notice|warning|error file=…,line=…,col=…,title=…::message`. The escapes are those of the
actions toolkit (from memory): % CR LF, and in properties also : and ,.
"""

from __future__ import annotations

import pathlib
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builders.reports import finding, report
from rungbook.reports.github import annotation, render

COMMAND = re.compile(
    r"::(?P<command>notice|warning|error) "
    r"file=(?P<file>[^:,\r\n]*),line=(?P<line>\d+),col=(?P<col>\d+),title=(?P<title>[^:,\r\n]*)"
    r"::(?P<message>[^\r\n]*)"
)


def read(text: str) -> str:
    """What a runner makes of an escaped value; %25 comes last, as it was written first."""
    for escaped, meant in (("%0D", "\r"), ("%0A", "\n"), ("%3A", ":"), ("%2C", ","), ("%25", "%")):
        text = text.replace(escaped, meant)
    return text


@pytest.mark.parametrize(
    ("level", "command"), [("error", "error"), ("warning", "warning"), ("note", "notice")]
)
def test_levels(level: str, command: str) -> None:
    written = annotation(finding(level=level), "library/exercises/calf/a.md")  # type: ignore[arg-type]
    assert written == (
        f"::{command} file=library/exercises/calf/a.md,line=3,col=11,title=wrong-value::a message"
    )


def test_a_message_can_not_start_another_command(tmp_path: pathlib.Path) -> None:
    hostile = finding(message="one\n::error::two\r100%", place="exercises/a,b:c.md:1:2")
    (line,) = render(report(tmp_path, hostile)).splitlines()
    assert line == (
        "::error file=library/exercises/a%2Cb%3Ac.md,line=1,col=2,title=wrong-value"
        "::one%0A::error::two%0D100%25"
    )


@given(
    st.text(alphabet=st.characters(min_codepoint=32, max_codepoint=126) | st.sampled_from("\n\r"))
)
def test_every_text_comes_back_whole(text: str) -> None:
    match = COMMAND.fullmatch(annotation(finding(message=text), text))
    assert match is not None
    assert (read(match["message"]), read(match["file"])) == (text, text)
