"""Rungs taken out of a demo ladder are missed by the check, and fillings take their places.

A seeded sample of all the gaps that one or two rungs leave: another SEED takes others.
"""

import pathlib
import random
import shutil
from collections.abc import Iterator
from dataclasses import replace
from itertools import combinations, pairwise, product

import pytest

from builders.gaps import Looking, lead_straight, take_out, take_up
from rungbook.filling.draft import files_of
from rungbook.filling.result import Filling
from rungbook.filling.search import fill
from rungbook.ladder.limits import AXES
from rungbook.ladder.measure import measure
from rungbook.ladder.measured import MeasuredLadder, MeasuredLibrary
from rungbook.model.exercise import Progression
from rungbook.model.finding import Finding

DEMO = pathlib.Path(__file__).parents[2] / "library"
LADDERS = sorted(path.stem for path in (DEMO / "ladders").glob("*.md"))
SEED = 20261
looked_at = Looking()


def middle_rungs(one: MeasuredLadder) -> list[str]:
    """Those that the ladder itself does not name."""
    standards = map(one.ladder.standard_of, one.ladder.works)
    ends = {one.ladder.goal, *one.ladder.entries.values(), *standards}
    return [rung for rung in one.rungs if rung not in ends]


def written_and_reviewed(folder: pathlib.Path, measured: MeasuredLibrary, built: Filling) -> None:
    files = files_of(measured, built, lambda path: (folder / path).read_bytes())
    for path, content in {**files.added, **files.changed}.items():
        (folder / path).write_bytes(content)
    take_up(folder, built.rungs)


def new_in(found: tuple[Finding, ...]) -> list[Finding]:
    """The steps found wanting that the demo itself does not have."""
    known = {(one.check, one.exercises) for one in looked_at(DEMO)[1]}
    return [one for one in found if (one.check, one.exercises) not in known]


def with_a_gap(tmp_path: pathlib.Path, ladder: str, rungs: int) -> pathlib.Path:
    """The demo without so many rungs of a ladder, such that a step is found too large."""
    one = looked_at(DEMO)[0].ladders[ladder]
    ways = list(combinations(middle_rungs(one), rungs))
    random.Random(SEED).shuffle(ways)
    for number, gone in enumerate(ways):
        folder = tmp_path / str(number)
        shutil.copytree(DEMO, folder)
        take_out(folder, gone)
        if new_in(looked_at(folder)[1]):
            return folder
    raise AssertionError("no rung of this ladder is ever missed")


@pytest.mark.parametrize("rungs", [1, 2])
@pytest.mark.parametrize("ladder", LADDERS)
def test_what_is_missing_is_filled_or_said_to_be_blocked(tmp_path, ladder, rungs):
    folder = with_a_gap(tmp_path, ladder, rungs)
    measured, found = looked_at(folder)
    blocked: set[tuple[str, ...]] = set()
    for _ in range(8):
        left = [one for one in new_in(found) if one.exercises not in blocked]
        if not left:
            return
        built = fill(measured, *left[0].exercises)
        if built.blocked_by is not None:
            told = built.blocked_by.add or built.blocked_by.message  # without a load nothing helps
            assert built.blocked_by.axis in AXES and told.endswith(".")
            blocked.add(left[0].exercises)
            continue
        assert left[0].details.get("missing", 0) <= len(built.rungs) - 2
        written_and_reviewed(folder, measured, built)
        measured, found = looked_at(folder)
    raise AssertionError(f"filling does not end: {left}")


def test_three_of_four_steps_that_a_rung_leaves_behind_are_filled():
    """Without writing: of the steps over each rung of the demo, a seeded sample."""
    measured, _ = looked_at(DEMO)
    loaded = [ladder for ladder in LADDERS if measured.ladders[ladder].ladder.works]
    gaps = [gap for ladder in loaded for gap in over_a_rung(measured, ladder)]
    sample = random.Random(SEED).sample(gaps, 16)
    filled = [fill(one, *ends).blocked_by is None for one, ends in sample]
    assert sum(filled) >= 12


def over_a_rung(
    measured: MeasuredLibrary, ladder: str
) -> Iterator[tuple[MeasuredLibrary, tuple[str, str]]]:
    """The demo without one rung, and the step that is too large over where it was."""
    one = measured.ladders[ladder]
    for gone in middle_rungs(one):
        for easier, harder in product(measured.graph.pred[gone], measured.graph[gone]):
            known = measured.library.exercises
            if not {easier, harder} <= set(one.rungs) or measured.graph.has_edge(easier, harder):
                continue
            edge = Progression(to=harder, when=("3 sets of 12",))
            rest = {id: exercise for id, exercise in known.items() if id != gone}
            ways = (*known[easier].progressions, edge)
            rest[easier] = known[easier].model_copy(update={"progressions": ways})
            loads = {id: load for id, load in measured.loads.items() if id != gone}
            without = measure(replace(measured.library, exercises=rest), loads)
            steps = {(step.from_id, step.to_id): step for step in without.ladders[ladder].steps}
            if (easier, harder) in steps and steps[easier, harder].missing:
                yield without, (easier, harder)


@pytest.mark.parametrize("ladder", LADDERS)
def test_from_the_first_rung_straight_to_the_goal(tmp_path, ladder):
    one = looked_at(DEMO)[0].ladders[ladder]
    first, goal = one.rungs[0], one.ladder.goal
    folder = tmp_path / "library"
    shutil.copytree(DEMO, folder)
    lead_straight(folder, first, goal)
    measured, found = looked_at(folder)
    (finding,) = (one for one in new_in(found) if one.check == "step-too-large")
    assert finding.exercises == (first, goal)
    built = fill(measured, first, goal)
    if built.blocked_by is not None:
        assert built.blocked_by.axis in AXES
        return
    assert finding.details["missing"] <= len(built.rungs) - 2
    written_and_reviewed(folder, measured, built)
    measured, found = looked_at(folder)
    # A way that leaves rungs out prepares less for what branches off it: those steps are told.
    way = set(pairwise(built.rungs))
    assert [one for one in new_in(found) if one.exercises in way] == []
    assert way <= set(measured.graph.edges)
