"""`rungbook rename`: another id in every file that names it, and nothing else."""

from __future__ import annotations

import datetime
import json
import pathlib
import re

import pytest
from click.testing import CliRunner, Result

from builders.findings import write_library
from rungbook.cli import main
from rungbook.pipeline.analyse import analyse_library
from rungbook.reading.read import read_library
from rungbook.site.pages.catalogue import Catalogue
from rungbook.site.pages.contents import all_pages
from rungbook.site.pages.render import whole_page

LIBRARY = """[exercises/arm/raise.md]
title: Raise the arm   # raise: the usual one
sides: one
works: shoulder flexion
movement: [{shoulder: {flexion: [0, 90]}}]
back-off: [pain above 3 of 10]
progressions:
  - {to: weight, when: [raise 3 sets of 12]}
---
## For the patient
Lift (raise) your arm.
[exercises/arm/weight.md]
title: raise
variation-of: "raise"
resistance: [{weight: 1 kg, at: hand}]
accepts:
  - check: step-too-large
    from: raise
    because: raise comes first
    until: 2027-01-01
---
## For the patient
Lift the weight.
[ladders/arm.md]
title: Arm
goal: weight
standard: {shoulder flexion: raise}
entries: {high: raise, low: 'raise'}
"""
DAY = datetime.date(2026, 6, 1)


@pytest.fixture
def library(tmp_path: pathlib.Path) -> pathlib.Path:
    return write_library(tmp_path, LIBRARY)


def run(library: pathlib.Path, command: str, *arguments: str) -> Result:
    return CliRunner().invoke(main, [command, "--library", str(library), *arguments])


def texts(library: pathlib.Path) -> dict[str, str]:
    return {
        file.relative_to(library).as_posix(): file.read_text()
        for file in sorted(library.rglob("*"))
        if file.is_file()
    }


def test_every_file_that_names_it_is_changed_and_nothing_else_in_it(library: pathlib.Path) -> None:
    before = texts(library)
    done = run(library, "rename", "raise", "lift")
    assert done.exit_code == 0
    assert done.output == (
        "exercises/arm/raise.md is now exercises/arm/lift.md\n"
        "changed exercises/arm/weight.md\nchanged ladders/arm.md\n"
    )
    after = texts(library)
    moved = before["exercises/arm/raise.md"].replace("\n---\n##", "\nformerly: [raise]\n---\n##")
    weight = (
        before["exercises/arm/weight.md"]
        .replace('variation-of: "raise"', 'variation-of: "lift"')
        .replace("from: raise", "from: lift")
    )
    ladder = (
        before["ladders/arm.md"]
        .replace("flexion: raise", "flexion: lift")
        .replace("{high: raise, low: 'raise'}", "{high: lift, low: 'lift'}")
    )
    assert after == {
        **{name: text for name, text in before.items() if name != "exercises/arm/raise.md"},
        "exercises/arm/lift.md": moved,
        "exercises/arm/weight.md": weight,
        "ladders/arm.md": ladder,
    }
    assert not read_library(library).findings


def test_the_old_address_leads_to_the_new_one(library: pathlib.Path) -> None:
    run(library, "rename", "raise", "lift")
    run(library, "rename", "arm", "shoulder")
    catalogue = Catalogue(analyse_library(read_library(library), DAY))
    pages = {page.path: page for page in all_pages(catalogue)}
    for old, new in (("exercises/raise", "exercises/lift"), ("ladders/arm", "ladders/shoulder")):
        html = whole_page(pages[f"{old}.html"], catalogue)
        assert f'<meta http-equiv="refresh" content="0; url=../{new}.html">' in html
        assert re.search(rf'<a href="(\.\./)?{new}.html">', html)
        assert f"{new}.html" in pages


def test_an_exercise_that_is_renamed_twice_and_back_forgets_no_address(
    library: pathlib.Path,
) -> None:
    for old, new in (("raise", "lift"), ("lift", "reach"), ("reach", "raise")):
        assert run(library, "rename", old, new).exit_code == 0
    assert read_library(library).exercises["raise"].formerly == ("lift", "reach")


def test_a_sound_review_stays_sound_and_a_broken_one_broken(library: pathlib.Path) -> None:
    by = ("--by", "Senior physiotherapist", "--today", "2026-06-01")
    assert run(library, "review", "raise", "weight", *by).exit_code == 0
    weight = library / "exercises/arm/weight.md"
    weight.write_text(weight.read_text().replace("1 kg", "2 kg"))
    assert run(library, "rename", "weight", "heavy").exit_code == 0
    exercises = read_library(library).exercises
    assert exercises["raise"].standing == "reviewed"  # its progression names the other
    assert exercises["heavy"].standing == "changed since review"


def test_compare_tells_a_rename_as_one(library: pathlib.Path, tmp_path: pathlib.Path) -> None:
    import shutil

    old = tmp_path / "old"
    shutil.copytree(library, old)
    run(library, "rename", "raise", "lift")
    compared = CliRunner().invoke(main, ["compare", str(old), str(library), "--format", "json"])
    found = json.loads(compared.output)
    assert found["exercises"]["renamed"] == [{"from": "raise", "to": "lift"}]
    assert not found["findings"]["new"]


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        ("raise", "weight", "'weight' is already the id of exercises/arm/weight.md"),
        ("raise", "arm", "'arm' is already the id of ladders/arm.md"),
        ("raise", "Lift It", "such as 'lift-it'"),
        ("raise", "../lift", "such as 'lift'"),
        ("rise", "lift", "there is no exercise or ladder 'rise'"),
        ("../arm", "lift", "there is no exercise or ladder '../arm'"),
        ("raise", "con", "the library would have errors"),
    ],
)
def test_what_cannot_be_followed_changes_nothing(
    library: pathlib.Path, old: str, new: str, message: str
) -> None:
    before = texts(library)
    done = run(library, "rename", old, new)
    assert done.exit_code == 2
    assert message in done.output
    assert texts(library) == before


def test_an_exercise_with_a_fault_is_to_be_mended_first(library: pathlib.Path) -> None:
    weight = library / "exercises/arm/weight.md"
    weight.write_text(weight.read_text().replace("1 kg", "1 metre"))
    done = run(library, "rename", "weight", "heavy")
    assert (done.exit_code, "'weight' has faults" in done.output) == (2, True)


def test_an_id_that_reads_as_a_number_is_written_in_quotes(library: pathlib.Path) -> None:
    assert run(library, "rename", "raise", "90").exit_code == 0
    found = read_library(library)
    assert not found.findings
    assert found.exercises["weight"].variation_of == "90"


@pytest.mark.parametrize(
    ("line", "message"),
    [
        ("formerly: [weight]", "'weight' is the id of an exercise there is"),
        ("formerly: [../../index]", "an id of a-z, 0-9 and single hyphens"),
        ("replaced-by: wieght", "there is no exercise 'wieght': did you mean 'weight'?"),
    ],
)
def test_what_was_written_by_hand_is_checked(
    library: pathlib.Path, line: str, message: str
) -> None:
    file = library / "exercises/arm/raise.md"
    file.write_text(file.read_text().replace("sides: one", f"sides: one\n{line}"))
    assert message in next(one.message for one in read_library(library).findings)


def test_a_replaced_exercise_says_what_to_use_and_goes_on_no_sheet(library: pathlib.Path) -> None:
    file = library / "exercises/arm/raise.md"
    file.write_text(file.read_text().replace("sides: one", "sides: one\nreplaced-by: weight"))
    catalogue = Catalogue(analyse_library(read_library(library), DAY))
    page = next(one for one in all_pages(catalogue) if one.path == "exercises/raise.html")
    assert 'Replaced by <a href="../exercises/weight.html">raise</a>' in whole_page(page, catalogue)
    sheet = run(library, "sheet", "raise:left")
    assert sheet.exit_code == 2
    assert "it is replaced by weight" in sheet.output
