"""The demo library is what a clinic would be glad to have: complete, clean and readable.

It is read as any library is; nothing here knows how an exercise is computed.
"""

from __future__ import annotations

import json
import pathlib
import re
from collections.abc import Iterator
from functools import cache
from typing import Any

import pytest
import yaml
from click.testing import CliRunner

from rungbook.checks.readability import readability
from rungbook.cli import main
from rungbook.ladder.graph import progression_graph, rungs
from rungbook.model.exercise import Exercise
from rungbook.model.library import Library
from rungbook.reading.read import read_library

LIBRARY = pathlib.Path(__file__).resolve().parents[2] / "library"
DAY = "2026-11-25"  # the reviews are good for 24 months from their dates in autumn 2026
WHY_NONE = {
    # Stretches stand beside the ladders of loads; each says so, or how to make it easier.
    "calf-stretch-wall": "easier stretch",
    "calf-stretch-board": "beside the ladder",
}


@cache
def library() -> Library:
    return read_library(LIBRARY)


@cache
def checked() -> dict[str, Any]:
    run = CliRunner().invoke(
        main, ["check", "--library", str(LIBRARY), "--format", "json", "--fail-on", "warning"]
    )
    assert run.exit_code in (0, 1), run.output
    found: dict[str, Any] = json.loads(run.stdout)
    return found


def written() -> Iterator[tuple[str, dict[str, Any]]]:
    """The front matter of every exercise as it was written, before variations are filled in."""
    for path in sorted((LIBRARY / "exercises").rglob("*.md")):
        yield path.stem, yaml.safe_load(path.read_text("utf-8").split("---\n")[1])


def test_it_reads_without_a_finding() -> None:
    assert [f"{f.place.file}:{f.place.line} {f.message}" for f in library().findings] == []


def test_it_has_ten_ladders_and_nearly_150_exercises() -> None:
    assert len(library().ladders) >= 10
    assert len(library().exercises) >= 145


def test_the_check_finds_nothing_to_warn_of() -> None:
    """What is left are notes; what was accepted gives its reason in the file."""
    worse = [f for f in checked()["findings"] if f["level"] in ("error", "warning")]
    assert [f"{f['file']}:{f['line']} {f['check']}: {f['message']}" for f in worse] == []


@pytest.mark.parametrize(
    "field",
    [
        "title", "area", "also-called", "purpose", "sides", "position", "incline", "posture",
        "works", "movement", "contacts", "assist", "resistance", "dose", "passive", "ballistic",
        "impact", "stride", "stands-on", "front", "equipment", "cautions", "restrictions",
        "sources", "measured", "pictures", "reviewed", "back-off", "progressions", "accepts",
        "variation-of",
    ],
)  # fmt: skip
def test_every_field_of_an_exercise_is_used(field: str) -> None:
    assert any(field in front for _, front in written())


@pytest.mark.parametrize(
    ("group", "field"),
    [
        *[("contacts", f) for f in (
            "at", "surface", "height", "distance", "share", "friction", "slides", "during",
            "touch", "grip",
        )],
        *[("assist", f) for f in ("at", "by", "share", "weight", "pulls")],
        *[("resistance", f) for f in ("weight", "band", "push", "effort", "at", "pulls")],
        *[("progressions", f) for f in ("to", "when", "after", "because", "sources")],
        *[("measured", f) for f in ("works", "value", "source")],
        *[("pictures", f) for f in ("file", "alt")],
        *[("accepts", f) for f in ("check", "because", "until")],
    ],
)  # fmt: skip
def test_every_part_of_a_list_is_used(group: str, field: str) -> None:
    assert any(field in item for _, front in written() for item in front.get(group, ()))


@pytest.mark.parametrize(
    "field",
    ["sets", "reps", "hold", "duration", "up", "pause", "down", "rest", "sessions", "effort"],
)
def test_every_part_of_a_dose_is_used(field: str) -> None:
    assert any(field in front.get("dose", {}) for _, front in written())


def test_both_numbers_and_ranges_of_repetitions_occur() -> None:
    reps = [front["dose"]["reps"] for _, front in written() if "reps" in front.get("dose", {})]
    assert any(isinstance(one, int) for one in reps)
    assert any(isinstance(one, str) for one in reps)


def test_most_positions_occur() -> None:
    used = {exercise.position for exercise in library().exercises.values()}
    assert used >= {
        "standing", "split-stance", "single-leg-standing", "bent-forward", "sitting", "reclined",
        "long-sitting", "tall-kneeling", "half-kneeling", "quadruped", "plank", "supine",
        "hook-lying", "prone", "side-lying",
    }  # fmt: skip


def test_help_that_is_set_and_help_that_is_felt_occur() -> None:
    helpers = {one.by for exercise in library().exercises.values() for one in exercise.assist}
    equipment = library().vocabulary.equipment
    assists = {equipment[by].assists for by in helpers if by is not None and by in equipment}
    assert {"set", "felt"} <= assists
    assert {"other-arm", "therapist"} <= helpers


def test_contacts_come_and_go() -> None:
    when = {one.during for exercise in library().exercises.values() for one in exercise.contacts}
    assert {"start", "up"} <= when


def test_ladders_use_every_part_of_their_format() -> None:
    ladders = library().ladders.values()
    assert {ladder.condition for ladder in ladders} >= {"tendon", "post-operative", "joint"}
    for ladder in ladders:
        assert set(ladder.entries) == {"high", "moderate", "low"}, ladder.id
        assert ladder.goal_met, ladder.id
        assert ladder.text.strip(), ladder.id
    assert any(ladder.restrictions for ladder in ladders)
    assert any(ladder.limits for ladder in ladders)
    own = [ladder for ladder in ladders if ladder.pain_rule not in (None, "default")]
    assert "post-operative" in {ladder.condition for ladder in own}
    inherited = [ladder.condition for ladder in ladders if ladder.pain_rule == "default"]
    assert "tendon" in inherited  # the library's rule comes from a study of the Achilles tendon


def test_the_settings_say_whom_to_call_and_what_to_do_on_a_bad_day() -> None:
    settings = library().settings
    assert settings.contact
    assert settings.urgent
    assert settings.pain_rule is not None
    assert settings.pain_rule.source in library().vocabulary.sources
    assert [rule.back for rule in settings.flare_up] == ["same rung", "one rung", "entry"]


def test_ladders_share_rungs() -> None:
    graph = progression_graph(library())
    ladders = [set(rungs(graph, ladder)) for ladder in library().ladders.values()]
    shared = {
        rung
        for i, one in enumerate(ladders)
        for another in ladders[i + 1 :]
        for rung in one & another
    }
    assert len(shared) >= 3


def test_no_rung_is_about_the_buttock_or_the_deep_hip_rotators() -> None:
    moved = {str(action) for one in library().exercises.values() for action in one.works}
    assert not [one for one in moved if re.search("hip (abduction|external|internal)", one)]


@pytest.mark.parametrize("exercise", library().exercises.values(), ids=lambda one: one.id)
def test_an_exercise_is_complete(exercise: Exercise) -> None:
    """Dose, criteria, cautions, sources, review and the four sections."""
    assert set(exercise.text) >= {"Set up", "Do", "Watch for", "For the patient"}
    assert exercise.dose is not None
    assert exercise.dose.sets and exercise.dose.sessions and exercise.dose.effort
    assert exercise.back_off and exercise.cautions and exercise.sources
    assert exercise.reviewed is not None
    assert exercise.works or exercise.numberless
    assert all(one.when and one.after and one.because for one in exercise.progressions)


@pytest.mark.parametrize("exercise", library().exercises.values(), ids=lambda one: one.id)
def test_the_patients_words_are_easy(exercise: Exercise) -> None:
    """Grade 8 is where US guidance fails a handout (AHRQ and NIH ask for 6 to 8)."""
    read = readability(exercise.text["For the patient"])
    assert read is not None
    assert read.grade <= 8
    assert max(len(s.split()) for s in re.split(r"[.!?]", exercise.text["For the patient"])) <= 20


def test_one_ladder_speaks_german_too() -> None:
    graph = progression_graph(library())
    in_german = {
        one.id for one in library().exercises.values() if "For the patient (de)" in one.text
    }
    assert set(rungs(graph, library().ladders["calf-loading"])) <= in_german


@pytest.mark.parametrize("exercise", library().exercises.values(), ids=lambda one: one.id)
def test_an_exercise_has_both_neighbours_or_a_reason(exercise: Exercise) -> None:
    graph = progression_graph(library())
    goals = {ladder.goal for ladder in library().ladders.values()}
    entries = {e for ladder in library().ladders.values() for e in ladder.entries.values()}
    easier = bool(list(graph.predecessors(exercise.id)))
    harder = bool(list(graph.successors(exercise.id)))
    assert harder or exercise.id in goals or _says_why(exercise)
    assert easier or exercise.id in entries or _says_why(exercise)


def _says_why(exercise: Exercise) -> bool:
    word = WHY_NONE.get(exercise.id)
    return word is not None and word in "".join(exercise.text.values()).lower()


def test_every_source_is_a_publication_or_says_that_it_is_none() -> None:
    for key, source in library().vocabulary.sources.items():
        if source.kind == "common-practice":
            continue
        assert source.authors and source.year and source.journal, key
        assert source.doi is None or re.fullmatch(r"10\.\d{4,9}/\S+", source.doi), key


def test_nothing_in_the_vocabulary_is_left_unused() -> None:
    """A caution, a piece of equipment or a source that nothing names would be a promise broken."""
    everything = "\n".join(
        path.read_text("utf-8")
        for path in sorted(LIBRARY.rglob("*"))
        if path.suffix in (".md", ".yml")
    )
    vocabulary = library().vocabulary
    for words in (vocabulary.cautions, vocabulary.equipment, vocabulary.sources):
        for key in words:
            assert len(re.findall(rf"(?<![\w-]){re.escape(key)}(?![\w-])", everything)) > 1, key


def test_the_pictures_are_there_and_have_words() -> None:
    shown = [one for exercise in library().exercises.values() for one in exercise.pictures]
    assert shown
    for picture in shown:
        assert (LIBRARY / "pictures" / picture.file).is_file()
        assert len(picture.alt) > 20
