"""`rungbook compare` from outside, on folders and on git revisions."""

from __future__ import annotations

import json
import pathlib
import subprocess

import pytest
from click.testing import CliRunner, Result

from builders.findings import write_library
from rungbook.cli import main

LADDER = """
[exercises/arm/raise.md]
title: Raise the arm
sides: one
works: shoulder flexion
movement: [{shoulder: {flexion: [0, 90]}}]
cautions: [one]
progressions: [{to: weight, when: [x]}]
[exercises/arm/weight.md]
title: Raise the arm with a weight
variation-of: raise
resistance: [{weight: 0.5 kg, at: hand}]
[ladders/arm.md]
title: Arm
works: shoulder flexion
goal: weight
entries: {high: raise}
[vocabulary/cautions.yml]
one: {title: One}
"""


def compare(*arguments: str | pathlib.Path) -> Result:
    return CliRunner().invoke(main, ["compare", *map(str, arguments)], catch_exceptions=False)


@pytest.fixture
def old(tmp_path: pathlib.Path) -> pathlib.Path:
    return write_library(tmp_path / "old", LADDER)


def test_a_heavier_weight_changes_loads_and_breaks_the_step(
    tmp_path: pathlib.Path, old: pathlib.Path
) -> None:
    new = write_library(tmp_path / "new", LADDER.replace("0.5 kg", "3 kg"))
    result = compare(old, new, "--format", "json")
    assert result.exit_code == 1
    data = json.loads(result.stdout)
    assert [one["id"] for one in data["exercises"]["changed"]] == ["weight"]
    (load,) = data["loads"]
    assert (load["exercise"], load["works"]) == ("weight", "shoulder flexion")
    # The weight hangs in the hand at a straight arm: 2.5 kg more at about 0.6 m.
    assert load["new_nm"] - load["old_nm"] == pytest.approx(2.5 * 9.81 * 0.6, rel=0.1)
    (step,) = data["steps"]["too_large"]
    assert (step["from"], step["to"], step["worst"]) == ("raise", "weight", "demand")
    assert step["old_size"] < 1 < step["new_size"]
    assert [one["check"] for one in data["findings"]["new"]] == ["step-too-large"]


def test_the_other_way_round_it_is_a_repair(tmp_path: pathlib.Path, old: pathlib.Path) -> None:
    new = write_library(tmp_path / "new", LADDER.replace("0.5 kg", "3 kg"))
    result = compare(new, old, "--fail-on", "note")
    assert result.exit_code == 0
    assert "### Steps repaired\n\n- `raise` → `weight`:" in result.stdout
    assert result.stdout.endswith("\nNothing here makes the library worse.\n")


def test_a_lost_caution_fails_on_request(tmp_path: pathlib.Path, old: pathlib.Path) -> None:
    new = write_library(tmp_path / "new", LADDER.replace("cautions: [one]\n", ""))
    assert compare(old, new).exit_code == 0
    result = compare(old, new, "--fail-on", "warning")
    assert result.exit_code == 1
    assert (
        "### Cautions lost\n\n- `raise`: caution `one`\n- `weight`: caution `one`" in result.stdout
    )


def test_a_revision_is_compared_with_the_folder(old: pathlib.Path) -> None:
    for arguments in (
        ("init", "-q"),
        ("add", "."),
        ("-c", "user.name=T", "-c", "user.email=t@example.org", "commit", "-q", "-m", "one"),
    ):
        subprocess.run(["git", "-C", str(old), *arguments], check=True)
    assert "No change." in compare("HEAD", "--library", old).stdout
    file = old / "exercises/arm/weight.md"
    file.write_text(file.read_text().replace("0.5 kg", "0.6 kg"))
    result = compare("HEAD", "--library", old)
    assert "### Loads changed by more than 1 %\n\n- `weight` shoulder flexion: " in result.stdout
    assert compare("HEAD", "HEAD", "--library", old).stdout.endswith("No change.\n")


def test_neither_a_folder_nor_a_revision_is_a_usage_error(old: pathlib.Path) -> None:
    result = compare("nowhere", "--library", old)
    assert result.exit_code == 2
    assert "'nowhere' is no folder, and" in result.stderr
