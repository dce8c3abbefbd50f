"""What is exported as a table comes in again as the same exercises."""

from __future__ import annotations

import csv
import io
import pathlib
import shutil
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from builders.library import library_folder
from builders.tables import VOCABULARY, take_in, workbook
from rungbook.exporting.exercise_table import exercise_table
from rungbook.intake.draft_text import HEADING
from rungbook.ladder.measure import measure
from rungbook.load.compute import compute_loads
from rungbook.model.exercise import Exercise
from rungbook.model.library import Library
from rungbook.reading.read import read_library

DEMO = pathlib.Path(__file__).parents[2] / "library"
# What vouches for an exercise does not come in by a table; whether its words fit follows from that.
VOUCHING = ("reviewed", "words_checked", "accepts")
OTHER = ("source", "draft", "altered", "borrowed", *VOUCHING)
SAME = [name for name in Exercise.model_fields if name not in OTHER]


def table_of(library: Library, loads: bool = False) -> bytes:
    computed = compute_loads(library.exercises.values(), library) if loads else {}
    return exercise_table(measure(library, computed)).encode()


def differences(old: Library, new: Library) -> list[tuple[str, str, Any, Any]]:
    assert list(old.exercises) == list(new.exercises)
    found = []
    for id, exercise in old.exercises.items():
        back = new.exercises[id]
        # Acceptances stay behind as text, which variations take over.
        kept = {head: text for head, text in back.text.items() if head != HEADING}
        assert not exercise.accepts or HEADING in back.text
        back = back.model_copy(update={"text": kept})
        found += [
            (id, name, getattr(exercise, name), getattr(back, name))
            for name in SAME
            if getattr(exercise, name) != getattr(back, name)
        ]
    return found


def emptied(root: pathlib.Path, into: pathlib.Path) -> pathlib.Path:
    """The library without its exercises and ladders."""
    into.mkdir()
    for name in ("library.yml", "vocabulary", "pictures"):
        if (root / name).is_dir():
            shutil.copytree(root / name, into / name)
        elif (root / name).exists():
            shutil.copy(root / name, into / name)
    return into


def test_the_demo_library_comes_back_the_same(tmp_path: pathlib.Path) -> None:
    demo = read_library(DEMO)
    new = emptied(DEMO, tmp_path / "library")
    intake = take_in(table_of(demo, loads=True), new)
    assert intake.counts["made"] == len(demo.exercises)
    kept = {kept.column.heading for one in intake.outcomes for kept in one.draft.kept}
    assert kept <= {"accepts"}
    back = read_library(new)
    assert back.findings == ()
    assert differences(demo, back) == []


def test_it_comes_back_from_a_workbook_too(tmp_path: pathlib.Path) -> None:
    """As if opened and saved in a spreadsheet program that keeps the text."""
    demo = read_library(DEMO)
    rows = list(csv.reader(io.StringIO(table_of(demo).decode(), newline="")))
    new = emptied(DEMO, tmp_path / "library")
    take_in(workbook(*rows), new, "exercises.xlsx")
    assert differences(demo, read_library(new)) == []


def test_no_review_comes_back(tmp_path: pathlib.Path) -> None:
    new = emptied(DEMO, tmp_path / "library")
    take_in(table_of(read_library(DEMO)), new)
    back = read_library(new).exercises.values()
    assert {(one.standing, one.may_go_on_a_sheet) for one in back} == {("never reviewed", False)}


WORDS = st.text(
    st.characters(codec="utf-8", exclude_categories=["C", "Z"], exclude_characters="<>[]()&:`~\\"),
    min_size=1,
    max_size=12,
).map(lambda text: text if not text.startswith("#") else f"a{text}")
PHRASE = st.lists(WORDS, min_size=1, max_size=4).map(" ".join)
LINES = st.lists(PHRASE, min_size=1, max_size=3).map("\n".join)
KEYS = ["chair", "band"]


def quantity(unit: str, low: float, high: float) -> st.SearchStrategy[str]:
    return st.decimals(low, high, places=2).map(lambda number: f"{number} {unit}")


DOSES = st.fixed_dictionaries(
    {},
    optional={
        "sets": st.integers(1, 9),
        "reps": st.one_of(st.integers(1, 40), st.just("8-12")),
        "hold": quantity("s", 1, 90),
        "up": quantity("s", 1, 9),
        "rest": st.one_of(quantity("s", 0, 600), quantity("min", 1, 3)),
        "sessions": st.sampled_from(["3 per week", "2 per day", "2.5 per week", "10 per day"]),
        "effort": st.sampled_from(["4-6 of 10", "5 of 10", "2.5-3 of 10"]),
    },
).filter(bool)
EXERCISES = st.fixed_dictionaries(
    {"title": PHRASE},
    optional={
        "also-called": st.lists(PHRASE, max_size=3),
        "purpose": st.lists(PHRASE, max_size=3),
        "sides": st.just("one"),
        "position": st.sampled_from(["sitting", "supine", "plank"]),
        "incline": st.integers(-30, 30),
        "works": st.lists(
            st.sampled_from(["knee extension", "hip flexion"]), min_size=1, max_size=2, unique=True
        ),
        "posture": st.just({"shoulder": {"flexion": 12.5}}),
        "contacts": st.just([{"at": "feet", "surface": "chair", "height": "0.3 m", "share": "7 %"}]),
        "resistance": st.lists(
            st.one_of(
                quantity("lb", 1, 20).map(lambda weight: {"weight": weight, "at": "hand"}),
                st.just({"push": "12.5 N", "at": "foot", "pulls": {"toward": "hip"}}),
            ),
            max_size=2,
        ),
        "dose": DOSES,
        "equipment": st.lists(st.sampled_from(KEYS), max_size=2),
        "back-off": st.lists(PHRASE, max_size=3),
        "reviewed": st.fixed_dictionaries({"date": st.just("2026-05-01"), "by": PHRASE}),
        "measured": st.just(
            [{"works": "knee extension", "value": "0.9 Nm/kg", "source": "somebody-2020"}]
        ),
        "text": st.dictionaries(st.sampled_from(["Do", "Set up", "Own"]), LINES, max_size=3),
    },
)  # fmt: skip
LIBRARIES = st.lists(EXERCISES, min_size=1, max_size=4)


@given(written=LIBRARIES, data=st.data())
@settings(
    max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
def test_any_sound_library_comes_back_the_same(
    written: list[dict[str, Any]], data: st.DataObject, tmp_path_factory: pytest.TempPathFactory
) -> None:
    for number, one in enumerate(written[:-1]):
        if data.draw(st.booleans()):
            edge = {"to": f"e{number + 1}", "when": [data.draw(PHRASE)], "after": "10 days"}
            one["progressions"] = [edge]
        if number and data.draw(st.booleans()):
            one["variation-of"] = "e0"
    tmp = tmp_path_factory.mktemp("trip")
    files = {f"knee/e{number}": one for number, one in enumerate(written)}
    root = library_folder(tmp / "old", files, vocabulary=VOCABULARY)
    old = read_library(root)
    table = table_of(old)
    new = emptied(root, tmp / "library")
    take_in(table, new)
    back = read_library(new)
    if old.exercises:
        assert [f.message for f in back.findings] == []
    assert differences(old, back) == []


def test_a_time_comes_back_in_whatever_unit_it_went_out(tmp_path: pathlib.Path) -> None:
    """1.31 min is 78.60000000000001 s, which goes out as milliseconds."""
    root = library_folder(
        tmp_path / "old",
        {"knee/e0": {"title": "Slow", "dose": {"rest": "1.31 min"}}},
        vocabulary=VOCABULARY,
    )
    old = read_library(root)
    new = emptied(root, tmp_path / "library")
    take_in(table_of(old), new)
    assert differences(old, read_library(new)) == []
