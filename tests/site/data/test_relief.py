"""Less of each exercise: what was kept from an earlier build is what computing it again gives."""

from __future__ import annotations

import json
import pathlib
from dataclasses import replace

import pytest

from rungbook.ladder.measured import MeasuredLibrary
from rungbook.pipeline.analyse import Analysis
from rungbook.site.data.relief import Relief, said_once

KEYS = ("heel-raise-both-legs", "knee-straighten-sitting", "press-wall-near")


def records(measured: MeasuredLibrary, said: list[str] | None = None) -> dict[str, bytes]:
    relief = Relief(measured)
    ids = [id for id in measured.library.exercises if relief.key(id)]
    relief.prepare(ids, (said if said is not None else []).append)
    return {id: relief.of(id) for id in ids}


@pytest.fixture
def few(demo: Analysis) -> MeasuredLibrary:
    """Three exercises of the demo library, with everything else of it."""
    measured = demo.measured
    exercises = {key: measured.library.exercises[key] for key in KEYS}
    loads = {key: measured.loads[key] for key in KEYS}
    return replace(measured, library=replace(measured.library, exercises=exercises), loads=loads)


def test_kept_and_computed_relief_are_the_same(
    few: MeasuredLibrary, tmp_path: pathlib.Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("RUNGBOOK_CACHE", str(tmp_path))
    said: list[str] = []
    computed = records(few, said)
    kept = records(few, said)
    assert said == ["computing less of three exercises"]
    monkeypatch.setenv("RUNGBOOK_CACHE", "off")
    assert computed == kept == records(few)
    assert all(json.loads(record)["value"]["same"]["variants"] for record in kept.values())


def test_what_other_exercises_use_is_part_of_what_was_kept(
    few: MeasuredLibrary, demo: Analysis, tmp_path: pathlib.Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A helper that another exercise brings is offered, whatever was kept without it."""
    id = "knee-straighten-sitting"
    alone, among_all = Relief(few), Relief(demo.measured)
    assert alone.key(id) != among_all.key(id)
    monkeypatch.setenv("RUNGBOOK_CACHE", str(tmp_path))
    without = alone.of(id)
    monkeypatch.setenv("RUNGBOOK_CACHE", "off")
    computed = Relief(demo.measured).of(id)
    monkeypatch.setenv("RUNGBOOK_CACHE", str(tmp_path))
    assert without != computed == among_all.of(id)


@pytest.mark.parametrize(("group", "processes"), [(1, 1), (1, 3), (2, 2)])
def test_one_by_one_and_in_several_processes_are_the_same(
    few: MeasuredLibrary, monkeypatch: pytest.MonkeyPatch, group: int, processes: int
) -> None:
    monkeypatch.setenv("RUNGBOOK_CACHE", "off")
    together = records(few)
    monkeypatch.setattr("rungbook.site.data.relief.GROUP", group)
    monkeypatch.setattr("rungbook.site.data.relief.processors", lambda: processes)
    assert records(few) == together


def test_only_an_exercise_that_changed_is_computed_anew(
    few: MeasuredLibrary, tmp_path: pathlib.Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("RUNGBOOK_CACHE", str(tmp_path))
    records(few)
    one = few.library.exercises[KEYS[0]]
    other = one.model_copy(update={"title": "Another name"})
    exercises = {**few.library.exercises, KEYS[0]: other}
    said: list[str] = []
    changed = replace(few, library=replace(few.library, exercises=exercises))
    found = records(changed, said)
    assert said == ["computing less of one exercise"]
    monkeypatch.setenv("RUNGBOOK_CACHE", "off")
    assert found == records(changed)


def test_a_row_of_numbers_that_comes_often_is_said_once() -> None:
    row = [0.5, 1, 2, 3, 4, 5]
    value = {"a": [row, row, [1, 2]], "b": {"c": tuple(row), "d": ["x"] * 6, "e": [True] * 6}}
    assert said_once(value) == {
        "rows": [tuple(row)],
        "value": {
            "a": [{"=": 0}, {"=": 0}, [1, 2]],
            "b": {"c": {"=": 0}, "d": ["x"] * 6, "e": [True] * 6},
        },
    }


def test_every_exercise_with_a_load_has_some_however_many_there_are(few: MeasuredLibrary) -> None:
    assert list(records(few)) == list(KEYS)
    without = replace(few, loads={KEYS[0]: few.loads[KEYS[0]]})
    assert list(records(without)) == [KEYS[0]]
