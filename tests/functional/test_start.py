"""`rungbook start` from outside."""

from __future__ import annotations

import json
import pathlib

import pytest
from click.testing import CliRunner, Result

from rungbook.cli import main

DEMO = pathlib.Path(__file__).parents[2] / "library"


def run(*arguments: str) -> Result:
    return CliRunner().invoke(main, ["start", *arguments, "--library", str(DEMO)])


def test_a_test_and_irritability_and_the_lighter_decides() -> None:
    asked = ("sit-to-one-leg", "--irritability", "low", "--test", "chair-stand-30s=17")
    found = json.loads(run(*asked, "--age", "72", "--format", "json").output)
    assert found["start"] == "sit-to-stand-high"
    assert [(one["by"], one["rung"]) for one in found["suggestions"]] == [
        ("irritability", "sit-to-stand-high"), ("test", "sit-to-stand-low"),
    ]  # fmt: skip
    assert found["gates"][0]["before"] == "one-leg-squat-touch" and not found["may_be_too_little"]
    shown = run(*asked).output
    assert "Start with Standing up from a high seat (sit-to-stand-high)." in shown
    assert "the clinician starts the patient" in shown


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (("sit-to-one",), "Did you mean 'sit-to-one-leg'?"),
        (("sit-to-one-leg", "--test", "chair-stand-30s=12 s"), "counts in repetitions"),
        (("sit-to-one-leg", "--test", "chair=12"), "chair"),
        (("sit-to-one-leg", "--capacity", "knee extension=100 kg"), "--capacity"),
        (("sit-to-one-leg", "--irritability", "angry"), "'angry' is not one of"),
        (("sit-to-one-leg", "--age", "200"), "200"),
    ],
)
def test_a_wrong_call_says_what_is_expected(arguments: tuple[str, ...], says: str) -> None:
    refused = run(*arguments)
    assert refused.exit_code == 2 and says in refused.output
    assert "Traceback" not in refused.output
