"""`rungbook steps`, `fill`, `easier` and `route` from outside."""

from __future__ import annotations

import json
import pathlib
import re
from typing import Any

import pytest
from click.testing import CliRunner, Result

from builders.findings import write_library
from rungbook.cli import main

WRITTEN = """
[exercises/arm/half.md]
title: Arm raise, half carried
sides: one
position: sitting
works: shoulder flexion
posture: {elbow: {flexion: 0}}
movement: [{shoulder: {flexion: [0, 90]}}]
assist: [{at: wrist, by: pulley, share: 50 %}]
dose: {sets: 3, reps: 10, up: 2 s, down: 3 s, sessions: 3 per week}
equipment: [pulley]
back-off: [pain above 5 of 10]
progressions:
  - to: raise   # the next one
    when: [3 sets of 12]
    after: 6 sessions
[exercises/arm/raise.md]
title: Arm raise
variation-of: half
assist: []
equipment: []
progressions: [{to: weight, when: [3 sets of 12], after: 2 weeks}]
[exercises/arm/weight.md]
title: Arm raise with half a kilo
variation-of: raise
resistance: [{weight: 0.5 kg, at: hand}]
[exercises/leg/squat.md]
title: Squat
works: knee extension
movement: [{knee: {flexion: [0, 60]}, hip: {flexion: [0, 60]}}]
contacts: [{at: feet, surface: floor}]
[ladders/arm.md]
title: Raising the arm
works: shoulder flexion
goal: weight
entries: {high: half}
[vocabulary/equipment.yml]
pulley: {title: Over-door pulley, assists: set}
"""


@pytest.fixture
def library(tmp_path: pathlib.Path) -> pathlib.Path:
    return write_library(tmp_path, WRITTEN)


def run(library: pathlib.Path, command: str, *arguments: str) -> Result:
    return CliRunner().invoke(main, [command, "--library", str(library), *arguments])


def values(library: pathlib.Path, command: str, *arguments: str, status: int = 0) -> Any:
    result = run(library, command, "--format", "json", *arguments)
    assert result.exit_code == status, result.output
    return json.loads(result.stdout)


def test_steps_have_the_keys_of_the_design(library: pathlib.Path) -> None:
    (ladder,) = values(library, "steps", "arm")["ladders"]
    assert ladder["id"] == "arm" and ladder["rungs"] == ["half", "raise", "weight"]
    first = ladder["steps"][0]
    assert (first["from"], first["to"], first["missing"]) == ("half", "raise", 1)
    assert first["size"] == first["axes"]["demand"]["size"] == pytest.approx(1.507, abs=1e-3)
    keys = {"from", "to", "limit", "size", "works", "prepared", "unsure"}
    assert set(first["axes"]["demand"]) == keys
    assert first["axes"]["demand"]["works"] == "shoulder flexion"


def test_heights_add_up_to_the_steps_and_each_action_has_its_own(library: pathlib.Path) -> None:
    (ladder,) = values(library, "steps", "arm")["ladders"]
    heights = ladder["heights"]
    assert list(heights) == ["half", "raise", "weight"]
    assert heights == ladder["heights_by_action"]["shoulder flexion"]
    assert heights["weight"] == pytest.approx(3.7095, abs=1e-4)  # the goal is the standard here
    (standard,) = ladder["standard"].values()
    assert standard["id"] == "weight" and standard["demand_nm"] > 0
    for step in ladder["steps"]:
        rise = heights[step["to"]] - heights[step["from"]]
        assert step["axes"]["demand"]["size"] == pytest.approx(rise, abs=1e-5)


def test_steps_in_words_say_what_is_missing_and_how_to_fill_it(library: pathlib.Path) -> None:
    shown = run(library, "steps").output
    assert "half → raise\n    1.5 steps: one rung is missing" in shown
    assert "fill it: rungbook fill half raise" in shown


def test_steps_that_wait_for_a_file_are_counted_once(library: pathlib.Path) -> None:
    (library / "library.yml").write_text("limits: {demand: 9}\n")
    told = "2 steps are not judged until library.yml is mended."
    assert values(library, "steps")["not_judged"] == [told]
    assert run(library, "steps").output.endswith(f"\n{told}\n")


def test_a_filling_has_the_keys_of_the_design(library: pathlib.Path) -> None:
    found = values(library, "fill", "half", "raise")
    assert (found["from"], found["to"], found["blocked_by"]) == ("half", "raise", None)
    (proposal,) = found["proposals"]
    assert found["rungs"] == ["half", proposal["id"], "raise"]
    assert proposal["variation_of"] == "raise" and proposal["step_size"] <= 1
    (carried,) = proposal["changes"]["assist"]
    assert (carried["at"], carried["share"]) == ("wrist", "25 %")
    assert found["last_step_size"] <= 1 < found["size"]


def test_a_written_filling_waits_for_its_review_beside_the_way_there_is(
    library: pathlib.Path,
) -> None:
    before = (library / "exercises/arm/half.md").read_text()
    shown = run(library, "fill", "half", "raise", "--write")
    assert shown.exit_code == 0
    assert "Computed, not reviewed" in shown.output
    assert (
        "To undo it, delete the added file and the progressions with `draft: true`" in shown.output
    )
    (added,) = re.findall(r"added exercises/arm/(\S+)\.md", shown.output)
    after = (library / "exercises/arm/half.md").read_text()
    assert after.startswith(before.split("    after: 6 sessions\n")[0])
    assert f"- {{to: {added}, draft: true" in after
    steps = run(library, "steps").output
    assert f"Drafts between wait for criteria and a review: {added}." in steps
    assert "half → raise" in steps and f"half → {added}" not in steps
    checked = run(library, "check", "--only", "step-too-large")
    assert checked.exit_code == 1 and f"wait for criteria and a review: {added}" in checked.output


def test_reviewed_drafts_are_rungs_and_leave_no_step_too_large(library: pathlib.Path) -> None:
    run(library, "fill", "half", "raise", "--write")
    criteria = "when: [3 sets of 12]"
    for file in sorted((library / "exercises/arm").glob("*.md")):
        text = file.read_text().replace("draft: true", criteria)
        text = text.replace("draft: computed, not reviewed\n", "")
        direct = "  - to: raise   # the next one\n    when: [3 sets of 12]\n    after: 6 sessions\n"
        file.write_text(text.replace(direct, ""))
    assert run(library, "check", "--only", "step-too-large").exit_code == 0
    assert run(library, "check", "--only", "draft-progression").exit_code == 0
    assert "half → raise-pulley-25" in run(library, "steps").output


def test_what_leads_back_is_a_usage_error(library: pathlib.Path) -> None:
    refused = run(library, "fill", "raise", "half", "--write")
    assert refused.exit_code == 2
    assert "half already leads to raise: it is the easier of the two" in refused.output
    assert "Did you mean: rungbook fill half raise" in refused.output


def test_the_ladder_to_judge_by_can_be_named(library: pathlib.Path) -> None:
    assert values(library, "fill", "half", "raise", "--ladder", "arm")["ladder"] == "arm"
    unknown = run(library, "fill", "half", "raise", "--ladder", "amr")
    assert unknown.exit_code == 2 and "Did you mean 'arm'?" in unknown.output


def test_what_was_written_stands_in_the_json(library: pathlib.Path) -> None:
    found = values(library, "fill", "half", "raise", "--write")
    (draft,) = found["proposals"]
    assert found["written"] == {
        "added": [f"exercises/arm/{draft['id']}.md"],
        "changed": ["exercises/arm/half.md"],
    }


def test_what_cannot_be_filled_says_why_and_exits_with_1(library: pathlib.Path) -> None:
    found = values(library, "fill", "half", "squat", status=1)
    assert found["rungs"] == [] and "without a common action" in found["blocked_by"]["message"]
    shown = run(library, "fill", "half", "squat")
    assert shown.exit_code == 1 and "No exercises fill it." in shown.output


def test_easier_has_the_keys_of_the_design(library: pathlib.Path) -> None:
    found = values(library, "easier", "weight", "--because", "load")
    assert found["exercise"] == "weight" and found["because"] == ["load"]
    first = found["options"][0]
    assert (first["kind"], first["id"], first["slot"]) == ("neighbour", "raise", "a little less")
    assert first["back_up"] == 1 and first["kind_of_work"] == "active"
    assert {"id", "kind", "demand_nm", "ratio", "step_size", "changes", "rises", "left"} <= set(
        first
    )
    assert {"same", "solved"} <= {option["kind"] for option in found["options"]}
    assert all(option["ratio"] < 1 for option in found["options"])


def test_easier_tells_what_a_filter_left_out(library: pathlib.Path) -> None:
    found = values(library, "easier", "raise", "--without", "pulley")
    assert found["left_out"]["half"] == "needs pulley"
    assert (
        "Left out\n  half: needs pulley"
        in run(library, "easier", "raise", "--without", "pulley").output
    )


def test_a_route_has_the_keys_of_the_design(library: pathlib.Path) -> None:
    found = values(library, "route", "half", "weight")
    assert found["rungs"] == ["half", "raise", "weight"]
    assert found["largest_step"] == pytest.approx(1.507, abs=1e-3)
    assert found["least_days"] == 14 + 14  # 6 sessions at 3 a week, then 2 weeks
    assert [step["from"] for step in found["steps"]] == ["half", "raise"]


def test_a_route_in_words_starts_with_the_first_thing_to_do(library: pathlib.Path) -> None:
    shown = run(library, "route", "half", "weight").output
    assert shown.index("1. Arm raise, half carried (half)") < shown.index("2. Arm raise (raise)")
    assert "not before 28 days" in shown and "Measured on the ladder Raising the arm." in shown


def test_a_way_without_a_least_time_says_so_not_no_days(library: pathlib.Path) -> None:
    file = library / "exercises/arm/raise.md"
    file.write_text(file.read_text().replace(", after: 2 weeks", ""))
    shown = run(library, "route", "raise", "weight").output
    assert "no least time is written" in shown and "not before" not in shown


def test_the_ladder_that_measures_can_be_chosen_and_must_hold_both(library: pathlib.Path) -> None:
    found = values(library, "route", "half", "weight", "--ladder", "arm")
    assert found["ladder"] == "arm"
    result = run(library, "route", "half", "squat", "--ladder", "arm")
    assert result.exit_code == 2 and "squat is not on the ladder 'arm'" in result.output


def test_two_exercises_on_different_ladders_say_so(library: pathlib.Path) -> None:
    shown = run(library, "route", "half", "squat").output
    assert "No ladder holds both: half is on Raising the arm, squat on no ladder." in shown
    assert "rungbook fill" not in shown  # it would have nothing to try


def test_a_flare_up_on_the_first_rung_is_less_of_it_and_a_call(library: pathlib.Path) -> None:
    shown = run(library, "route", "half", "weight", "--back-after", "2 days").output
    assert "Nothing easier leads to it: do less of it, then call. Stay on half." in shown


def test_the_way_back_names_the_rule_and_where_to_go(library: pathlib.Path) -> None:
    found = values(library, "route", "raise", "weight", "--back-after", "2 days")
    assert found["back"]["to"] == "half" and found["rungs"][0] == "half"
    shown = run(library, "route", "raise", "weight", "--back-after", "2 days").output
    assert "Back to half." in shown and "source: common practice" in shown


def test_no_route_exits_with_1_and_says_why(library: pathlib.Path) -> None:
    found = values(library, "route", "weight", "half", status=1)
    assert "the other way round" in found["message"]


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (
            ("fill", "hafl", "raise"),
            "there is no exercise 'hafl' in the library. Did you mean 'half'?",
        ),
        (("fill", "raise", "raise"), "FROM and TO are the same exercise, 'raise'."),
        (("route", "half", "rase"), "Did you mean 'raise'?"),
        (("steps", "arms"), "there is no ladder 'arms' in the library. Did you mean 'arm'?"),
        (("easier", "raise", "--because", "pain"), "'pain' is not one of"),
        (("easier", "raise", "--max", "hip flexion"), "is not an angle such as 'hip flexion=90'"),
        (("easier", "raise", "--bearing", "50"), "is not a share such as '50 %'"),
        (("easier", "raise", "--not-in", "stading"), "Did you mean 'standing'?"),
        (("route", "half", "raise", "--back-after", "soon"), "'soon' is not a time such as"),
    ],
)
def test_a_wrong_call_exits_with_2_and_says_what_is_meant(
    library: pathlib.Path, arguments: tuple[str, ...], message: str
) -> None:
    result = run(library, *arguments)
    assert result.exit_code == 2
    assert message in " ".join(result.output.split())


def test_easier_keeps_to_the_kinds_of_work_allowed_and_says_what_the_others_are(
    library: pathlib.Path,
) -> None:
    only = run(library, "easier", "weight", "--kind-of-work", "assisted")
    assert "Arm raise, half carried" in only.output
    assert "raise: its shoulder flexion is active" in only.output
    wrong = run(library, "easier", "weight", "--kind-of-work", "lazy")
    assert wrong.exit_code == 2 and "'lazy' is not one of" in wrong.output
