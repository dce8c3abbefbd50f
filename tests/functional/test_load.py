"""`rungbook load` from outside: text, JSON and CSV, and what it says to a wrong call."""

from __future__ import annotations

import csv
import io
import json
import pathlib
from typing import Any

import pytest
from click.testing import CliRunner, Result

from builders.findings import write_library
from rungbook.cli import main

WRITTEN = """
[exercises/arm/raise.md]
title: Raise the arm
sides: one
position: sitting
works: shoulder flexion
posture: {elbow: {flexion: 0}}
movement: [{shoulder: {flexion: [0, 90]}}]
dose: {sets: 3, reps: 10, up: 2 s, down: 3 s, sessions: 3 per week}
[exercises/arm/raise-weight.md]
title: Raise the arm with a weight
variation-of: raise
resistance: [{weight: 2 kg, at: hand}]
[exercises/leg/reach.md]
title: Reach for the bar
works: knee extension
movement: [{knee: {flexion: [0, 60]}}]
contacts: [{at: feet, surface: floor}, {at: hands, surface: bar, height: 2.8 m, touch: true}]
[vocabulary/equipment.yml]
bar: {title: Bar}
"""


@pytest.fixture
def library(tmp_path: pathlib.Path) -> pathlib.Path:
    return write_library(tmp_path, WRITTEN)


def run(library: pathlib.Path, *arguments: str) -> Result:
    return CliRunner().invoke(main, ["load", "--library", str(library), *arguments])


def values(library: pathlib.Path, *arguments: str) -> dict[str, Any]:
    result = run(library, "--format", "json", *arguments)
    assert result.exit_code == 0, result.output
    return json.loads(result.stdout)


def test_json_has_the_keys_of_the_design(library: pathlib.Path) -> None:
    shown = values(library, "raise")
    assert shown["person"] == {"mass_kg": 70.0, "stature_m": 1.7, "body": "female"}
    (one,) = shown["exercises"]
    assert one["id"] == "raise"
    assert one["works"] == ["shoulder flexion"]
    for key in (
        "title", "phase", "joints", "demand", "bearing", "reactions", "assistance",
        "centre_of_mass_m", "settled", "volume_nms", "time_under_tension_s",
        "time_under_tension_week_s", "inertial_share", "stability",
    ):  # fmt: skip
        assert key in one
    assert one["phase"] == [0.0, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1.0]
    curve = one["joints"]["working shoulder flexion"]
    assert len(curve["angle_deg"]) == len(curve["moment_nm"]) == 11
    demand = one["demand"]["shoulder flexion"]
    assert demand["peak_nm"] == pytest.approx(max(curve["moment_nm"]))
    assert demand["peak_at_deg"] == 90
    assert set(demand["contraction"]) == {"concentric", "eccentric", "held"}
    assert one["time_under_tension_week_s"] == 3 * 3 * 10 * 5


def test_two_kilograms_more_than_double_the_arm(library: pathlib.Path) -> None:
    free, weighted = (
        one["demand"]["shoulder flexion"]["peak_nm"]
        for one in values(library, "raise", "raise-weight")["exercises"]
    )
    assert weighted > 2 * free


def test_a_heavier_taller_person_scales_the_free_arm(library: pathlib.Path) -> None:
    def peak(*who: str) -> float:
        (one,) = values(library, "raise", *who)["exercises"]
        return float(one["demand"]["shoulder flexion"]["peak_nm"])

    assert peak("--mass", "105 kg", "--stature", "1.7 m") == pytest.approx(1.5 * peak())
    assert peak("--mass", "70 kg", "--stature", "187 cm") == pytest.approx(1.1 * peak())


def test_a_measured_maximum_gives_a_share_of_it(library: pathlib.Path) -> None:
    (one,) = values(library, "raise", "--capacity", "shoulder flexion=40 Nm")["exercises"]
    demand = one["demand"]["shoulder flexion"]
    assert demand["capacity_share"] == pytest.approx(demand["peak_nm"] / 40)


def test_a_tolerated_arc_limits_the_peak(library: pathlib.Path) -> None:
    (one,) = values(library, "raise", "--arc", "0..45")["exercises"]
    assert one["demand"]["shoulder flexion"]["peak_at_deg"] == pytest.approx(45)
    (between,) = values(library, "raise", "--arc", "10..16")["exercises"]
    assert between["demand"]["shoulder flexion"]["peak_at_deg"] == pytest.approx(16)
    (none,) = values(library, "raise", "--arc", "100..120")["exercises"]
    assert none["demand"] == {}
    assert none["withheld"] == "no part of this movement lies between 100° and 120°"


def test_csv_has_a_line_for_each_joint_axis_and_phase(library: pathlib.Path) -> None:
    rows = list(csv.DictReader(io.StringIO(run(library, "raise", "--format", "csv").stdout)))
    mine = [row for row in rows if row["joint"] == "working shoulder flexion"]
    assert [float(row["angle_deg"]) for row in mine] == pytest.approx([9.0 * n for n in range(11)])


def test_text_shows_a_curve_that_a_person_can_read(library: pathlib.Path) -> None:
    text = run(library, "raise").stdout
    assert "Raise the arm (raise)" in text
    assert "shoulder flexion: peak" in text
    assert "at 90° flexion" in text
    assert "█" in text
    assert "0    9   18   27   36   45   54   63   72   81   90" in text


def test_text_of_all_is_one_table(library: pathlib.Path) -> None:
    text = run(library, *("raise", "raise-weight", "reach", "raise")).stdout
    assert "not computed: " in text
    assert run(library).exit_code == 0


def test_an_impossible_posture_says_what_to_change(library: pathlib.Path) -> None:
    (one,) = values(library, "reach")["exercises"]
    assert one["demand"] == {}
    assert one["withheld"].startswith(("hand stays", "other-hand stays"))
    assert "move the contact" in one["withheld"]


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("nothing",), "there is no exercise 'nothing' in the library"),
        (("--mass", "0 kg"), "a body mass of 0 kg is outside 20 to 350 kg"),
        (("--mass", "-70 kg"), "a body mass of -70 kg is outside"),
        (("--mass", "70"), "'70' is not a number with a unit, such as"),
        (("--stature", "170 kg"), "is not in a unit"),
        (("--body", "robot"), "choose one of female, male, winter"),
        (("--capacity", "hip=3 Nm"), "'hip' is not an action"),
        (("--capacity", "hip abduction"), "such as 'hip abduction=60 Nm'"),
        (("--capacity", "hip abduction=0 Nm"), "a maximum is more than 0 Nm"),
        (("--arc", "40..10"), "is not a range of degrees from low to high"),
    ],
)
def test_a_wrong_call_says_what_is_wrong(
    library: pathlib.Path, arguments: tuple[str, ...], said: str
) -> None:
    result = run(library, *arguments)
    assert result.exit_code == 2
    assert said in " ".join(result.stderr.split())
    assert "Traceback" not in result.output


def test_a_folder_that_is_not_there(tmp_path: pathlib.Path) -> None:
    result = run(tmp_path / "nowhere")
    assert result.exit_code == 2
    assert "nowhere" in result.stderr


def test_the_kind_of_work_stands_with_each_demand_and_for_all_that_works(
    library: pathlib.Path,
) -> None:
    alone, weighted = values(library, "raise", "raise-weight")["exercises"]
    assert alone["demand"]["shoulder flexion"]["kind_of_work"] == "active"
    assert weighted["demand"]["shoulder flexion"]["kind_of_work"] == "resisted"
    assert weighted["kinds_of_work"]["elbow flexion"] == {
        "kind_of_work": "held", "kind": "resisted", "held": True, "carried": None, "because": None,
    }  # fmt: skip
    assert "kind of work: resisted" in run(library, "raise-weight").output


LEG = """
[exercises/leg/straighten.md]
title: Straighten the knee
sides: one
position: sitting
works: knee extension
movement: [{knee: {flexion: [90, 10]}}]
[exercises/arm/lower.md]
title: Hold the arm up lying face down
sides: one
position: supine
works: shoulder flexion
movement: [{shoulder: {flexion: [120, 160]}}]
"""


@pytest.fixture
def leg(tmp_path: pathlib.Path) -> pathlib.Path:
    return write_library(tmp_path, LEG)


def test_a_share_of_strength_is_of_people_of_the_age_given(leg: pathlib.Path) -> None:
    shown = values(leg, "straighten", "--age", "70")
    assert shown["person"]["age"] == 70
    strength = shown["exercises"][0]["demand"]["knee extension"]["strength"]
    assert {"share", "at_deg", "source"} <= strength.keys()
    assert strength["of"] == "an average woman over 65"
    assert strength["source"] == "Anderson, Madigan, Nussbaum 2007"
    young = values(leg, "straighten")["exercises"][0]["demand"]["knee extension"]["strength"]
    assert young["of"] == "an average woman of 18 to 25" and young["share"] < strength["share"]
    told = run(leg, "straighten", "--age", "70").output
    assert "% of an average woman over 65" in told


def test_without_a_curve_strength_is_null_and_says_why(library: pathlib.Path) -> None:
    demand = values(library, "raise")["exercises"][0]["demand"]["shoulder flexion"]
    assert demand["strength"] is None
    assert demand["no_strength"] == "no published curve for these muscles"


def test_a_maximum_with_its_angle_scales_the_curve(leg: pathlib.Path) -> None:
    at = "knee extension=60 Nm at 60 flexion"
    strength = values(leg, "straighten", "--capacity", at)["exercises"][0]["demand"][
        "knee extension"
    ]["strength"]
    assert strength["of"] == "this patient's maximum"
    same = values(leg, "straighten", "--capacity", "knee extension=60 Nm at 60")
    assert same["exercises"][0]["demand"]["knee extension"]["strength"] == strength


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("--age", "200"), "an age of 200 years is outside 1 to 120 years"),
        (("--age", "-3"), "an age of -3 years is outside 1 to 120 years"),
        (("--age", "old"), "is not a valid float"),
        (("--capacity", "knee extension=60 Nm at high"), "is not an angle of the knee"),
        (("--capacity", "knee extension=60 Nm at 20 abduction"), "is not an angle of the knee"),
    ],
)
def test_an_age_or_an_angle_that_nobody_has_is_refused(
    leg: pathlib.Path, arguments: tuple[str, str], said: str
) -> None:
    result = run(leg, "straighten", *arguments)
    assert result.exit_code == 2 and said in result.output


def test_where_gravity_turned_round_the_opposite_muscles_are_named(leg: pathlib.Path) -> None:
    demand = values(leg, "lower")["exercises"][0]["demand"]["shoulder flexion"]
    assert demand["peak_nm"] == 0
    assert demand["works_instead"]["action"] == "shoulder extension"
    assert demand["works_instead"]["peak_nm"] > 5
    assert "gravity turns round: shoulder extension works instead" in run(leg, "lower").output


def test_joints_that_work_hard_beside_the_one_named_are_told(tmp_path: pathlib.Path) -> None:
    """A press-up is elbow, shoulder and trunk; of strength, hardest first."""
    demo = pathlib.Path(__file__).parents[2] / "library"
    (press,) = values(demo, "press-floor")["exercises"]
    hard = {one["action"].split()[0]: one for one in press["works_hard"]}
    assert {"shoulder", "lumbar"} <= hard.keys()
    shares = [one["share"] for one in press["works_hard"]]
    assert shares == sorted(shares, reverse=True) and min(shares) >= 0.3
    assert "other joints that work hard" in run(demo, "press-floor").output
