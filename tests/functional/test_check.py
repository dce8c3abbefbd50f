"""`rungbook check` from outside: what it prints, what it writes, how it ends."""

from __future__ import annotations

import json
import os
import pathlib
import subprocess
import sys

import pytest

from builders.findings import write_library

FAULTY = """
[exercises/leg/half.md]
title: Half squat
colour: blue
progressions:
  - to: squat
    when: [3 sets of 15]
  - to: nowhere
    when: [3 sets of 15]
[exercises/leg/squat.md]
title: Squat
dose: {sets: 3, reps: 12, rest: 60, sessions: 3 per week}
progressions: [{to: deep, when: [3 sets of 15]}]
[exercises/leg/deep.md]
title: Deep squat
progressions: [{to: wide, when: [3 sets of 15]}]
[exercises/leg/wide.md]
title: Wide squat
progressions: [{to: deep, when: [3 sets of 15]}]
"""
SOUND = """
[library.yml]
review: {every: 900 months}
checks: {unsealed-review: off}
[exercises/leg/squat.md]
title: Squat
reviewed: {date: 2026-05-01, by: Senior physiotherapist}
sources: [practice]
dose: {sets: 3, reps: 12, up: 2 s, down: 3 s, rest: 60 s, sessions: 3 per week}
progressions: [{to: same, when: [3 sets of 15]}]
[exercises/leg/same.md]
title: Squat again
variation-of: squat
reviewed: {date: 2026-05-01, by: Senior physiotherapist}
[vocabulary/sources.yml]
practice: {title: Common practice}
"""

LEVELS = ("error", "warning", "note")
Run = subprocess.CompletedProcess[str]


def rungbook(*arguments: str | pathlib.Path, **environment: str) -> Run:
    """Runs the command line in a process of its own, without a cache of the user's."""
    return subprocess.run(
        [sys.executable, "-m", "rungbook.cli", *map(str, arguments)],
        capture_output=True,
        text=True,
        encoding="utf-8",
        env={**os.environ, "RUNGBOOK_CACHE": "off", "PYTHONIOENCODING": "utf-8", **environment},
    )


def places(run: Run) -> list[tuple[str, str, int]]:
    return [(one["check"], one["file"], one["line"]) for one in json.loads(run.stdout)["findings"]]


def test_each_fault_is_told_at_its_line(tmp_path: pathlib.Path) -> None:
    folder = write_library(tmp_path, FAULTY)
    run = rungbook("check", "--library", folder, "--format", "json")
    assert run.returncode == 1
    found = places(run)
    for expected in (
        ("unknown-field", "exercises/leg/half.md", 3),
        ("unknown-reference", "exercises/leg/half.md", 7),
        ("wrong-unit", "exercises/leg/squat.md", 3),
        ("circular-progression", "exercises/leg/deep.md", 3),
    ):
        assert expected in found


def test_a_sound_library_passes(tmp_path: pathlib.Path) -> None:
    run = rungbook("check", "--library", write_library(tmp_path, SOUND), "--fail-on", "note")
    assert (run.stdout, run.returncode) == (
        "2 exercises, 0 ladders: 0 errors, 0 warnings, 0 notes.\n",
        0,
    )


@pytest.mark.parametrize(("fail_on", "status"), [("error", 0), ("warning", 1), ("note", 1)])
def test_the_failing_level_decides_the_exit_status(
    tmp_path: pathlib.Path, fail_on: str, status: int
) -> None:
    folder = write_library(tmp_path, "[exercises/a.md]\ntitle: A\n")
    assert rungbook("check", "--library", folder, "--fail-on", fail_on).returncode == status


def test_only_and_skip_choose_the_checks(tmp_path: pathlib.Path) -> None:
    folder = write_library(tmp_path, "[exercises/a.md]\ntitle: A\n")
    only = rungbook("check", "--library", folder, "--only", "missing-dose", "--format", "json")
    assert {check for check, _, _ in places(only)} == {"missing-dose"}
    skip = rungbook("check", "--library", folder, "--skip", "missing-dose", "--format", "json")
    assert "missing-dose" not in {check for check, _, _ in places(skip)}


@pytest.mark.parametrize("kind", ["text", "json", "sarif", "junit", "github"])
def test_a_report_is_written_to_a_file_and_replaces_the_old_one(
    tmp_path: pathlib.Path, kind: str
) -> None:
    folder = write_library(tmp_path, FAULTY)
    output = tmp_path / "report"
    output.write_text("old")
    run = rungbook("check", "--library", folder, "--format", kind, "--output", output)
    assert (run.returncode, run.stdout) == (1, "")
    assert "circular-progression" in output.read_text("utf-8")
    printed = rungbook("check", "--library", folder, "--format", kind)
    assert printed.stdout == output.read_text("utf-8")
    assert sorted(path.name for path in tmp_path.iterdir()) == ["library", "report"]


def test_a_folder_that_is_not_there_is_told_without_a_traceback(tmp_path: pathlib.Path) -> None:
    run = rungbook("check", "--library", tmp_path / "none")
    assert run.returncode == 2
    assert "there is no folder" in run.stderr
    assert "Traceback" not in run.stderr


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["--format", "yaml"], "'yaml' is not one of"),
        (
            ["--only", "missing-does"],
            "there is no check 'missing-does'. Did you mean 'missing-dose'?",
        ),
        (["--explain", "missing-does"], "Did you mean 'missing-dose'?"),
        (["--today", "tomorrow"], "'tomorrow' is not a date such as 2026-05-01"),
        (["--output", "/nowhere/at/all"], "/nowhere/at/all"),
        (["extra"], "unexpected extra argument"),
    ],
)
def test_a_wrong_call_is_told(tmp_path: pathlib.Path, arguments: list[str], said: str) -> None:
    folder = write_library(tmp_path, SOUND)
    run = rungbook("check", "--library", folder, *arguments)
    assert run.returncode == 2
    assert said in run.stderr
    assert "Traceback" not in run.stderr


@pytest.mark.parametrize(
    "content",
    [
        b"",
        b"\xff\xfe\x00",
        b"---\ntitle: [\n---\n",
        b"---\n- a\n---\n",
        b"---\n\x00\n---\n",
        b"---\n" + b"[" * 5000,
    ],
)
def test_bad_files_are_findings(tmp_path: pathlib.Path, content: bytes) -> None:
    folder = write_library(tmp_path, SOUND)
    (folder / "exercises/leg/bad.md").write_bytes(content)
    run = rungbook("check", "--library", folder, "--format", "json")
    assert run.returncode == 1
    assert run.stderr == ""
    assert "exercises/leg/bad.md" in {file for _, file, _ in places(run)}


def test_an_empty_folder_is_a_finding(tmp_path: pathlib.Path) -> None:
    run = rungbook("check", "--library", tmp_path)
    assert run.returncode == 1
    assert run.stderr == ""


def test_a_check_is_explained_with_examples() -> None:
    run = rungbook("check", "--explain", "caution-lost")
    assert run.returncode == 0
    assert run.stdout.startswith("caution-lost (warning)\n\nA caution of an easier exercise")
    assert "\nFails:\n    [exercises/leg/half.md]\n" in run.stdout
    assert "\nMend it by adding the caution" in run.stdout


def test_all_checks_are_listed() -> None:
    run = rungbook("check", "--explain", "all")
    assert "\nmissing-dose " in run.stdout
    assert len(run.stdout.splitlines()) >= 30


def test_no_colour_reaches_a_file_or_a_pipe(tmp_path: pathlib.Path) -> None:
    folder = write_library(tmp_path, FAULTY)
    assert "\x1b" not in rungbook("check", "--library", folder).stdout


@pytest.mark.skipif(not hasattr(os, "openpty"), reason="a terminal is made with openpty")
@pytest.mark.parametrize(("no_colour", "coloured"), [("", True), ("1", False)])
def test_colour_is_for_terminals_that_want_it(
    tmp_path: pathlib.Path, no_colour: str, coloured: bool
) -> None:
    folder = write_library(tmp_path, FAULTY)
    ours, theirs = os.openpty()
    command = [sys.executable, "-m", "rungbook.cli", "check", "--library", str(folder)]
    environment = {**os.environ, "RUNGBOOK_CACHE": "off", "NO_COLOR": no_colour, "TERM": "xterm"}
    with subprocess.Popen(command, stdout=theirs, stderr=subprocess.PIPE, env=environment):
        os.close(theirs)
        printed = b""
        while True:
            try:
                part = os.read(ours, 65536)
            except OSError:
                break
            if not part:
                break
            printed += part
    os.close(ours)
    assert (b"\x1b[31m" in printed) is coloured


def test_a_pipe_that_closes_early_is_no_fault(tmp_path: pathlib.Path) -> None:
    folder = write_library(tmp_path, FAULTY)
    command = [sys.executable, "-m", "rungbook.cli", "check", "--library", str(folder)]
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE) as run:
        assert run.stdout is not None
        assert run.stderr is not None
        run.stdout.close()
        assert b"Traceback" not in run.stderr.read()


def test_errors_stand_above_warnings_whatever_their_files(tmp_path: pathlib.Path) -> None:
    """`aaa` comes first by name and has warnings only."""
    faulty = FAULTY + "\n[exercises/leg/aaa.md]\ntitle: Alone\n"
    text = rungbook("check", "--library", write_library(tmp_path, faulty)).stdout
    levels = [line.split()[1] for line in text.splitlines() if line.startswith("  ") and ":" in
              line.split()[0] and line.split()[1:2] and line.split()[1] in LEVELS]  # fmt: skip
    assert levels == sorted(levels, key=LEVELS.index)
    assert set(levels) >= {"error", "warning"}


def test_findings_of_a_level_or_about_an_exercise_are_shown_alone(tmp_path: pathlib.Path) -> None:
    folder = write_library(tmp_path, FAULTY)
    everything = json.loads(rungbook("check", "--library", folder, "--format", "json").stdout)
    asked = ("check", "--library", folder, "--format", "json")
    errors = json.loads(rungbook(*asked, "--level", "error").stdout)
    assert {one["level"] for one in errors["findings"]} == {"error"}
    assert errors["counts"] == everything["counts"]
    about = json.loads(rungbook(*asked, "--for", "deep").stdout)["findings"]
    assert about
    assert len(about) < len(everything["findings"])
    assert all("deep" in one["exercises"] for one in about)
    assert rungbook(*asked, "--for", "half").returncode == 1  # a faulty exercise may be asked for
    wrong = rungbook(*asked, "--for", "depe")
    assert wrong.returncode == 2
    assert "Did you mean 'deep'?" in wrong.stderr
