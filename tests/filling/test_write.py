"""Drafts as files, and files edited in place."""

import pathlib

import pytest

from builders.library import library_folder
from builders.loads import arm_loads
from rungbook.filling.solve import fill
from rungbook.filling.write import CannotWrite, write_filling
from rungbook.ladder.measure import measure
from rungbook.reading.read import read_library

ARM = """\
title: Arm raise
sides: one
works: shoulder flexion
movement: [{shoulder: {flexion: [0, 90]}}]
dose: {sets: 3, reps: 10, up: 3 s, down: 3 s, sessions: 3 per week}
cautions: [wound]
back-off: [pain above 5 of 10]
"""
VOCABULARY = {
    "equipment": "pulley: {title: Over-door pulley, assists: set}\n",
    "cautions": "wound: {title: Wound}\nfever: {title: Fever}\n",
    "areas": "arm: {title: Arm}\n",
}


def easy(progressions: str, comment: str = "") -> str:
    return (
        f"---\ntitle: Half carried{comment}\nvariation-of: b\n"
        f"assist: [{{at: wrist, by: pulley, share: 50 %}}]\ncautions: [fever]\n{progressions}---\n"
        "## Do\nRaise it.\n"
    )


BLOCK = """\
progressions:
  # the next one
  - to: b  # straight on
    when:
      - 3 sets of 12
    after: 6 sessions
  - to: c
    when: [calm]
"""


def written(root: pathlib.Path, easier: str, **more: str) -> pathlib.Path:
    exercises = {"arm/a": easier, "arm/b": f"---\n{ARM}---\n", "arm/c": f"---\n{ARM}---\n", **more}
    return library_folder(root, exercises, vocabulary=VOCABULARY)


def write(folder: pathlib.Path, from_id: str = "a", to_id: str = "b"):
    library = read_library(folder)
    measured = measure(library, arm_loads(library.exercises.values()))
    return write_filling(measured, fill(measured, from_id, to_id, arm_loads))


def test_nothing_but_the_id_of_the_progression_changes(tmp_path):
    folder = written(tmp_path, easy(BLOCK, "  # mine"))
    before = (folder / "exercises/arm/a.md").read_text()
    done = write(folder)
    after = (folder / "exercises/arm/a.md").read_text()
    assert done.changed == ("exercises/arm/a.md",)
    assert done.added == ("exercises/arm/b-pulley-30.md",)
    assert after == before.replace("to: b  # straight on", "to: b-pulley-30  # straight on")


def test_the_draft_is_a_valid_exercise_that_says_what_it_is(tmp_path):
    folder = written(tmp_path, easy(BLOCK))
    write(folder)
    library = read_library(folder)
    draft = library.exercises["b-pulley-30"]
    assert not [one for one in library.findings if one.place.file.endswith("b-pulley-30.md")]
    assert draft.draft == "computed, not reviewed" and draft.variation_of == "b"
    assert not draft.may_go_on_a_sheet
    assert draft.title == "Arm raise, with 30 % of the arm carried by the over-door pulley"
    assert draft.cautions == ("wound", "fever")  # those of both neighbours
    assert draft.back_off == ("pain above 5 of 10",)
    (progression,) = draft.progressions
    assert progression.to == "b" and progression.when == ("3 sets of 12",)
    assert progression.after is not None and progression.after.count == 6
    assert "to be reviewed" in (progression.because or "")
    assert draft.text["What changes"].startswith("Computed, not reviewed. As “Arm raise”, but:")


def test_what_is_read_again_asks_for_what_was_computed(tmp_path):
    folder = written(tmp_path, easy(BLOCK))
    library = read_library(folder)
    measured = measure(library, arm_loads(library.exercises.values()))
    found = fill(measured, "a", "b", arm_loads)
    write_filling(measured, found)
    again = read_library(folder)
    loads = arm_loads(again.exercises.values())
    for one in found.proposals:
        assert loads[one.candidate.exercise.id].demand_nm == pytest.approx(one.load.demand_nm)
    steps = measure(again, loads).steps
    assert all(
        steps[edge].size <= 1 + 1e-6 for edge in [("a", "b-pulley-30"), ("b-pulley-30", "b")]
    )


@pytest.mark.parametrize(
    ("progressions", "after"),
    [
        ("progressions: [{to: b, when: [x]}]\n", "progressions: [{to: NEW, when: [x]}]\n"),
        ("progressions: [{to: 'b', when: [x]}]\n", "progressions: [{to: NEW, when: [x]}]\n"),
        ('progressions:\n- {to: "b"}\n', "progressions:\n- {to: NEW}\n"),
    ],
)
def test_every_way_to_write_a_progression_can_be_edited(tmp_path, progressions, after):
    folder = written(tmp_path, easy(progressions))
    write(folder)
    assert (folder / "exercises/arm/a.md").read_text() == easy(after.replace("NEW", "b-pulley-30"))


@pytest.mark.parametrize(
    "progressions",
    ["", "progressions: []\n", "progressions: [{to: c, when: [x]}]\n",
     "progressions:\n  - to: c\n    when: [x]  # kept\n", "progressions:\n- to: c\n"],
)  # fmt: skip
def test_without_a_direct_progression_one_is_added(tmp_path, progressions):
    folder = written(tmp_path, easy(progressions))
    write(folder)
    library = read_library(folder)
    targets = [one.to for one in library.exercises["a"].progressions]
    assert targets == ["b-pulley-30", *(["c"] if "to: c" in progressions else [])]
    assert not [one for one in library.findings if one.place.file.endswith("a.md")]
    assert ("# kept" in (folder / "exercises/arm/a.md").read_text()) == ("# kept" in progressions)


def test_line_ends_and_the_mark_at_the_start_stay(tmp_path):
    folder = written(tmp_path, "")
    file = folder / "exercises/arm/a.md"
    file.write_bytes(b"\xef\xbb\xbf" + easy(BLOCK).replace("\n", "\r\n").encode())
    before = file.read_bytes()
    write(folder)
    assert file.read_bytes() == before.replace(b"to: b  #", b"to: b-pulley-30  #")


def test_where_the_path_goes_by_way_of_a_known_progression_the_direct_one_goes(tmp_path):
    mine = (
        "---\ntitle: Mine\nvariation-of: b\nassist: [{at: wrist, by: pulley, share: 28 %}]\n"
        "progressions: [{to: b, when: [y]}]\n---\n"
    )
    progressions = "progressions:\n  - to: mine\n    when: [x]\n  - to: b\n    when: [z]\n"
    folder = written(tmp_path, easy(progressions), **{"arm/mine": mine})
    done = write(folder)
    assert done.added == () and done.changed == ("exercises/arm/a.md",)
    assert (folder / "exercises/arm/a.md").read_text() == easy(
        "progressions:\n  - to: mine\n    when: [x]\n"
    )


def test_a_file_in_the_way_stops_everything(tmp_path):
    folder = written(tmp_path, easy(BLOCK))
    library = read_library(folder)
    measured = measure(library, arm_loads(library.exercises.values()))
    found = fill(measured, "a", "b", arm_loads)
    (folder / "exercises/arm/b-pulley-30.md").write_text("mine")
    before = (folder / "exercises/arm/a.md").read_bytes()
    with pytest.raises(CannotWrite, match=r"b-pulley-30\.md exists already: rename or remove"):
        write_filling(measured, found)
    assert (folder / "exercises/arm/a.md").read_bytes() == before
    assert (folder / "exercises/arm/b-pulley-30.md").read_text() == "mine"
