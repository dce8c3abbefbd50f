"""A rung taken out of a demo ladder is missed by the check, and a bridge fills its place."""

import datetime
import pathlib
import re
import shutil

import pytest

from rungbook.bridging.solve import bridge
from rungbook.bridging.write import write_bridge
from rungbook.pipeline.analyse import Analysis, analyse

DEMO = pathlib.Path(__file__).parents[2] / "library"
TODAY = datetime.date(2026, 11, 1)
STEPS = ("step-too-large", "several-changes-at-once", "backward-step")
LADDERS = sorted(path.stem for path in (DEMO / "ladders").glob("*.md"))
MOST_GAPS = 1  # of each ladder: the others are as these, and cost time


def looked_at(folder: pathlib.Path) -> Analysis:
    return analyse(folder, TODAY, only=STEPS)


def found_of(analysis: Analysis) -> set[tuple[str, tuple[str, ...]]]:
    return {(one.check, one.exercises) for one in analysis.findings}


def middle_rungs(analysis: Analysis, ladder: str) -> list[str]:
    """Rungs that nothing else needs: no entry, no goal, varied by nobody."""
    one = analysis.measured.ladders[ladder]
    exercises = analysis.measured.library.exercises.values()
    needed = {exercise.variation_of for exercise in exercises}
    for each in analysis.measured.ladders.values():
        needed |= {each.ladder.goal, *each.ladder.entries.values()}
    return [rung for rung in one.rungs if rung not in needed]


def take_out(folder: pathlib.Path, analysis: Analysis, rung: str) -> None:
    """Deletes a rung; what led to it leads to the rung after it."""
    exercises = analysis.measured.library.exercises
    after = exercises[rung].progressions[0].to
    (folder / exercises[rung].place().file).unlink()
    for other in exercises.values():
        targets = [one.to for one in other.progressions]
        if rung in targets and other.id != rung:
            file = folder / other.place().file
            text = file.read_text(encoding="utf-8")
            if after in targets:
                continue
            file.write_text(re.sub(rf"to: {rung}\b(?!-)", f"to: {after}", text), encoding="utf-8")


@pytest.mark.parametrize("ladder", LADDERS)
def test_what_is_missing_is_found_and_filled(tmp_path, ladder):
    whole = looked_at(DEMO)
    before = found_of(whole)
    gaps = 0
    for rung in middle_rungs(whole, ladder):
        folder = tmp_path / rung
        shutil.copytree(DEMO, folder)
        take_out(folder, whole, rung)
        gone = looked_at(folder)
        new = [
            one for one in gone.findings
            if one.check == "step-too-large" and (one.check, one.exercises) not in before
        ]  # fmt: skip
        for finding in new:
            built = bridge(gone.measured, *finding.exercises)
            if built.blocked_by is not None:
                assert built.blocked_by.message.endswith(".")
                continue
            assert finding.details["missing"] <= len(built.rungs) - 2
            write_bridge(gone.measured, built)
            gone = looked_at(folder)
            edges = {tuple(finding.exercises), *zip(built.rungs, built.rungs[1:], strict=False)}
            assert not {one for one in found_of(gone) if one[1] in edges}
            gaps += 1
        if gaps >= MOST_GAPS:
            return
    assert gaps or not middle_rungs(whole, ladder), "no rung of this ladder is ever missed"


@pytest.mark.parametrize("ladder", LADDERS)
def test_from_the_first_rung_straight_to_the_goal(tmp_path, ladder):
    whole = looked_at(DEMO)
    one = whole.measured.ladders[ladder]
    first, goal = one.rungs[0], one.ladder.goal
    built = bridge(whole.measured, first, goal)
    if built.blocked_by is not None:
        # Only where the ladder itself accepts a step that is too large.
        assert any(step.size > 1 for step in one.steps), built.blocked_by.message
        return
    assert built.step.missing <= len(built.rungs) - 2
