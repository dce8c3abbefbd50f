"""`rungbook review` from outside: what it writes, and that a later change shows everywhere."""

from __future__ import annotations

import json
import pathlib

import pytest
from click.testing import CliRunner, Result

from builders.findings import write_library
from rungbook.cli import main
from rungbook.reading.read import read_library

LIBRARY = """[exercises/arm/raise.md]
title: Raise the arm   # the usual one
sides: one
works: shoulder flexion
movement: [{shoulder: {flexion: [0, 90]}}]
back-off: [pain above 3 of 10]
---
## For the patient
Lift your arm.
[exercises/arm/weight.md]
title: Raise the arm with a weight
variation-of: raise
dose: {sets: 3, reps: 12, sessions: 3 per week}
"""
BY = "Senior physiotherapist"


@pytest.fixture
def library(tmp_path: pathlib.Path) -> pathlib.Path:
    return write_library(tmp_path, LIBRARY)


def run(library: pathlib.Path, *arguments: str) -> Result:
    call = [arguments[0], "--library", str(library), "--today", "2026-06-01", *arguments[1:]]
    return CliRunner().invoke(main, call)


def checks(library: pathlib.Path, name: str) -> list[str]:
    found = json.loads(run(library, "check", "--format", "json").stdout)["findings"]
    return [one["exercises"][0] for one in found if one["check"] == name]


def test_it_writes_date_role_and_seal_and_nothing_else(library: pathlib.Path) -> None:
    file = library / "exercises/arm/raise.md"
    before = file.read_text()
    result = run(library, "review", "raise", "--by", BY)
    assert result.exit_code == 0
    assert result.stdout == "raise: reviewed as it stands (exercises/arm/raise.md)\n"
    after = file.read_text()
    (added,) = [line for line in after.splitlines() if line not in before.splitlines()]
    assert after.replace(f"{added}\n", "") == before
    review = read_library(library).exercises["raise"].reviewed
    assert review is not None and review.seal is not None
    assert added == f"reviewed: {{date: 2026-06-01, by: {BY}, seal: '{review.seal}'}}"
    assert read_library(library).exercises["raise"].standing == "reviewed"


WRITTEN = {
    "on one line": "reviewed: {date: 2020-01-01, by: Somebody}  # by and by\n",
    "with the order turned": "reviewed: {by: Somebody, date: 2020-01-01}\n",
    "on several lines": "reviewed:\n  date: 2020-01-01  # long ago\n  by: Somebody\n",
    "with a seal of another time": f"reviewed:\n  by: Somebody\n  date: 2020-01-01\n  seal: '{'0' * 32}'\n",
    "quoted": "reviewed: {'date': '2020-01-01', \"by\": \"Some, body\"}\n",
    "between other keys": "reviewed: {date: 2020-01-01, by: Me}\npurpose: [strength]\n",
}


@pytest.mark.parametrize("how", WRITTEN)
@pytest.mark.parametrize("newline", ["\n", "\r\n"])
def test_a_review_that_is_there_is_brought_up_to_date_where_it_stands(
    library: pathlib.Path, how: str, newline: str
) -> None:
    file = library / "exercises/arm/raise.md"
    text = file.read_text().replace("back-off:", f"{WRITTEN[how]}back-off:").replace("\n", newline)
    file.write_bytes(text.encode())
    assert run(library, "review", "raise", "--by", "Lead: knee, hip").exit_code == 0
    exercise = read_library(library).exercises["raise"]
    assert exercise.standing == "reviewed" and exercise.reviewed is not None
    assert (str(exercise.reviewed.date), exercise.reviewed.by) == ("2026-06-01", "Lead: knee, hip")
    after = file.read_bytes().decode()
    assert after.count("reviewed") == 1 and after.count("by and by") == text.count("by and by")
    assert ("\r\n" in after) == (newline == "\r\n") and "\n\n" not in after.replace("\r", "")
    again = file.read_bytes()
    assert run(library, "review", "raise", "--by", "Lead: knee, hip").exit_code == 0
    assert file.read_bytes() == again


def test_a_change_of_what_it_takes_over_shows_in_check_compare_and_sheet(
    library: pathlib.Path, tmp_path: pathlib.Path
) -> None:
    assert run(library, "review", "raise", "weight", "--by", BY).exit_code == 0
    assert checks(library, "changed-since-review") == []
    assert checks(library, "unsealed-review") == []
    old = tmp_path / "old"
    library.rename(old)
    write_library(tmp_path, "")
    for file in old.rglob("*.*"):
        new = library / file.relative_to(old)
        new.parent.mkdir(parents=True, exist_ok=True)
        new.write_text(file.read_text().replace("above 3 of 10", "above 8 of 10"))
    assert checks(library, "changed-since-review") == ["raise", "weight"]
    compared = run(old, "compare", str(old), str(library)).stdout
    assert "- `weight`: reviewed (2026-06-01) → changed since review (2026-06-01)" in compared
    sheet = run(library, "sheet", "weight:left", "--output", "-").stdout
    assert "Changed since its review: Raise the arm with a weight." in sheet
    assert (
        "Changed since its review" not in run(old, "sheet", "weight:left", "--output", "-").stdout
    )


def test_a_draft_that_was_changed_since_its_review_goes_to_nobody(library: pathlib.Path) -> None:
    file = library / "exercises/arm/raise.md"
    file.write_text(file.read_text().replace("sides: one", "sides: one\ndraft: intake"))
    refused = run(library, "sheet", "raise:left", "--output", "-")
    assert refused.exit_code == 2
    assert "raise goes to no patient: it is a draft (intake), never reviewed" in refused.stderr
    run(library, "review", "raise", "--by", BY)
    assert run(library, "sheet", "raise:left", "--output", "-").exit_code == 0
    file.write_text(file.read_text().replace("Lift your arm", "Swing your arm"))
    refused = run(library, "sheet", "raise:left", "--output", "-")
    assert refused.exit_code == 2
    assert "it is a draft (intake), changed since review" in refused.stderr


def test_words_of_another_movement_go_to_nobody_even_reviewed(library: pathlib.Path) -> None:
    file = library / "exercises/arm/weight.md"
    file.write_text(
        file.read_text().replace("dose:", "resistance: [{weight: 1 kg, at: hand}]\ndose:")
    )
    told = run(library, "review", "weight", "--by", BY)
    assert "but it is done otherwise than the words of raise that it takes over say" in told.stdout
    refused = run(library, "sheet", "weight:left", "--output", "-")
    assert refused.exit_code == 2
    assert (
        "weight goes to no patient: it is done otherwise than the words of raise" in refused.stderr
    )
    file.write_text(file.read_text().replace("dose:", "words-checked: true\ndose:"))
    assert run(library, "sheet", "weight:left", "--output", "-").exit_code == 0


def test_the_queue_lists_what_waits_by_role_and_date(library: pathlib.Path) -> None:
    for id, review in {
        "sealed": "",
        "old": "reviewed: {date: 2020-01-01, by: Lead}\n",
        "odd": f"reviewed: {{date: 2026-03-01, by: Lead, seal: '{'0' * 32}'}}\n",
        "draft": "draft: intake\n",
    }.items():
        (library / f"exercises/arm/{id}.md").write_text(f"---\ntitle: {id}\n{review}---\n")
    assert run(library, "review", "sealed", "--by", BY).exit_code == 0
    assert run(library, "review", "--queue").stdout == (
        "Nobody yet:\n"
        "              draft: never reviewed; a draft (intake)\n"
        "              raise: never reviewed\n"
        "              weight: never reviewed\n"
        "Lead:\n"
        "  2020-01-01  old: reviewed, not sealed\n"
        "  2026-03-01  odd: changed since review\n"
    )
    later = CliRunner().invoke(
        main,
        ["review", "--queue", "--library", str(library), "--today", "2029-01-01", "--by", BY,
         "--format", "json"],
    )  # fmt: skip
    assert json.loads(later.stdout) == {
        "waiting": [
            {
                "id": "sealed",
                "title": "sealed",
                "why": "due by 2028-06-01",
                "by": BY,
                "date": "2028-06-01",
            }
        ]
    }


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (["raise"], "--by ROLE is missing"),
        ([], "name the exercises to mark, or ask for --queue"),
        (["raise", "--queue"], "name the exercises to mark, or ask for --queue"),
        (["rais", "--by", BY], "there is no exercise 'rais' in the library. Did you mean 'raise'?"),
        (["raise", "--by", " "], "a role in plain words is expected"),
        (["raise", "--by", "a\nb"], "a role in plain words is expected"),
        (["raise", "--by", "<b>x</b>"], "a role in plain words is expected"),
        (["raise", "--by", "x" * 101], "a role in plain words is expected"),
        (["raise", "bad", "--by", BY], "'bad' has faults and is left out: see rungbook check"),
    ],
)
def test_a_wrong_call_changes_nothing(
    library: pathlib.Path, arguments: list[str], message: str
) -> None:
    (library / "exercises/arm/bad.md").write_text("---\ntitle: Bad\nsides: three\n---\n")
    before = {file: file.read_bytes() for file in library.rglob("*.md")}
    result = run(library, "review", *arguments)
    assert result.exit_code == 2
    assert message in result.stderr
    assert {file: file.read_bytes() for file in library.rglob("*.md")} == before


def test_front_matter_that_cannot_be_edited_is_left_alone(library: pathlib.Path) -> None:
    file = library / "exercises/arm/raise.md"
    file.write_text("---\n{title: Raise, sides: one}\n---\n")
    before = {file: file.read_bytes() for file in library.rglob("*.md")}
    result = run(library, "review", "weight", "raise", "--by", BY)
    assert result.exit_code == 2
    assert "exercises/arm/raise.md: write 'reviewed: {}' on a line of its own" in result.stderr
    assert {file: file.read_bytes() for file in library.rglob("*.md")} == before
