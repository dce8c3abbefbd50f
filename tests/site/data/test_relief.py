"""Less of each exercise: what was kept from an earlier build is what computing it again gives."""

from __future__ import annotations

import json
import pathlib
from dataclasses import replace

import pytest

from rungbook.ladder.measured import MeasuredLibrary
from rungbook.pipeline.analyse import Analysis
from rungbook.site.data.relief import relief_records, said_once

KEYS = ("heel-raise-both-legs", "knee-straighten-sitting", "press-wall-near")


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
    computed = relief_records(few, KEYS, said.append)
    kept = relief_records(few, KEYS, said.append)
    assert said == ["computing less of three exercises"]
    monkeypatch.setenv("RUNGBOOK_CACHE", "off")
    assert computed == kept == relief_records(few, KEYS)
    assert all(json.loads(record)["value"]["same"]["variants"] for record in kept.values())


@pytest.mark.parametrize(("group", "processes"), [(1, 1), (1, 3), (2, 2)])
def test_one_by_one_and_in_several_processes_are_the_same(
    few: MeasuredLibrary, monkeypatch: pytest.MonkeyPatch, group: int, processes: int
) -> None:
    monkeypatch.setenv("RUNGBOOK_CACHE", "off")
    together = relief_records(few, KEYS)
    monkeypatch.setattr("rungbook.site.data.relief.GROUP", group)
    monkeypatch.setattr("rungbook.site.data.relief.processors", lambda: processes)
    assert relief_records(few, KEYS) == together


def test_only_an_exercise_that_changed_is_computed_anew(
    few: MeasuredLibrary, tmp_path: pathlib.Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("RUNGBOOK_CACHE", str(tmp_path))
    relief_records(few, KEYS)
    one = few.library.exercises[KEYS[0]]
    other = one.model_copy(update={"title": "Another name"})
    exercises = {**few.library.exercises, KEYS[0]: other}
    said: list[str] = []
    changed = replace(few, library=replace(few.library, exercises=exercises))
    found = relief_records(changed, KEYS, said.append)
    assert said == ["computing less of one exercise"]
    monkeypatch.setenv("RUNGBOOK_CACHE", "off")
    assert found == relief_records(changed, KEYS)


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
    assert list(relief_records(few, KEYS)) == list(KEYS)
    without = replace(few, loads={KEYS[0]: few.loads[KEYS[0]]})
    assert list(relief_records(without, KEYS)) == [KEYS[0]]
