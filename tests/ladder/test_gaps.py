"""A file that cannot be read makes no step wrong that does not depend on it."""

import datetime

import pytest

from builders.findings import write_library
from rungbook.checks.registry import examine
from rungbook.ladder.measure import measure
from rungbook.load.compute import compute_loads
from rungbook.pipeline.check import check_library
from rungbook.reading.read import read_library

TODAY = datetime.date(2026, 6, 1)
BROKEN = "[exercises/arm/{id}.md]\ntitle: {id}\nsides: sideways\nprogressions: [{{to: {to}}}]\n"


def raising(id: str, kilos: float, *to: str, works: str = "shoulder flexion") -> str:
    held = f"resistance: [{{weight: {kilos:g} kg, at: hand}}]\n" if kilos else ""
    onward = ", ".join(f"{{to: {one}, when: [x]}}" for one in to)
    return (
        f"[exercises/arm/{id}.md]\ntitle: {id}\nsides: one\nworks: {works}\n{held}"
        "posture: {elbow: {flexion: 0}}\n"
        f"movement: [{{shoulder: {{flexion: [0, 90]}}}}]\nprogressions: [{onward}]\n"
    )


# The standard is heavy: on its scale each of these steps is small, by its own end's not.
RUNGS = {
    "a": raising("a", 0, "b"),
    "b": raising("b", 1, "c"),
    "c": raising("c", 2.5, "d"),
    "d": raising("d", 5, "e"),
    "e": raising("e", 7),
}
LADDER = (
    "[ladders/arm.md]\ntitle: Arm\nworks: shoulder flexion\ngoal: e\nstandard: e\n"
    "entries: {high: a}\n"
)
ELSEWHERE = raising("x", 0, "y") + raising("y", 6)  # a step too large, on no ladder


def measured(root, *written: str):
    library = read_library(write_library(root, "".join(written)))
    return measure(library, compute_loads(library.exercises.values(), library))


def edges(found) -> set[str]:
    return {"".join(edge) for edge in found.judged}


def test_the_sound_library_judges_every_step(tmp_path):
    found = measured(tmp_path, *RUNGS.values(), LADDER)
    assert edges(found) == {"ab", "bc", "cd", "de"} and not found.unjudged


def test_above_a_rung_that_cannot_be_read_nothing_is_judged_by_another_scale(tmp_path):
    """b is broken: c, d and e are reached no other way, and their steps are the ladder's."""
    broken = {**RUNGS, "b": BROKEN.format(id="b", to="c")}
    found = measured(tmp_path, *broken.values(), LADDER, ELSEWHERE)
    assert edges(found) == {"xy"}
    assert found.unjudged == {
        ("c", "d"): "exercises/arm/b.md", ("d", "e"): "exercises/arm/b.md",
    }  # fmt: skip


def test_what_another_way_leads_to_is_judged_as_before(tmp_path):
    around = {**RUNGS, "a": raising("a", 0, "b", "c"), "b": BROKEN.format(id="b", to="c")}
    whole = measured(tmp_path / "whole", *{**around, "b": RUNGS["b"]}.values(), LADDER)
    found = measured(tmp_path / "broken", *around.values(), LADDER)
    assert edges(found) == {"ac", "cd", "de"} and not found.unjudged
    for edge in (("c", "d"), ("d", "e")):
        assert found.judged[edge] == whole.judged[edge]


def test_without_its_standard_exercise_a_ladder_judges_nothing(tmp_path):
    ladder = LADDER.replace("standard: e", "standard: s")
    broken = BROKEN.format(id="s", to="e")
    found = measured(tmp_path, *RUNGS.values(), ladder, broken, ELSEWHERE)
    assert edges(found) == {"xy"}
    assert set(found.unjudged.values()) == {"exercises/arm/s.md"} and len(found.unjudged) == 4


def test_without_its_goal_a_ladder_judges_nothing(tmp_path):
    broken = {**RUNGS, "e": BROKEN.format(id="e", to="a").replace("progressions", "purpose")}
    found = measured(tmp_path, *broken.values(), LADDER, ELSEWHERE)
    assert edges(found) == {"xy"} and len(found.unjudged) == 3


@pytest.mark.parametrize("fault", ["works: shoulder raising", "goal: [e"])
def test_what_a_broken_ladder_may_hold_is_not_judged_off_it(tmp_path, fault):
    ladder = LADDER.replace("works: shoulder flexion", fault)
    found = measured(tmp_path, *RUNGS.values(), ladder, ELSEWHERE)
    assert edges(found) == {"xy"}
    assert set(found.unjudged.values()) == {"ladders/arm.md"}


@pytest.mark.parametrize(
    ("settings", "judged"),
    [
        ("limits: {demand: 9}", False), ("person: {mass: 70}", False), ("- a list", False),
        ("nmae: Clinic", True), ("flare-up: never", True), ("", True),
    ],
)  # fmt: skip
def test_faults_of_the_settings_count_where_steps_are_measured_by_them(tmp_path, settings, judged):
    found = measured(tmp_path, *RUNGS.values(), LADDER, f"[library.yml]\n{settings}\n")
    assert bool(edges(found)) == judged


def test_a_variation_names_the_file_where_the_fault_lies(tmp_path):
    varied = "[exercises/arm/c.md]\ntitle: c\nvariation-of: b\nprogressions: [{to: d, when: [x]}]\n"
    broken = {**RUNGS, "b": BROKEN.format(id="b", to="c"), "c": varied}
    found = measured(tmp_path, *broken.values(), LADDER)
    assert set(found.unjudged.values()) == {"exercises/arm/b.md"}


def test_it_is_told_once_and_counted_alone_and_in_parts(tmp_path):
    broken = {**RUNGS, "b": BROKEN.format(id="b", to="c")}
    root = write_library(tmp_path, "".join([*broken.values(), LADDER, ELSEWHERE]))
    library = read_library(root)
    whole = measure(library, compute_loads(library.exercises.values(), library))
    alone = examine(whole, TODAY, only=["step-too-large"]).findings
    assert [(one.level, one.message) for one in alone if one.level == "note"] == [
        ("note", "2 steps are not judged until exercises/arm/b.md is mended.")
    ]
    assert [one.exercises for one in alone if one.level == "error"] == [("x", "y")]
    in_parts = check_library(root, TODAY, only=["step-too-large"], at_once=1, workers=1).findings
    assert in_parts == alone


SHAPE = {"no-way-back", "no-way-on", "unreachable-goal", "stranded-exercise", "step-too-large"}


def checked(folder) -> set[tuple[str, str, str]]:
    """What is found of the shape of ladders and of steps: file, check, message."""
    found = check_library(folder, TODAY, cached=False).findings
    return {(f.place.file, f.check, f.message) for f in found if f.check in SHAPE}


@pytest.mark.parametrize(
    ("gone", "told"),
    [
        ({"b": BROKEN.format(id="b", to="c")}, "exercises/arm/b.md"),  # has a fault
        ({"b": ""}, "exercises/arm/a.md"),  # is not there: who names it is to be mended
        ({"e": ""}, "exercises/arm/d.md"),  # the goal and the standard
        ({"a": ""}, "ladders/arm.md"),  # the only entry
        # What others vary is not there, and only a variation leads to it.
        ({"b": "", "a": "[exercises/arm/a.md]\ntitle: a\nvariation-of: b\n"
                        "progressions: [{to: b, when: [x]}]\n"}, "exercises/arm/a.md"),
    ],
)  # fmt: skip
def test_a_broken_or_missing_file_is_told_once_and_makes_no_false_finding(tmp_path, gone, told):
    written = "".join([*{**RUNGS, **gone}.values(), LADDER])
    found = checked(write_library(tmp_path, written))
    assert all(message.endswith(f"not judged until {told} is mended.") for _, _, message in found)
    assert len(found) <= 1


def test_a_mistyped_progression_strands_nothing_and_hides_nothing_elsewhere(tmp_path):
    mistyped = {**RUNGS, "b": RUNGS["b"].replace("to: c", "to: cc")}
    found = checked(write_library(tmp_path, "".join([*mistyped.values(), LADDER, ELSEWHERE])))
    about = {(file, check) for file, check, _ in found if "not judged" not in _}
    assert about == {("exercises/arm/x.md", "step-too-large")}


def test_an_acceptance_is_not_called_idle_where_its_step_is_not_judged(tmp_path):
    accepting = RUNGS["d"].replace(
        "title: d", "title: d\naccepts: [{check: step-too-large, to: e, because: x, until: 2027-01-01}]"
    )  # fmt: skip
    written = {**RUNGS, "d": accepting, "b": BROKEN.format(id="b", to="c")}
    found = check_library(write_library(tmp_path, "".join([*written.values(), LADDER])), TODAY)
    assert not [one for one in found.findings if "remove the acceptance" in one.message]
