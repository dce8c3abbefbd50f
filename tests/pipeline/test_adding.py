"""A filling is added to a library as a whole, or not at all."""

from __future__ import annotations

import datetime
import pathlib

import pytest

from builders.library import library_folder
from rungbook.filling.search import fill
from rungbook.pipeline.adding import add
from rungbook.pipeline.analyse import Analysis, analyse
from rungbook.pipeline.reviewing import mark_reviewed
from rungbook.pipeline.together import WORKING, NotWritten
from rungbook.reading.read import read_library

TODAY = datetime.date(2026, 11, 1)
ARM = {
    "title": "Arm raise standing",
    "sides": "one",
    "works": "shoulder flexion",
    "posture": {"elbow": {"flexion": 0}},
    "movement": [{"shoulder": {"flexion": [0, 140]}}],
    "dose": {"sets": 3, "reps": 10, "up": "3 s", "down": "3 s", "sessions": "3 per week"},
    "back-off": ["pain above 3 of 10"],
    "text": {"Set up": "Stand.", "Do": "Raise.", "For the patient": "Lift your arm."},
}
EASIER = {
    "title": "Arm raise standing in a pulley",
    "variation-of": "raise",
    "assist": [{"at": "wrist", "by": "pulley", "share": "50 %"}],
    "equipment": ["pulley"],
    "progressions": [{"to": "raise", "when": ["3 sets of 12"]}],
    "text": {"Set up": "Stand.", "Do": "Raise.", "For the patient": "Let the pulley help."},
}
VOCABULARY = {
    "equipment": "pulley: {title: Over-door pulley, assists: set}\n",
    "areas": "arm: {title: Arm}\n",
}


@pytest.fixture
def folder(tmp_path: pathlib.Path) -> pathlib.Path:
    ladder = {"title": "Arm", "works": "shoulder flexion", "condition": "joint", "goal": "raise",
              "entries": {"high": "carried"}, "goal-met": ["calm"], "pain-rule": "default"}  # fmt: skip
    settings = "pain-rule: {during: 5, source: common-practice}\n"
    return library_folder(tmp_path, {"arm/carried": EASIER, "arm/raise": ARM},
                          {"arm": ladder}, settings, VOCABULARY)  # fmt: skip


def files(folder: pathlib.Path) -> dict[str, bytes]:
    return {str(one.relative_to(folder)): one.read_bytes()
            for one in sorted(folder.rglob("*")) if one.is_file()}  # fmt: skip


def analysed(folder: pathlib.Path) -> Analysis:
    return analyse(folder, TODAY)


def test_the_library_has_no_new_error_and_its_ladder_is_as_it_was(folder: pathlib.Path) -> None:
    before = analysed(folder)
    done = add(before, fill(before.measured, "carried", "raise"), TODAY)
    after = analysed(folder)
    assert done.changed == ("exercises/arm/carried.md",)
    assert after.counts["error"] == before.counts["error"]
    assert after.measured.ladders["arm"].rungs == ("carried", "raise")
    notes = [one for one in after.findings if one.check == "draft-progression"]
    assert [one.exercises for one in notes] == [
        ("carried", "raise-pulley-25"), ("raise-pulley-25", "raise"),
    ]  # fmt: skip
    assert "write its criteria (`when`), review raise-pulley-25" in notes[0].message


def test_a_sealed_review_stands_beside_drafts(folder: pathlib.Path) -> None:
    library = read_library(folder)
    mark_reviewed(library, ["carried", "raise"], "Physiotherapist", TODAY, {})
    before = analysed(folder)
    add(before, fill(before.measured, "carried", "raise"), TODAY)
    exercises = read_library(folder).exercises
    assert exercises["carried"].standing == exercises["raise"].standing == "reviewed"
    assert exercises["raise-pulley-25"].standing == "never reviewed"


def test_a_file_in_the_way_stops_everything(folder: pathlib.Path) -> None:
    before = analysed(folder)
    found = fill(before.measured, "carried", "raise")
    (folder / "exercises/arm/raise-pulley-25.md").write_text("mine")
    was = files(folder)
    with pytest.raises(NotWritten, match=r"raise-pulley-25\.md exists already"):
        add(before, found, TODAY)
    assert files(folder) == was


def test_what_would_bring_an_error_is_not_written(folder: pathlib.Path) -> None:
    before = analysed(folder)
    found = fill(before.measured, "carried", "raise")
    # Meanwhile somebody leads back from the harder exercise: the drafts would close a circle.
    raised = folder / "exercises/arm/raise.md"
    text = raised.read_text().replace(
        "back-off:", "progressions: [{to: carried, when: [x]}]\nback-off:"
    )
    (folder / "exercises/arm/carried.md").write_text(
        (folder / "exercises/arm/carried.md").read_text().replace("to: raise", "to: other")
    )
    raised.write_text(text)
    (folder / "exercises/arm/other.md").write_text("---\ntitle: Other\nvariation-of: raise\n---\n")
    was = files(folder)
    with pytest.raises(NotWritten, match=r"(?s)the library would have errors:.*circle"):
        add(before, found, TODAY)
    assert files(folder) == was
    assert not (folder / WORKING).exists()


def test_what_a_run_cut_short_left_is_cleaned_by_the_next(folder: pathlib.Path) -> None:
    (folder / WORKING).mkdir()
    (folder / WORKING / "new-0").write_text("half a draft")
    before = analysed(folder)
    add(before, fill(before.measured, "carried", "raise"), TODAY)
    assert not (folder / WORKING).exists()
