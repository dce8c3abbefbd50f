"""What the checks of steps say, on the engine's own numbers."""

import datetime

from builders.findings import told, write_library
from rungbook.checks.registry import examine
from rungbook.ladder.measure import measure
from rungbook.load.compute import compute_loads
from rungbook.reading.read import read_library

TODAY = datetime.date(2026, 6, 1)
ARM = """\
[exercises/a.md]
title: Raise the arm
sides: one
works: shoulder flexion
movement: [{shoulder: {flexion: [0, 90]}}]
progressions: [{to: b, when: [3 sets of 12]}]
[exercises/b.md]
title: Raise the arm with a weight
variation-of: a
"""


def found(root, check: str, written: str):
    library = read_library(write_library(root, written))
    measured = measure(library, compute_loads(library.exercises.values(), library))
    return list(examine(measured, TODAY, only=[check]).findings)


def test_a_step_too_large_says_what_from_what_to_what_and_which_command_helps(tmp_path):
    (finding,) = found(tmp_path, "step-too-large", ARM + "resistance: [{weight: 3 kg, at: hand}]\n")
    assert str(finding.place) == "exercises/a.md:6:21"
    details = finding.details
    assert details["axis"] == "demand" and details["limit"] == 1.5 and details["missing"] == 2
    assert finding.exercises == ("a", "b") and finding.level == "error"
    before, after = details["from"], details["to"]
    assert finding.message == (
        f"the step from a to b is {details['size']:.1f} steps: two rungs are missing (load from "
        f"{before:.1f} N·m to {after:.1f} N·m of shoulder flexion; one step allows 50 % more, at "
        "least 25 % of the standard exercise's load). See what would fill it: rungbook fill a b"
    )


def test_the_librarys_own_limit_can_allow_the_step(tmp_path):
    settings = "[library.yml]\nlimits: {demand: 2.5}\n"
    written = ARM + "resistance: [{weight: 1 kg, at: hand}]\n" + settings
    assert found(tmp_path, "step-too-large", written) == []


def test_the_ladder_whose_limits_are_strictest_is_named(tmp_path):
    ladders = (
        "[ladders/easy.md]\ntitle: Easy\ngoal: b\nentries: {high: a}\nlimits: {demand: 3}\n"
        "[ladders/strict.md]\ntitle: Strict\ngoal: b\nentries: {high: a}\nlimits: {demand: 1.1}\n"
    )
    written = ARM + "resistance: [{weight: 0.5 kg, at: hand}]\n" + ladders
    (finding,) = found(tmp_path, "step-too-large", written)
    assert finding.ladder == "strict"


def test_several_changes_name_their_kinds(tmp_path):
    written = (
        "[exercises/a.md]\ntitle: A\nsides: one\nposition: supine\nworks: shoulder flexion\n"
        "movement: [{shoulder: {flexion: [70, 80]}}]\n"
        "dose: {sets: 2, reps: 10, up: 2 s, down: 2 s, sessions: 3 per week}\n"
        "progressions: [{to: b, when: [x]}]\n"
        "[exercises/b.md]\ntitle: B\nvariation-of: a\nposition: standing\n"
        "movement: [{shoulder: {flexion: [0, 100]}}]\n"
        "dose: {sets: 3, reps: 9}\n"
    )
    (finding,) = found(tmp_path, "several-changes-at-once", written)
    assert finding.message.startswith(
        "from a to b four kinds of demand rise at once (load, motion, balance, dose), "
        "where one step allows 2: "
    )
    assert finding.level == "warning" and finding.details["missing"] == 1


def test_a_backward_step_says_what_falls(tmp_path):
    written = ARM.replace(
        "title: Raise the arm\n", "title: Raise\nresistance: [{weight: 2 kg, at: hand}]\n", 1
    )
    (finding,) = found(tmp_path, "backward-step", written + "resistance: []\n")
    assert "b is written as harder than a but is computed easier: load from" in finding.message


def test_entries_are_compared_by_irritability(tmp_path):
    ladder = (
        "[ladders/l.md]\ntitle: L\nworks: shoulder flexion\ngoal: b\nentries: {high: b, low: a}\n"
    )
    written = ARM + "resistance: [{weight: 1 kg, at: hand}]\n" + ladder
    (finding,) = found(tmp_path, "heavy-entry", written)
    assert "the entry at high irritability, b, demands" in told([finding])[0]
    assert finding.exercises == ("b", "a") and finding.ladder == "l"
    swapped = written.replace("{high: b, low: a}", "{high: a, low: b}")
    assert found(tmp_path / "2", "heavy-entry", swapped) == []
