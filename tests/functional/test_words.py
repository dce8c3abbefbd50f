"""`rungbook words`: what the words of the format mean, at a terminal."""

from __future__ import annotations

import json

import pytest
from click.testing import CliRunner

from rungbook.cli.words import command


@pytest.mark.parametrize(
    ("kind", "word", "said"),
    [
        ("positions", "side-lying-under", "On the side, the working side down."),
        ("joints", "forearm", "thumb up"),
        ("points", "forefoot", "The ball of the foot"),
        ("fields", "sessions", "2-3 per week"),
    ],
)
def test_each_kind_is_told_for_people_and_for_programs(kind: str, word: str, said: str) -> None:
    text = CliRunner().invoke(command, [kind]).output
    assert f"\n  {word}\n" in text
    assert said in text
    assert all(len(line) <= 96 for line in text.splitlines())
    found = json.loads(CliRunner().invoke(command, [kind, "--format", "json"]).output)
    assert any(row[next(iter(row))] == word for rows in found.values() for row in rows)


def test_another_kind_is_a_usage_error_that_lists_those_there_are() -> None:
    run = CliRunner().invoke(command, ["muscles"])
    assert run.exit_code == 2
    assert "'positions', 'points', 'joints', 'fields'" in run.output
