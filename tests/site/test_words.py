"""The trade's words, the same ones everywhere: old ones are gone from all that people read."""

from __future__ import annotations

import html
import pathlib
import re
from collections.abc import Iterator

import click
import pytest
from click.testing import CliRunner

from rungbook.checks.registry import all_checks
from rungbook.cli import main
from rungbook.reports.explained import explained, listed

ROOT = pathlib.Path(__file__).parents[2]
# What a clinician says instead: easier and harder exercise; weight-bearing; stretched position;
# steps; fill (in this trade a bridge is an exercise); adjusted. Common practice, no source.
OLD = re.compile(
    r"neighbou?r\b|neighbou?rs\b|weight borne|of the limit\b|gave way (?:to|so)|\blengthening\b|"
    r"\blengthened\b|\baround it\b|rungbook bridge|easier options|find an easier one\b|"
    r"most at −(?:[5-9]|\d\d+)°",  # an arc about zero may start a little on the other side
    re.IGNORECASE,
)
# Words of the format, written as such: they are keys in files and JSON, and stay.
AS_WRITTEN = re.compile(r"<code>.*?</code>|`[^`]*`|--because \[[^]]*\]|\[load\|[^]]*\]", re.DOTALL)


def _told(text: str) -> list[str]:
    text = AS_WRITTEN.sub(" ", text)
    return [
        " ".join(text[max(0, at.start() - 40) : at.end() + 20].split()) for at in OLD.finditer(text)
    ]


def _commands(group: click.Group) -> Iterator[str]:
    context = click.Context(group)
    yield from (name for name in group.list_commands(context))


def test_no_page_says_an_old_word(demo_site: pathlib.Path) -> None:
    found = {}
    for path in demo_site.rglob("*.html"):
        shown = re.sub(r"<script.*?</script>", " ", path.read_text("utf-8"), flags=re.DOTALL)
        shown = re.sub(r"<code>.*?</code>", " ", shown, flags=re.DOTALL)
        said = _told(html.unescape(re.sub(r"<[^>]+>", " ", shown)))
        if said:
            found[path.relative_to(demo_site).as_posix()] = said
    assert found == {}


def test_no_script_writes_an_old_word() -> None:
    """Texts in quotes with a blank in them are what scripts show; others are keys and classes."""
    found = {}
    for path in sorted((ROOT / "site_theme" / "scripts").glob("*.js")):
        code = re.sub(r"^\s*(?:\*|/\*\*|//).*$", "", path.read_text("utf-8"), flags=re.MULTILINE)
        texts = re.findall(r'"(?:[^"\\\n]|\\.)*"|`[^`]*`', code)
        said = [one for text in texts if " " in text for one in _told(text.strip("`"))]
        if said:
            found[path.name] = said
    assert found == {}


@pytest.mark.parametrize("command", list(_commands(main)))
def test_no_command_says_an_old_word_of_itself(command: str) -> None:
    shown = CliRunner().invoke(main, [command, "--help"])
    assert shown.exit_code == 0
    assert _told(re.sub(r"\s+", " ", shown.output)) == []


def test_no_check_says_an_old_word_of_itself() -> None:
    assert _told(listed(all_checks().values())) == []
    assert [said for one in all_checks().values() for said in _told(explained(one))] == []


@pytest.mark.parametrize("arguments", [["load", "sit-to-stand"], ["steps", "calf-loading"]])
def test_no_answer_says_an_old_word(arguments: list[str]) -> None:
    shown = CliRunner().invoke(main, ["--library", str(ROOT / "library"), *arguments])
    assert shown.exit_code in (0, 1)
    assert "N·m" in shown.output
    assert _told(shown.output) == []


@pytest.mark.parametrize("file", ["README.md", "generator/rungbook/pipeline/starter"])
def test_no_text_for_people_says_an_old_word(file: str) -> None:
    place = ROOT / file
    texts = [place] if place.is_file() else [one for one in place.rglob("*") if one.is_file()]
    assert [said for one in texts for said in _told(one.read_text("utf-8"))] == []
