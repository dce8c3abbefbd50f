"""What a filling adds to a library: draft exercises, draft progressions, no criteria."""

from __future__ import annotations

import pathlib

import pytest

from builders.library import library_folder
from builders.loads import arm_loads
from rungbook.filling.draft import Files, files_of
from rungbook.filling.search import fill
from rungbook.ladder.measure import measure
from rungbook.ladder.measured import MeasuredLibrary
from rungbook.reading.read import read_library

ARM = """\
---
title: Arm raise
sides: one
works: shoulder flexion
movement: [{shoulder: {flexion: [0, 90]}}]
dose: {sets: 3, reps: 10, up: 3 s, down: 3 s, sessions: 3 per week}
cautions: [wound]
back-off: [pain above 5 of 10]
---
"""
EASIER = """\
---
title: Arm raise carried by a pulley
variation-of: b
assist: [{at: wrist, by: pulley, share: 50 %}]
equipment: [pulley]
cautions: [fever]
progressions:
  - {to: b, when: [3 sets of 12], after: 6 sessions}
---
"""
VOCABULARY = {
    "equipment": "pulley: {title: Over-door pulley, assists: set}\n",
    "cautions": "wound: {title: Wound}\nfever: {title: Fever}\n",
    "areas": "arm: {title: Arm}\n",
}


def measured_at(folder: pathlib.Path) -> MeasuredLibrary:
    library = read_library(folder)
    return measure(library, arm_loads(library.exercises.values()))


@pytest.fixture
def folder(tmp_path: pathlib.Path) -> pathlib.Path:
    return library_folder(tmp_path, {"arm/a": EASIER, "arm/b": ARM}, vocabulary=VOCABULARY)


def files(folder: pathlib.Path, from_id: str = "a", to_id: str = "b") -> Files:
    measured = measured_at(folder)
    found = fill(measured, from_id, to_id, arm_loads)
    return files_of(measured, found, lambda path: (folder / path).read_bytes())


def written(folder: pathlib.Path) -> MeasuredLibrary:
    made = files(folder)
    for path, content in {**made.added, **made.changed}.items():
        (folder / path).write_bytes(content)
    return measured_at(folder)


def test_a_draft_is_a_valid_exercise_that_says_what_it_is(folder: pathlib.Path) -> None:
    library = written(folder).library
    assert not library.findings
    draft = library.exercises["b-pulley-25"]
    assert draft.draft == "computed, not reviewed" and draft.variation_of == "b"
    assert not draft.may_go_on_a_sheet
    assert draft.title == "Arm raise, an over-door pulley carrying a quarter of the arm"
    assert draft.cautions == ("wound", "fever")  # those of both ends
    assert draft.text["What changes"].startswith("Computed, not reviewed. As “Arm raise”, but:")


def test_no_criteria_are_taken_over_from_another_exercise(folder: pathlib.Path) -> None:
    exercises = written(folder).library.exercises
    edges = [*exercises["a"].progressions, *exercises["b-pulley-25"].progressions]
    assert [(one.to, one.draft, one.when, one.after) for one in edges if one.draft] == [
        ("b-pulley-25", True, (), None),
        ("b", True, (), None),
    ]


def test_the_direct_progression_stays_and_is_the_only_way(folder: pathlib.Path) -> None:
    measured = written(folder)
    assert set(measured.graph.edges) == {("a", "b")}
    assert set(measured.with_drafts.edges) == {
        ("a", "b"), ("a", "b-pulley-25"), ("b-pulley-25", "b"),
    }  # fmt: skip
    assert tuple(map(str, measured.library.exercises["a"].ways[0].when)) == ("3 sets of 12",)


def test_what_is_read_again_asks_for_what_was_computed(folder: pathlib.Path) -> None:
    found = fill(measured_at(folder), "a", "b", arm_loads)
    again = written(folder)
    for one in found.proposals:
        load = again.loads[one.candidate.exercise.id]
        assert load.demand_nm == pytest.approx(one.load.demand_nm)


def test_a_second_run_finds_the_drafts_of_the_first(folder: pathlib.Path) -> None:
    written(folder)
    again = files(folder)
    assert again == Files({}, {})


def test_only_the_easier_file_changes_and_only_by_one_progression(folder: pathlib.Path) -> None:
    made = files(folder)
    assert list(made.added) == ["exercises/arm/b-pulley-25.md"]
    (content,) = made.changed.values()
    added = "  - {to: b-pulley-25, draft: true, because: computed; criteria to be written}\n"
    assert content.decode().replace(added, "") == EASIER
