from __future__ import annotations

import pathlib

import numpy as np
import pytest

import rungbook.ladder.measure as measure_module
import rungbook.pipeline.loads as module
from builders.findings import TODAY, write_library
from builders.sound import sound_files
from rungbook.pipeline.analyse import Analysis, analyse, analyse_library
from rungbook.reading.read import NoLibrary, read_library


@pytest.fixture
def folder(tmp_path: pathlib.Path) -> pathlib.Path:
    for file, text in sound_files().items():
        (tmp_path / file).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / file).write_text(text)
    return tmp_path


def test_the_phases_are_named_in_order(folder: pathlib.Path) -> None:
    said: list[str] = []
    analyse(folder, TODAY, said.append)
    assert said == ["reading", "computing loads", "measuring steps", "checking"]


def test_everything_is_there_at_once(folder: pathlib.Path) -> None:
    analysis = analyse(folder, TODAY)
    assert set(analysis.measured.loads) == set(analysis.measured.library.exercises)
    assert len(analysis.measured.steps) == 8
    assert analysis.counts == {"error": 0, "warning": 0, "note": 0}
    assert not analysis.worst_at_least("note")


def test_counts_and_levels(tmp_path: pathlib.Path) -> None:
    analysis = analyse(write_library(tmp_path, "[exercises/a.md]\ntitle: A\n"), TODAY)
    assert analysis.counts["error"] == 0
    assert analysis.counts["warning"] > 0
    assert [analysis.worst_at_least(level) for level in ("error", "warning", "note")] == [  # type: ignore[arg-type]
        False,
        True,
        True,
    ]


def test_no_library_is_told(tmp_path: pathlib.Path) -> None:
    with pytest.raises(NoLibrary, match="there is no folder"):
        analyse(tmp_path / "none", TODAY)


def same(one: Analysis, other: Analysis) -> bool:
    a, b = one.measured, other.measured
    assert dict(a.steps) == dict(b.steps)
    assert a.ladders == b.ladders
    return one.findings == other.findings and all(
        np.array_equal(curve.moment_nm, other.measured.loads[id].joints[name].moment_nm)
        for id, load in one.measured.loads.items()
        for name, curve in load.joints.items()
    )


@pytest.mark.parametrize(
    ("was", "now", "computed"),
    [
        ("Stand tall", "Stand very tall", 0),
        ("title: Raise", "\ntitle: Lift", 1),
        ("reviewed: {date: 2026-05-01", "reviewed: {date: 2026-05-02", 0),
        ("0.35 kg", "0.3 kg", 1),
        ("reps: 10", "reps: 11", 1),
    ],
)
def test_only_loads_that_can_have_changed_are_computed_again(
    folder: pathlib.Path, monkeypatch: pytest.MonkeyPatch, was: str, now: str, computed: int
) -> None:
    before = analyse(folder, TODAY)
    path = folder / "exercises/arm/arm-high-weight.md"
    path.write_text(path.read_text().replace(was, now))
    counted: list[int] = []
    compute = module.compute_loads

    def watched(exercises, library, **how):  # type: ignore[no-untyped-def]
        listed = list(exercises)
        counted.append(len(listed))
        return compute(listed, library, **how)

    monkeypatch.setattr(module, "compute_loads", watched)
    again = analyse_library(read_library(folder), TODAY, before=before)
    assert sum(counted) == computed
    assert same(again, analyse(folder, TODAY))


def test_another_person_changes_all_loads(folder: pathlib.Path) -> None:
    before = analyse(folder, TODAY)
    settings = folder / "library.yml"
    settings.write_text(settings.read_text() + "person: {mass: 100 kg}\n")
    again = analyse_library(read_library(folder), TODAY, before=before)
    assert same(again, analyse(folder, TODAY))
    assert again.measured.loads["arm-low"].demand_nm > before.measured.loads["arm-low"].demand_nm


@pytest.mark.parametrize(
    ("file", "was", "now", "measured"),
    [
        ("exercises/arm/arm-low-weight.md", "reps: 10", "reps: 9", "some"),
        ("exercises/arm/arm-high-weight.md", "0.35 kg", "0.3 kg", "all"),  # the goal
        ("exercises/arm/arm-high-weight.md", "Stand tall", "Stand very tall", "none"),
        ("library.yml", "", "limits: {demand: 1.2}\n", "all"),
        ("ladders/arm.md", "---\n", "---\nlimits: {demand: 1.2}\n", "all"),
    ],
)
def test_only_steps_that_can_have_changed_are_measured_again(
    folder: pathlib.Path,
    monkeypatch: pytest.MonkeyPatch,
    file: str,
    was: str,
    now: str,
    measured: str,
) -> None:
    before = analyse(folder, TODAY)
    path = folder / file
    path.write_text(path.read_text().replace(was, now, 1) if was else path.read_text() + now)
    steps: list[str] = []
    between = measure_module.step_between

    def watched(easier, harder, *judge):  # type: ignore[no-untyped-def]
        steps.append(easier.id)
        return between(easier, harder, *judge)

    monkeypatch.setattr(measure_module, "step_between", watched)
    again = analyse_library(read_library(folder), TODAY, before=before)
    number = len(steps)
    afresh = analyse(folder, TODAY)
    every = len(steps) - number
    assert {"none": number == 0, "some": 0 < number < every, "all": number == every}[measured]
    assert same(again, afresh)
