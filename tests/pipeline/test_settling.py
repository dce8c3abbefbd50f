"""Checking in portions, in several processes, says what the analysis of the whole says."""

from __future__ import annotations

import datetime
import functools
import pathlib
import random
from importlib import import_module

import pytest

from builders.findings import TODAY, write_library
from builders.mutations import damaged
from rungbook.checks.registry import all_checks
from rungbook.pipeline import snapshot
from rungbook.pipeline.analyse import analyse
from rungbook.pipeline.check import check_library
from rungbook.pipeline.checked import Checked
from rungbook.pipeline.parts import likely_parts, parts, unsound
from rungbook.reading.bases import list_whole
from rungbook.reading.read import read_ground, read_records
from rungbook.reports.report import Report

DEMO = pathlib.Path(__file__).parents[2] / "library"
REPORTS = ("text", "json", "sarif", "junit", "github")
MOVING = (
    "sides: one\nworks: shoulder flexion\nmovement: [{shoulder: {flexion: [0, 90]}}]\n"
    "resistance: [{weight: 1 kg, at: hand}]\n"
)


def whole(folder: pathlib.Path, today: datetime.date = TODAY) -> Checked:
    """What the analysis of the library as a whole comes to."""
    analysis = analyse(folder, today)
    records = snapshot.records(list_whole(folder))
    left_out = unsound(analysis.measured.library, records)
    return Checked(
        folder,
        analysis.findings,
        analysis.accepted,
        tuple(one.file for one in records),
        tuple(sorted(one.file for one in left_out)),
    )


def reports(checked: Checked, folder: pathlib.Path) -> dict[str, str]:
    return {
        name: import_module(f"rungbook.reports.{name}").render(Report(checked, folder, TODAY))
        for name in REPORTS
    }


def assert_same(checked: Checked, folder: pathlib.Path, today: datetime.date = TODAY) -> None:
    expected = whole(folder, today)
    assert reports(checked, folder) == reports(expected, folder)
    assert (checked.files, checked.unsound) == (expected.files, expected.unsound)
    assert [one.place for one in checked.accepted] == [one.place for one in expected.accepted]


def files(dice: random.Random) -> dict[str, str]:
    """A small library of chains with some of the things that join exercises, sound or broken."""
    found = {
        "library.yml": dice.choice(
            ["", "checks: {missing-dose: error}\n", "checks: {nosuch: off}"]
        ),
        "vocabulary/sources.yml": "lab: {title: Lab}\nrules: {title: Rules}\n",
        "vocabulary/areas.yml": dice.choice(["arm: {title: Arm}\n", ""]),
    }
    for chain in range(6):
        for rung in range(3):
            lines = [f"title: E{chain}-{rung}"]
            if rung:
                lines.append(f"variation-of: e{chain}-0\n")
            else:
                lines.append(MOVING)
            if rung < 2:
                lines.append(f"progressions: [{{to: e{chain}-{rung + 1}, when: [x]}}]")
            if dice.random() < 0.3:
                lines.append(
                    f"measured: [{{works: shoulder flexion, value: {dice.randint(1, 90)} Nm, "
                    f"source: {dice.choice(('lab', 'rules'))}}}]"
                )
            if dice.random() < 0.3:
                check = dice.choice(("missing-dose", "missing-criteria", "duplicate-id", "nosuch"))
                until = dice.choice(("2027-01-01", "2020-01-01"))
                lines.append(f"accepts: [{{check: {check}, because: x, until: {until}}}]")
            folder = dice.choice(("arm", "arm", "leg"))
            text = "\n".join(lines)
            found[f"exercises/{folder}/e{chain}-{rung}.md"] = f"---\n{text}\n---\n## Do\nLift.\n"
        text = f"title: L\ngoal: e{chain}-2\nentries: {{high: e{chain}-0}}"
        found[f"ladders/l{chain}.md"] = f"---\n{text}\n---\n"
    return found


EDITS = [
    ("to: e", "to: e{id}, because: e"),
    ("variation-of: e", 'variation-of: e{id} # '),
    ("variation-of: e", '"variation-of": e{id} # '),
    ("variation-of: e", 'titel: x\nvariation-of:\n  e{id} # '),
    ("goal: e", "goal: e{id}\n# "),
    ("title: E", "titel: E"),
    ("title: E", "area: nowhere\ntitle: E"),
    ("to: e", "to: nowhere, because: e"),
    ("weight: 1 kg", "weight: 1"),
    ("---\n", "---\nsource: lab\n"),
    ("high: e", "high: e{id}, low: e"),
]  # fmt: skip


def broken(found: dict[str, str], dice: random.Random) -> dict[str, str]:
    """Some files edited or damaged; files doubled, misnamed or removed."""
    found = dict(found)
    for _ in range(dice.randint(0, 5)):
        file = dice.choice(sorted(found))
        was, now = dice.choice(EDITS)
        new = now.format(id=f"{dice.randrange(6)}-{dice.randrange(3)}")
        found[file] = found[file].replace(was, new, 1)
    if dice.random() < 0.5:
        file = dice.choice(sorted(found))
        found[file] = damaged(found[file], dice.randrange(1000))
    if dice.random() < 0.5:
        some = dice.choice([file for file in sorted(found) if file.startswith("exercises")])
        name = some.rpartition("/")[2]
        new = dice.choice((f"exercises/other/{name}", "exercises/Bad Name.md"))
        found[new] = dice.choice((found[some], "---\ntitle: Other\n---\n"))
        if dice.random() < 0.3:
            del found[some]
    return found


def write(folder: pathlib.Path, found: dict[str, str]) -> None:
    for file, text in found.items():
        (folder / file).parent.mkdir(parents=True, exist_ok=True)
        (folder / file).write_text(text, encoding="utf-8", errors="surrogatepass")


@pytest.fixture(autouse=True)
def kept(tmp_path: pathlib.Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("RUNGBOOK_CACHE", str(tmp_path / "kept"))


@pytest.mark.parametrize("seed", range(10))
def test_portions_of_any_size_in_any_number_of_processes_say_what_the_whole_says(
    tmp_path: pathlib.Path, seed: int
) -> None:
    dice = random.Random(seed)
    folder = tmp_path / "library"
    before = files(dice)
    write(folder, before)
    check = functools.partial(check_library, folder, TODAY)
    assert_same(check(workers=1, at_once=dice.randint(1, 30)), folder)
    for file in sorted(folder.rglob("*.*"), reverse=True):
        file.unlink()
    write(folder, broken(before, dice))
    for workers, at_once in ((1, 1), (2, 4), (3, 9), (1, 1000)):
        assert_same(check(cached=False, workers=workers, at_once=at_once), folder)
    assert_same(check(workers=2, at_once=dice.randint(1, 30)), folder)
    assert_same(check(), folder)


@pytest.mark.parametrize("seed", range(8))
def test_any_edits_of_a_kept_library_say_what_the_whole_says(
    tmp_path: pathlib.Path, seed: int
) -> None:
    dice = random.Random(100 + seed)
    folder = tmp_path / "library"
    found = files(dice)
    write(folder, found)
    check_library(folder, TODAY)
    for _ in range(4):
        for file, text in broken(found, dice).items():
            if file in found:  # a file more or less is another library
                found[file] = text
        write(folder, found)
        assert_same(check_library(folder, TODAY, workers=2, at_once=dice.randint(1, 9)), folder)


def test_the_demo_library_in_portions() -> None:
    assert_same(check_library(DEMO, TODAY, cached=False, workers=2, at_once=5), DEMO)


def test_files_that_touch_unseen_are_found_to_touch(tmp_path: pathlib.Path) -> None:
    folder = write_library(
        tmp_path,
        "[exercises/a.md]\ntitle: A\nprogressions: [{? to\n: b, when: [x]}]\n"
        "[exercises/b.md]\ntitle: B\nprogressions: [{? to\n: a, when: [x]}]\n",
    )
    listing = list_whole(folder)
    ground, records = read_ground(folder, listing), snapshot.records(listing)
    guessed = likely_parts(records, ground)
    assert guessed["a"] != guessed["b"]
    read = read_records(ground)
    known = parts(read.library, records, read.varied)
    assert known["a"] == known["b"]
    checked = check_library(folder, TODAY, cached=False, at_once=1)
    assert "circular-progression" in {one.check for one in checked.findings}
    assert_same(checked, folder)


@pytest.mark.parametrize("name", sorted(all_checks()))
def test_no_check_compares_what_is_not_joined(tmp_path: pathlib.Path, name: str) -> None:
    example = all_checks()[name].explanation.fails
    folder = write_library(tmp_path, example)
    checked = check_library(folder, TODAY, cached=False, at_once=1)
    assert_same(checked, folder)
    assert name in {one.check for one in checked.findings}


@pytest.mark.parametrize("only", ["missing-dose", "order-disputed"])
def test_some_checks_only(tmp_path: pathlib.Path, only: str) -> None:
    folder = tmp_path / "library"
    write(folder, files(random.Random(5)))
    expected = analyse(folder, TODAY, only=[only])
    found = check_library(folder, TODAY, only=[only], workers=2, at_once=2)
    assert (found.findings, found.accepted) == (expected.findings, expected.accepted)
    expected = analyse(folder, TODAY, skip=[only])
    found = check_library(folder, TODAY, skip=[only], workers=2, at_once=2)
    assert (found.findings, found.accepted) == (expected.findings, expected.accepted)


def test_what_is_being_done_is_said(tmp_path: pathlib.Path) -> None:
    folder = tmp_path / "library"
    write(folder, files(random.Random(5)))
    said: list[str] = []
    check_library(folder, TODAY, said.append, cached=False, at_once=1000)
    assert said == ["reading", "computing loads", "measuring steps", "checking"]
    said.clear()
    check_library(folder, TODAY, said.append, cached=False, workers=2, at_once=12)
    assert said[0] == "checking 24 files"
    assert said[-1] == "checked 24 of 24 files"
