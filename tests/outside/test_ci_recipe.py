"""The CI recipe against the published schema of GitHub's workflows (in check-jsonschema)."""

from __future__ import annotations

import pathlib
import re
import shlex
import subprocess
import sys
from typing import Any

import click
import pytest
import yaml

from rungbook.cli import main

TOP = pathlib.Path(__file__).parents[2]


@pytest.fixture(scope="module")
def recipe() -> str:
    return (TOP / "generator/rungbook/pipeline/workflow.yml").read_text("utf-8")


def test_it_is_a_workflow(recipe: str, tmp_path: pathlib.Path) -> None:
    file = tmp_path / "library.yml"
    file.write_text(recipe, encoding="utf-8")
    run = subprocess.run(
        [
            sys.executable,
            "-m",
            "check_jsonschema",
            "--builtin-schema",
            "vendor.github-workflows",
            file,
        ],
        capture_output=True,
        text=True,
    )
    assert (run.returncode, run.stdout.strip()) == (0, "ok -- validation done")


def commands(recipe: str) -> list[list[str]]:
    jobs: dict[str, Any] = yaml.safe_load(recipe)["jobs"]
    lines = [step["run"] for job in jobs.values() for step in job["steps"] if "run" in step]
    return [
        shlex.split(re.split(r"\|\||>>", line)[0]) for line in lines if line.startswith("rungbook")
    ]


def test_every_command_in_it_is_one_we_have(recipe: str) -> None:
    found = commands(recipe)
    assert len(found) == 4
    for _, name, *arguments in found:
        command = main.get_command(click.Context(main), name)  # type: ignore[attr-defined]
        assert command is not None
        command.make_context(name, arguments)


def test_the_hook_for_commits_calls_a_command_we_have() -> None:
    (hook,) = yaml.safe_load((TOP / ".pre-commit-hooks.yaml").read_text("utf-8"))
    assert (hook["id"], hook["entry"], hook["language"]) == (
        "rungbook-check",
        "rungbook check",
        "python",
    )
    changed = ["library/library.yml", "library/exercises/calf/a.md", "clinic/vocabulary/areas.yml"]
    assert all(re.search(hook["files"], file) for file in changed)
    assert not re.search(hook["files"], "README.md")
