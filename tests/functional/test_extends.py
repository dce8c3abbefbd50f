"""Commands on a library that builds on another: the base is read, and never written to."""

from __future__ import annotations

import hashlib
import json
import pathlib

import pytest
from click.testing import CliRunner, Result

from builders.based import CLINIC, NATIONAL, side_by_side, write
from builders.repositories import committed
from rungbook.cli import main
from rungbook.site.publishing.live import LiveSite, signature

DAY = ("--today", "2026-06-01")
SECOND = pathlib.Path(__file__).parent.parent / "libraries" / "second_clinic"
MINE = """[exercises/calf/rail.md]
title: At the rail
variation-of: low
contacts: [{at: forefeet, surface: floor}, {at: hands, surface: rail, height: 0.9 m, share: 38 %}]
progressions: [{to: low, when: [3 sets of 15]}]
"""


@pytest.fixture
def clinic(tmp_path: pathlib.Path) -> pathlib.Path:
    return side_by_side(tmp_path, CLINIC + MINE)


def run(clinic: pathlib.Path, command: str, *arguments: str) -> Result:
    return CliRunner().invoke(main, [command, "--library", str(clinic), *arguments])


def checked(clinic: pathlib.Path, *arguments: str) -> list[tuple[str, str, str]]:
    """Level, check and file of what `check` finds."""
    answer = json.loads(run(clinic, "check", "--format", "json", *DAY, *arguments).stdout)
    return [(one["level"], one["check"], one["file"]) for one in answer["findings"]]


def state(folder: pathlib.Path) -> dict[str, str]:
    return {
        str(path): hashlib.sha256(path.read_bytes()).hexdigest()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


def test_only_what_is_one_s_own_is_reported(clinic: pathlib.Path) -> None:
    found = checked(clinic)
    assert found and all(not file.startswith("..") for _, _, file in found)
    assert {file for _, _, file in checked(clinic.parent / "national")} - {"library.yml"}


def test_what_no_longer_fits_is_reported_with_the_way_out(clinic: pathlib.Path) -> None:
    (clinic / "library.yml").write_text("extends: ../national\nlimits: {bearing: 5 %}\n")
    answer = run(clinic, "check", *DAY)
    ends = " ".join(answer.output.split())
    assert "../national/exercises/calf/low.md" in answer.output
    assert "a file of the base: put one of your own in its place, or leave it out" in ends
    found = checked(clinic)
    assert any(check == "step-too-large" and file.startswith("..") for _, check, file in found)
    assert sorted(found) == sorted(checked(clinic))  # the second time from what was kept


def test_a_base_with_errors_is_one_error_here(clinic: pathlib.Path) -> None:
    assert not [one for one in checked(clinic) if one[0] == "error"]
    high = clinic.parent / "national" / "exercises" / "calf" / "high.md"
    high.write_text(high.read_text().replace("variation-of: middle", "variation-of: nobody"))
    errors = [one for one in checked(clinic) if one[0] == "error"]
    assert ("error", "unusable-base", "library.yml") in errors
    assert run(clinic, "build", "--site", str(clinic.parent / "site")).exit_code == 1
    high.write_text(high.read_text().replace("variation-of: nobody", "variation-of: middle"))
    assert not [one for one in checked(clinic) if one[0] == "error"]


def test_the_whole_and_the_kept_way_of_checking_agree(clinic: pathlib.Path) -> None:
    (clinic / "library.yml").write_text("extends: ../national\nlimits: {bearing: 5 %}\n")
    import datetime

    from rungbook.pipeline.analyse import analyse

    whole = analyse(clinic, datetime.date(2026, 6, 1)).findings
    assert sorted((one.level, one.check, one.place.file) for one in whole) == sorted(
        checked(clinic)
    )


@pytest.mark.parametrize(
    ("command", "told"),
    [
        (("review", "low", "--by", "Physiotherapist"), "belongs to the base ../national"),
        (("rename", "low", "lowest"), "belongs to the base ../national"),
        (("rename", "rail", "low"), "already the id of ../national/exercises/calf/low.md"),
        (("rename", "calf", "calves"), "belongs to the base ../national"),
        (("fill", "low", "high", "--write"), "belongs to the base ../national"),
    ],
)
def test_nothing_writes_to_the_base(
    clinic: pathlib.Path, command: tuple[str, ...], told: str
) -> None:
    if command[0] == "fill":  # then something is missing between the two
        (clinic / "library.yml").write_text("extends: ../national\nwithout: [middle]\n")
    before = state(clinic.parent)
    answer = run(clinic, *command)
    assert answer.exit_code == 2 and told in " ".join(answer.output.split())
    assert state(clinic.parent) == before


def test_intake_makes_no_draft_in_place_of_one_of_the_base(clinic: pathlib.Path) -> None:
    before, table = state(clinic.parent / "national"), clinic.parent / "ours.csv"
    table.write_text("id,title,position\nlow,Other,standing\nnew-one,New one,standing\n")
    answer = run(clinic, "intake", str(table))
    assert answer.exit_code == 0, answer.output
    assert {one.name for one in clinic.rglob("*.md")} == {"rail.md", "new-one.md"}
    assert "no intake made them" in answer.output and state(clinic.parent / "national") == before


def test_an_own_exercise_is_reviewed_and_renamed_in_its_own_file(clinic: pathlib.Path) -> None:
    before = state(clinic.parent / "national")
    assert run(clinic, "review", "rail", "--by", "Physiotherapist", *DAY).exit_code == 0
    assert run(clinic, "rename", "rail", "at-the-rail").exit_code == 0
    assert (clinic / "exercises" / "calf" / "at-the-rail.md").is_file()
    assert "changed-since-review" not in {check for _, check, _ in checked(clinic)}
    assert state(clinic.parent / "national") == before
    waiting = json.loads(run(clinic, "review", "--queue", "--format", "json", *DAY).stdout)
    assert "low" not in str(waiting)  # the base's people review what is the base's


def test_a_review_notices_what_changed_in_the_base(clinic: pathlib.Path) -> None:
    run(clinic, "review", "rail", "--by", "Physiotherapist", *DAY)
    low = clinic.parent / "national" / "exercises" / "calf" / "low.md"
    low.write_text(low.read_text().replace("reps: 12", "reps: 30"))
    assert ("warning", "changed-since-review", "exercises/calf/rail.md") in checked(clinic)


def test_pages_and_exports_say_where_an_exercise_comes_from(clinic: pathlib.Path) -> None:
    site = clinic.parent / "site"
    answer = run(clinic, "build", "--site", str(site), "--draft")
    assert answer.exit_code == 0, answer.output
    assert "from National library" in (site / "exercises" / "low.html").read_text()
    assert "from National library" not in (site / "exercises" / "rail.html").read_text()
    assert "comes from National library" in (site / "ladders" / "calf.html").read_text()
    written = json.loads(run(clinic, "export", "json").stdout)
    origin = {one["id"]: one["base"] for one in written["exercises"]}
    assert origin == {"high": "National library", "low": "National library",
                      "middle": "National library", "rail": None}  # fmt: skip
    table = run(clinic, "export", "csv").stdout
    assert table.count("National library") == 3 and "computed.base" in table


def test_compare_says_what_changed_under_you(tmp_path: pathlib.Path) -> None:
    clinic = side_by_side(
        tmp_path, CLINIC + "[exercises/calf/high.md]\ntitle: Ours\nvariation-of: low\n"
    )
    (tmp_path / ".git").rmdir()
    committed(tmp_path)
    for name in ("low", "high"):
        file = tmp_path / "national" / "exercises" / "calf" / f"{name}.md"
        file.write_text(file.read_text().replace("title: ", "title: New "))
    answer = run(clinic, "compare", "one", *DAY)
    assert "`low` (of the base): title" in answer.output
    assert "Changed in the base, and replaced here" in answer.output
    assert "- `../national/exercises/calf/high.md`" in answer.output
    values = json.loads(run(clinic, "compare", "one", "--format", "json", *DAY).stdout)
    assert values["base"] == {
        "changed": ["low"],
        "replaced_changed": ["../national/exercises/calf/high.md"],
    }


def test_every_command_takes_the_base_s_folder(tmp_path: pathlib.Path) -> None:
    clinic = side_by_side(tmp_path / "here", CLINIC.replace("../national", "../../far/national"))
    far = write(tmp_path / "far" / "national", NATIONAL)
    refused = run(clinic, "load", "low")
    assert refused.exit_code == 2 and "library.yml:1:10: there is no folder" in refused.output
    assert "Traceback" not in refused.output
    assert run(clinic, "load", "low", "--base", str(far)).exit_code == 0
    assert run(clinic, "load", "low").exit_code == 2  # named for one command alone
    told = [one for one in checked(clinic) if one[0] == "error"]
    assert told == [("error", "unusable-base", "library.yml")]


def test_a_preview_sees_the_base_change(clinic: pathlib.Path) -> None:
    import datetime

    before, site = signature(clinic), LiveSite(clinic)
    site.rebuild(datetime.date(2026, 6, 1))
    low = clinic.parent / "national" / "exercises" / "calf" / "low.md"
    low.write_text(low.read_text().replace("title: Low", "title: Quite low"))
    assert signature(clinic) != before
    site.rebuild(datetime.date(2026, 6, 1))
    page = site.get("exercises/low.html")
    assert page is not None and b"Quite low" in page


def test_the_second_clinic_builds_on_the_demo_library() -> None:
    found = checked(SECOND)
    assert not [one for one in found if one[0] == "error" or one[2].startswith("..")]
    assert run(SECOND, "load", "heel-raise-rail").exit_code == 0
    assert "no exercise" in run(SECOND, "load", "calf-stretch-board").output
