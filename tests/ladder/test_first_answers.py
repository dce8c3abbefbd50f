"""The first answers for thirty exercises, four reasons and three irritabilities.

`instead.tsv` says which a clinician would accept first and which never among the three; it was
written before the program was asked (common practice, no source).
"""

from __future__ import annotations

import csv
import datetime
import pathlib
from collections.abc import Iterator
from fnmatch import fnmatchcase

import pytest

from rungbook.ladder.easier import easier
from rungbook.ladder.graph import rungs_below
from rungbook.ladder.less_of_the_same import Relief, less_of_the_same
from rungbook.ladder.option import Easier
from rungbook.ladder.reasons import REASONS
from rungbook.ladder.steps import worked_on
from rungbook.load.compute import compute_loads
from rungbook.model.ladder import IRRITABILITIES
from rungbook.pipeline.analyse import Analysis, analyse

TABLE = pathlib.Path(__file__).parent / "instead.tsv"
CALM = ("moderate", "low")
FOR = {"any": IRRITABILITIES, "high": ("high",), "calm": CALM}


def _rows() -> Iterator[tuple[str, str, str, list[str], list[str]]]:
    text = TABLE.read_text(encoding="utf-8").splitlines()
    lines = list(csv.reader((one for one in text if not one.startswith("#")), delimiter="\t"))
    named = dict.fromkeys(one for line in lines for one in line[0].split() if one != "*")
    for ids, reason, when, first, never in lines:
        for id in named if ids == "*" else ids.split():
            for irritability in FOR[when]:
                yield id, reason, irritability, first.split(), never.split()


ROWS = list(_rows())


def test_the_table_holds_thirty_exercises_four_reasons_and_three_irritabilities():
    assert len({row[0] for row in ROWS}) == 30
    assert len({row[:3] for row in ROWS}) == len(ROWS) == 30 * 4 * 3


@pytest.fixture(scope="module")
def demo() -> Analysis:
    return analyse(TABLE.parents[2] / "library", datetime.date(2026, 7, 1))


@pytest.fixture(scope="module")
def reliefs(demo: Analysis) -> dict[str, Relief]:
    """Of each exercise the same with less; what is computed of it comes after all else."""
    exercises = demo.measured.library.exercises
    same = {id: less_of_the_same(exercises[id]) for id in dict.fromkeys(row[0] for row in ROWS)}
    batch = [one.exercise for made in same.values() for one in made]
    loads = compute_loads(batch, demo.measured.library, explained=False)
    return {
        id: Relief(tuple((one, loads[one.exercise.id]) for one in made))
        for id, made in same.items()
    }


def _matches(id: str, patterns: list[str], provoking: str) -> bool:
    return any(
        fnmatchcase(id, f"{provoking}--{one[1:]}" if one.startswith("~") else one)
        for one in patterns
        if one.startswith("~") or "--" not in id
    )


def _first(found: Easier) -> list[str]:
    """The three, or where none of them is there what the list begins with."""
    three = [one.exercise.id for one in found.options if one.slot]
    return three or [one.exercise.id for one in found.options][:1]


def test_the_first_answers_are_those_a_clinician_would_give(demo, reliefs):
    wrong = []
    for id, reason, irritability, first, never in ROWS:
        found = easier(demo.measured, id, (reason,), relief=reliefs[id], irritability=irritability)
        three = _first(found)
        if not three:
            if "-" not in first:
                wrong.append(f"{id} {reason} {irritability}: no answer")
            continue
        if not _matches(three[0], first, id):
            wrong.append(f"{id} {reason} {irritability}: first {three}, wanted {first}")
        wrong += [
            f"{id} {reason} {irritability}: never {one}"
            for one in three
            if _matches(one, never, id)
        ]
    assert not wrong, "\n".join(wrong)


def test_every_list_has_its_ladders_easier_rungs_and_says_why_nothing_stands_first(demo):
    """Over all exercises: of the same action, or declared so by its ladder; else a reason."""
    measured = demo.measured
    for id in measured.loads:
        below = rungs_below(measured.graph, id).keys() & measured.loads.keys()
        for reason in REASONS:
            found = easier(measured, id, (reason,))
            first = [one for one in found.options if one.slot]
            assert bool(first) != bool(found.nothing), (id, reason)
            assert all(one.may_lead for one in first), (id, reason)
            listed = {one.exercise.id for one in found.options} | found.left_out.keys()
            if reason == "load":
                easing = {rung for rung in below if _lighter(measured, rung, id)}
                assert easing <= listed, (id, easing - listed)


def _lighter(measured, rung, id):
    demands = worked_on(measured.profiles[rung], measured.profiles[id], measured.profiles[id].works)
    return bool(measured.profiles[rung].moments) and demands and demands[0] < demands[1] - 1e-5
