"""Rungs taken out of a demo ladder are missed by the check, and fillings take their places.

A seeded sample of all the gaps that one or two rungs leave: another SEED takes others.
"""

import pathlib
import random
import shutil
from itertools import combinations, pairwise

import pytest

from builders.gaps import Looking, lead_straight, take_out, take_up
from rungbook.filling.draft import files_of
from rungbook.filling.result import Filling
from rungbook.filling.search import fill
from rungbook.ladder.measured import MeasuredLadder, MeasuredLibrary

DEMO = pathlib.Path(__file__).parents[2] / "library"
LADDERS = sorted(path.stem for path in (DEMO / "ladders").glob("*.md"))
SEED = 20261
looked_at = Looking()


def middle_rungs(one: MeasuredLadder) -> list[str]:
    ends = {one.ladder.goal, *one.ladder.entries.values()}
    return [rung for rung in one.rungs if rung not in ends]


def written_and_reviewed(folder: pathlib.Path, measured: MeasuredLibrary, built: Filling) -> None:
    files = files_of(measured, built, lambda path: (folder / path).read_bytes())
    for path, content in {**files.added, **files.changed}.items():
        (folder / path).write_bytes(content)
    take_up(folder, built.rungs)


def filled_up(folder: pathlib.Path) -> int:
    """Filling every step that is found wanting, as a maintainer would; how many there were."""
    filled = 0
    measured, found = looked_at(folder)
    while found:
        assert filled < 8, found
        finding = found[0]
        built = fill(measured, *finding.exercises)
        assert built.blocked_by is None, f"{finding.message}\n{built.blocked_by}"
        assert finding.details["missing"] <= len(built.rungs) - 2
        written_and_reviewed(folder, measured, built)
        measured, found = looked_at(folder)
        filled += 1
    return filled


def with_a_gap(tmp_path: pathlib.Path, ladder: str, rungs: int) -> pathlib.Path:
    """The demo without so many rungs of a ladder, such that a step is found too large."""
    one = looked_at(DEMO)[0].ladders[ladder]
    ways = list(combinations(middle_rungs(one), rungs))
    random.Random(SEED).shuffle(ways)
    for number, gone in enumerate(ways):
        folder = tmp_path / str(number)
        shutil.copytree(DEMO, folder)
        take_out(folder, gone)
        if looked_at(folder)[1]:
            return folder
    raise AssertionError("no rung of this ladder is ever missed")


def test_the_demo_itself_has_no_step_that_is_too_large():
    assert looked_at(DEMO)[1] == ()


@pytest.mark.parametrize("rungs", [1, 2])
@pytest.mark.parametrize("ladder", LADDERS)
def test_what_is_missing_is_found_and_filled(tmp_path, ladder, rungs):
    folder = with_a_gap(tmp_path, ladder, rungs)
    assert filled_up(folder) > 0
    assert looked_at(folder)[1] == ()


@pytest.mark.parametrize("ladder", LADDERS)
def test_from_the_first_rung_straight_to_the_goal(tmp_path, ladder):
    one = looked_at(DEMO)[0].ladders[ladder]
    first, goal = one.rungs[0], one.ladder.goal
    folder = tmp_path / "library"
    shutil.copytree(DEMO, folder)
    lead_straight(folder, first, goal)
    measured, found = looked_at(folder)
    (finding,) = (f for f in found if f.check == "step-too-large")
    assert finding.exercises == (first, goal)
    built = fill(measured, first, goal)
    assert finding.details["missing"] <= len(built.rungs) - 2
    written_and_reviewed(folder, measured, built)
    measured, found = looked_at(folder)
    assert found == ()
    assert all(edge in measured.graph.edges for edge in pairwise(built.rungs))
