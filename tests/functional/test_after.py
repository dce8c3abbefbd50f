"""`rungbook after` from outside, on the demo library."""

from __future__ import annotations

import json
import pathlib

import pytest
from click.testing import CliRunner, Result

from rungbook.cli import main

DEMO = pathlib.Path(__file__).parents[2] / "library"
CALM = ("--no-red-flags", "--no-giving-way", "--pain-during", "2", "--pain-next-morning", "0",
        "--done", "3 x 15", "--effort", "4", "--sessions", "5", "--no", "back-off")  # fmt: skip


def run(*arguments: str) -> Result:
    return CliRunner().invoke(main, ["after", "--library", str(DEMO), *arguments])


def test_the_keys_are_those_of_the_design() -> None:
    result = run("heel-raise-seated", *CALM, "--held-last", "--format", "json")
    found = json.loads(result.stdout)
    assert (found["exercise"], found["outcome"]) == ("heel-raise-seated", "criteria-met")
    assert found["to"] == ["heel-raise-seated-weight"]
    assert all({"rule", "says", "met", "source"} <= set(rule) for rule in found["rules"])


def test_last_time_is_shown_beside_now_and_a_line_for_the_notes_is_given() -> None:
    line = "pain 2 during, 0 next morning; 3 x 15; effort 4"
    shown = run("heel-raise-seated", *CALM, "--last", line).output
    assert f"Last time: {line}" in shown
    assert f"For the notes: {line}; session 5" in shown
    assert "It does not decide." in shown


def test_a_danger_sign_comes_first() -> None:
    shown = run("heel-raise-seated", *CALM, "--red-flag", "calf-clot-signs").output
    assert "STOP: Stop, and examine or refer." in shown


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (("--pain-during", "11"), "'--pain-during': 11.0 is not in the range 0<=x<=10"),
        (("--done", "a lot"), "'--done': 'a lot' is not such as '3 x 15'"),
        (("--settled", "soon"), "'--settled': 'soon' is not 'that night'"),
        (("--red-flag", "calf-clot"), "Did you mean 'calf-clot-signs'?"),
        (("--yes", "nothing"), "there is no criterion in words of this exercise 'nothing'"),
        (("--test", "chair-stand-30s=12 kg"), "counts in repetitions"),
        (("--test", "chair-stands=12"), "Did you mean 'chair-stand-30s'?"),
        (("--last", "fine"), "nothing of a session is in 'fine'"),
        (("--ladder", "lifting"), "is not on the ladder 'lifting'"),
    ],
)
def test_what_makes_no_sense_is_a_usage_error_by_its_name(
    arguments: tuple[str, ...], message: str
) -> None:
    result = run("heel-raise-seated", *arguments)
    assert result.exit_code == 2
    assert message in " ".join(result.output.split())
