"""Rows to drafts: fields where certain, everything else word for word, and reading accepts all."""

from __future__ import annotations

import pathlib

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from builders.tables import csv_bytes, drafts, small_library, take_in
from rungbook.intake.draft import Draft
from rungbook.reading.read import read_library


def one(root: pathlib.Path, **cells: str) -> Draft:
    """The draft of a row with a title and some more cells, headings being their names."""
    row = {"title": "A raise"} | {name.replace("__", "."): text for name, text in cells.items()}
    return drafts(csv_bytes(list(row), list(row.values())), small_library(root))[0]


def test_a_row_becomes_a_draft(tmp_path: pathlib.Path) -> None:
    draft = one(tmp_path, dose="3x10, 3/week", position="seated", works="Knee extension",
                equipment="Firm chair; band", area="Knee and thigh", Instructions="Straighten.")  # fmt: skip
    assert draft.values == {
        "title": "A raise",
        "dose": {"sets": 3, "reps": 10, "sessions": "3 per week"},
        "position": "sitting",
        "works": ("knee extension",),
        "equipment": ("chair", "band"),
        "area": "knee",
        "draft": "intake",
    }
    assert draft.text == {"Do": "Straighten."}
    assert (draft.id, draft.folder, draft.kept) == ("a-raise", "knee", [])


KEPT = {
    "dose": ("till tired", "not certain: 'till tired'"),
    "position": ("on a ball", "no position of the program's"),
    "works": ("the quads", "an action is expected, such as 'knee extension'"),
    "equipment": ("rope", "not in vocabulary/equipment.yml: 'rope'"),
    "area": ("Elbow", "not in vocabulary/areas.yml: add 'elbow: …' and run again"),
    "resistance": ("2 kg", "write it like [{weight: 2 kg, at: hand}]"),
    "movement": ("up and down", "write it like [{knee: {flexion: [90, 0]}}]"),
    "posture": ("{knee: {flexion: lots}}", "'flexion' is 'lots', not a plain number"),
    "contacts": ("[{at: nose, surface: floor}]", "'nose' is not a point of the body"),
    "incline": ("steep", "an incline is a number of degrees"),
    "sides": ("the left", "'both' or 'one' is expected"),
    "stride": ("long", "'stride' is 'long', not a number with a unit"),
    "dose__rest": ("45", "a time with its unit is expected, such as 30 s"),
    "dose__sets": ("0", "'sets' is 0, not from 1 to 100"),
    "harder": ("Flying", "no exercise is called 'Flying'"),
    "variation-of": ("Flying", "there is no one exercise 'Flying'"),
    "Criteria": ("when ready", "criteria, but no progression to give them to"),
    "Comments": ("ask Wednesday", "not known"),
    "text: Do": ("go\n## Set up\nstop", "it has headings of its own"),
    "text: Set up": ("<script>x</script>", "it holds HTML or a link that no page may show"),
    "back-off": ("see [this](../../secret)", "it holds HTML, or a link that no page may show"),
    "accepts": ("[{check: missing-dose}]", "what check finds is accepted in the library"),
    "purpose": ("bell\x07", "it holds characters that nobody can see"),
}


@pytest.mark.parametrize("name", KEPT)
def test_what_is_not_understood_is_kept_word_for_word(name: str, tmp_path: pathlib.Path) -> None:
    text, why = KEPT[name]
    draft = one(tmp_path, **{name: text})
    assert [kept.text for kept in draft.kept] == [text]
    assert draft.kept[0].why.startswith(why)
    assert draft.values.keys() <= {"title", "draft"}
    assert draft.text == {}


@pytest.mark.parametrize("name", KEPT)
def test_what_is_kept_stands_in_a_file_that_reading_accepts(
    name: str, tmp_path: pathlib.Path
) -> None:
    root = small_library(tmp_path)
    text = KEPT[name][0]
    heading = name.replace("__", ".")
    take_in(csv_bytes(["title", heading], ["A raise", text]), root)
    written = next(root.rglob("a-raise.md")).read_text("utf-8")
    assert text.replace("\x07", "\\u0007") in written
    assert read_library(root).findings == ()


def test_known_words_are_taken_and_unknown_ones_kept_in_one_cell(tmp_path: pathlib.Path) -> None:
    draft = one(tmp_path, equipment="chair, rope")
    assert draft.values["equipment"] == ("chair",)
    assert draft.kept[0].text == "chair, rope"


def test_titles_are_linked_both_ways(tmp_path: pathlib.Path) -> None:
    data = csv_bytes(
        ["Exercise", "Progression", "Easier", "Criteria"],
        ["Chair rise", "Deep squat; SQUAT", "", ""],
        ["Deep squat", "", "Half squat", ""],
        ["Half squat", "", "", "3 sets of 12, calm; no pain"],
    )
    made = {draft.id: draft for draft in drafts(data, small_library(tmp_path))}
    edges = {id: draft.values.get("progressions", ()) for id, draft in made.items()}
    assert edges == {
        "chair-rise": ({"to": "deep-squat"}, {"to": "squat"}),
        "deep-squat": (),
        "half-squat": ({"to": "deep-squat", "when": ("3 sets of 12, calm", "no pain")},),
    }


def test_an_easier_exercise_of_the_library_is_not_written_to(tmp_path: pathlib.Path) -> None:
    draft = one(tmp_path, easier="Squat")
    why = "'squat' is in the library: add a progression to 'a-raise' to its file"
    assert [kept.why for kept in draft.kept] == [why]


def test_two_rows_of_one_title_are_two_drafts_and_told(tmp_path: pathlib.Path) -> None:
    made = drafts(csv_bytes(["Exercise"], ["Hop"], ["Hop"]), small_library(tmp_path))
    assert [draft.id for draft in made] == ["hop", "hop-2"]
    assert made[1].questions == ["the name 'hop' was taken: it is 'hop-2'"]


def test_a_row_without_a_title_is_a_draft_all_the_same(tmp_path: pathlib.Path) -> None:
    made = drafts(csv_bytes(["Exercise", "Notes"], ["", "push"]), small_library(tmp_path))
    assert (made[0].id, made[0].questions) == ("row-2-of-table-csv", ["it has no title"])


@pytest.mark.parametrize(
    "title", ["深蹲", "Übung für Füße", "x" * 300, "<b>bold</b>", "con", "..", "a\nb"]
)
def test_any_title_gives_a_file_that_reading_accepts(title: str, tmp_path: pathlib.Path) -> None:
    root = small_library(tmp_path)
    take_in(csv_bytes(["Exercise", "Dose"], [title, "3x10"]), root)
    library = read_library(root)
    assert library.findings == ()
    assert len(library.exercises) == 2


HEADINGS = (
    "title", "dose", "position", "works", "movement", "contacts", "equipment", "harder", "easier",
    "text: Do", "Notes", "area", "back-off", "dose.reps", "variation-of", "reviewed.by", "sides",
)  # fmt: skip
CELLS = st.one_of(
    st.text(st.characters(exclude_characters="\0", exclude_categories=["Cs"]), max_size=30),
    st.sampled_from(
        [
            "3x10", "standing", "knee extension", "[{knee: {flexion: [90, 0]}}]", "{", "[",
            "[{at: feet, surface: floor}]", "chair", "squat", "```\n## x", "~~~", "---", "---\na",
            "yes", "0o17", "1e5", "null", "# c", "a: b", "<b>", "[x](../..)", "=1+1", "'", "other",
            "[{other-knee: {flexion: [0, 9]}}]", "both", "one", "`", "\\", "\u2028", "&amp;",
        ]
    ),
)  # fmt: skip


@given(rows=st.lists(st.lists(CELLS, min_size=17, max_size=17), min_size=1, max_size=4))
@example(rows=[["", "", "", "", "", "", "", "", "", "```", "<?", *[""] * 6]])
@settings(
    max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
def test_whatever_a_table_holds_reading_accepts_the_drafts(
    rows: list[list[str]], tmp_path_factory: pytest.TempPathFactory
) -> None:
    root = small_library(tmp_path_factory.mktemp("intake"))
    intake = take_in(csv_bytes(HEADINGS, *rows), root)
    assert [f.message for f in read_library(root).findings] == []
    assert take_in(csv_bytes(HEADINGS, *rows), root).writes == [], "running again changes nothing"
    assert len(intake.outcomes) == sum(any(cell.strip() for cell in row) for row in rows)
