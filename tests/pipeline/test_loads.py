"""Loads that an earlier run kept are those that would be computed."""

from __future__ import annotations

import dataclasses
import pathlib
from collections.abc import Mapping
from typing import Any

import numpy as np
import pytest

import rungbook.pipeline.loads as module
from builders.findings import TODAY
from builders.sound import sound_files
from builders.watching import watched_loads
from rungbook.load.compute import compute_loads
from rungbook.pipeline import store
from rungbook.pipeline.analyse import analyse
from rungbook.pipeline.loads import loads_of
from rungbook.pipeline.packed import packed
from rungbook.reading.read import read_library

DEMO = pathlib.Path(__file__).parents[2] / "library"


@pytest.fixture
def folder(tmp_path: pathlib.Path, monkeypatch: pytest.MonkeyPatch) -> pathlib.Path:
    monkeypatch.setenv("RUNGBOOK_CACHE", str(tmp_path / "cache"))
    for file, text in sound_files().items():
        (tmp_path / "library" / file).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / "library" / file).write_text(text)
    return tmp_path / "library"


@pytest.fixture
def computed(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The ids of all exercises whose load is computed."""
    return watched_loads(monkeypatch, module)


def assert_alike(one: Any, other: Any) -> None:
    """Equal to the last bit, arrays and the engine's own objects included."""
    assert type(one) is type(other)
    if isinstance(one, np.ndarray):
        assert one.dtype == other.dtype
        assert np.array_equal(one, other, equal_nan=True)
    elif dataclasses.is_dataclass(one):
        for field in dataclasses.fields(one):
            assert_alike(getattr(one, field.name), getattr(other, field.name))
    elif isinstance(one, Mapping):
        assert list(one) == list(other)
        for key in one:
            assert_alike(one[key], other[key])
    elif isinstance(one, tuple | list):
        assert len(one) == len(other)
        for item, same in zip(one, other, strict=True):
            assert_alike(item, same)
    else:
        assert one == other


@pytest.mark.parametrize("workers", [1, 2, 3])
def test_processes_give_the_same_to_the_last_bit(
    folder: pathlib.Path, monkeypatch: pytest.MonkeyPatch, workers: int
) -> None:
    library = read_library(DEMO)
    monkeypatch.setattr("rungbook.pipeline.workers.processors", lambda: workers)
    monkeypatch.setattr(module, "WORTH_A_PROCESS", 1)
    assert_alike(dict(loads_of(library)), compute_loads(library.exercises.values(), library))


def test_the_demo_library_s_loads_are_kept_to_the_last_bit(
    folder: pathlib.Path, computed: list[str]
) -> None:
    library = read_library(DEMO)
    fresh = compute_loads(library.exercises.values(), library)
    loads_of(library)
    assert sorted(computed) == sorted(library.exercises)
    computed.clear()
    again = loads_of(library)
    assert computed == []
    assert list(again) == list(library.exercises)
    assert_alike(dict(again), fresh)


def test_an_analysis_with_kept_loads_is_the_same(folder: pathlib.Path, computed: list[str]) -> None:
    anew = analyse(folder, TODAY)
    analyse(folder, TODAY)
    computed.clear()
    again = analyse(folder, TODAY)
    assert computed == []
    assert again.findings == anew.findings
    assert dict(again.measured.steps) == dict(anew.measured.steps)
    assert_alike(dict(again.measured.loads), dict(anew.measured.loads))


@pytest.mark.parametrize(
    ("file", "was", "now", "expected"),
    [
        ("exercises/arm/arm-high-weight.md", "Stand tall", "Stand very tall", 0),
        ("exercises/arm/arm-high-weight.md", "0.35 kg", "0.3 kg", 1),
        ("exercises/arm/arm-high-weight.md", "title: Raise", "title: Lift", 1),
        ("library.yml", "name:", "person: {mass: 100 kg}\nname:", -1),
    ],
)
def test_what_a_load_depends_on_is_part_of_its_key(
    folder: pathlib.Path, computed: list[str], file: str, was: str, now: str, expected: int
) -> None:
    analyse(folder, TODAY)
    everything = len(computed)
    computed.clear()
    path = folder / file
    assert was in path.read_text()
    path.write_text(path.read_text().replace(was, now))
    analysis = analyse(folder, TODAY)
    assert len(computed) == (everything if expected < 0 else expected)
    assert_alike(dict(analysis.measured.loads), dict(analyse(folder, TODAY).measured.loads))


def test_another_program_s_loads_are_not_used(
    folder: pathlib.Path, computed: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    analyse(folder, TODAY)
    everything = list(computed)
    computed.clear()
    monkeypatch.setattr(store, "program", lambda: "another")
    analyse(folder, TODAY)
    assert computed == everything


@pytest.mark.parametrize("damage", [b"", b"\x80\x05K\x01.", b"text", packed("another thing")])
def test_a_damaged_piece_is_as_good_as_none(
    folder: pathlib.Path, computed: list[str], damage: bytes
) -> None:
    analyse(folder, TODAY)
    everything = len(computed)
    computed.clear()
    library = read_library(folder)
    keys = list(module._keys(library))
    store.keep(dict.fromkeys(keys, damage))
    analyse(folder, TODAY)
    assert len(computed) == everything
