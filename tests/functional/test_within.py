"""`rungbook within` from outside: what fits, cut to the limits, and what is left out and why."""

from __future__ import annotations

import json
import pathlib
from typing import Any

import pytest
from click.testing import CliRunner, Result

from builders.findings import write_library
from rungbook.cli import main

DEMO = pathlib.Path(__file__).parents[2] / "library"
SHOULDER = ("--max", "shoulder flexion=90", "--kind-of-work", "passive,assisted")


def run(*arguments: str, library: pathlib.Path = DEMO) -> Result:
    return CliRunner().invoke(main, ["within", "--library", str(library), *arguments])


def values(*arguments: str, library: pathlib.Path = DEMO) -> dict[str, Any]:
    result = run("--format", "json", *arguments, library=library)
    assert result.exit_code == 0, result.output
    return json.loads(result.stdout)


def test_help_alone_and_up_to_a_right_angle_lists_what_fits_and_cuts_the_rest() -> None:
    """The first weeks after a repair: never a press, nor all fours that load the same shoulder."""
    found = values(*SHOULDER)
    listed = {one["id"]: one for one in found["exercises"]}
    for raise_ in ("supine-raise-therapist", "supine-raise-helped", "pulley-raise"):
        assert listed[raise_]["kind_of_work"] == "assisted"
        short = listed[raise_]["shortened"]
        assert (short["movement"], short["to_deg"]) == ("shoulder flexion", pytest.approx(90))
        assert short["instead_of_deg"] > 90
    assert listed["table-slide"]["shortened"] is None
    never = ("shoulder-push-hold", "press-wall-near", "press-wall-far", "standing-raise")
    assert not set(never) & listed.keys()
    assert not [id for id in listed if id.startswith(("press-", "all-fours"))]
    assert all(one["kind_of_work"] in ("passive", "assisted") for one in listed.values())


def test_the_json_has_the_keys_of_the_design() -> None:
    found = values(*SHOULDER, "--area", "shoulder")
    assert {"limits", "exercises", "left_out"} <= found.keys()
    assert found["limits"]["max"] == {"shoulder flexion": 90.0}
    assert found["limits"]["kind_of_work"] == ["passive", "assisted"]
    first = found["exercises"][0]
    assert {"id", "title", "kind_of_work", "demand_nm", "shortened"} <= first.keys()
    assert sum(found["left_out"].values()) == len(found["why"])
    of_the_area = len(list((DEMO / "exercises/shoulder").glob("*.md")))
    assert len(found["exercises"]) + len(found["why"]) == of_the_area


def test_the_least_load_comes_first() -> None:
    loads = [one["demand_nm"] or 0.0 for one in values("--kind-of-work", "active")["exercises"]]
    assert len(loads) > 5 and loads == sorted(loads)


def test_an_order_and_the_weeks_choose_what_fits() -> None:
    order = ("--restriction", "shoulder-repair-early", "--area", "shoulder")
    unsaid, early, late, passed = (
        {one["id"] for one in values(*order, *more)["exercises"]}
        for more in ((), ("--weeks", "3"), ("--weeks", "8"),
                     ("--weeks", "8", "--lifted", "shoulder-repair-early"))
    )  # fmt: skip
    assert unsaid == early == late, "a date alone passes nothing that the surgeon ends"
    assert "standing-raise" in passed - early
    assert not {"standing-raise-one-kilo", "shoulder-push-hold"} & passed
    told = run(*order, "--weeks", "8").output
    assert "a date opens a phase, criteria decide who passes it" in told
    assert "examples until the order for this patient is confirmed" in told


def test_limits_that_contradict_one_another_name_the_one_that_leaves_most_out() -> None:
    result = run("--kind-of-work", "passive", "--max", "hip flexion=-60")
    assert result.exit_code == 0
    assert "Nothing fits all of these limits at once." in result.output
    every = len(list(DEMO.glob("exercises/*/*.md")))
    assert f"Most is left out by 'hip flexion over -60°': {every} by it alone." in result.output


def test_an_order_is_never_advised_away() -> None:
    told = run("--restriction", "shoulder-repair-early", "--area", "arm-push").output
    assert "An order is changed by who gave it." in told and "without it" not in told


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("--kind-of-work", "lazy"), "'lazy' is not one of none, passive, assisted, active"),
        (("--restriction", "shoulder-repair-earl"), "Did you mean 'shoulder-repair-early'?"),
        (("--area", "shouldre"), "there is no area 'shouldre'"),
        (("--max", "shoulder flexon=90"), "Did you mean 'shoulder flexion'?"),
        (("--max", "shoulder flexion=far"), "is not an angle such as"),
        (("--weeks", "-2"), "is not in the range"),
        (("--weeks", "soon"), "is not a valid float"),
        (("--bearing", "120 %"), "is not a share such as"),
        (("--without", "pully"), "there is no equipment 'pully'"),
        (("--not-in", "flying"), "there is no position 'flying'"),
        (("--lifted", "nothing"), "there is no restriction 'nothing'"),
    ],
)
def test_an_unknown_limit_is_refused_by_name(arguments: tuple[str, ...], said: str) -> None:
    result = run(*arguments)
    assert result.exit_code == 2 and said in result.output


WRITTEN = """
[exercises/leg/straighten.md]
title: Straighten the knee
sides: one
position: sitting
works: knee extension
movement: [{knee: {flexion: [90, 0]}}]
[exercises/leg/push.md]
title: Push the strap
sides: one
position: long-sitting
works: knee extension
resistance: [{effort: 30 %}]
[exercises/leg/jump.md]
title: Jump
works: knee extension
ballistic: true
impact: both feet
measured: [{works: knee extension, value: 2 Nm/kg, source: common-practice}]
"""


def test_extension_of_the_knee_counts_in_degrees_of_flexion(tmp_path: pathlib.Path) -> None:
    library = write_library(tmp_path, WRITTEN)
    (one, _) = values("--max", "knee extension=45", "--max", "hip flexion=120",
                      library=library)["exercises"] + [None]  # fmt: skip
    short = one["shortened"]
    assert (one["id"], short["movement"]) == ("straighten", "knee flexion")
    assert (short["from_deg"], short["to_deg"], short["instead_of_deg"]) == pytest.approx(
        (90, 45, 0), abs=1e-6
    )


def test_what_is_not_known_never_fits_a_limit_on_load(tmp_path: pathlib.Path) -> None:
    library = write_library(tmp_path, WRITTEN)
    found = values("--kind-of-work", "resisted,held,active", library=library)
    assert "push" not in [one["id"] for one in found["exercises"]]
    assert found["why"]["push"] == "load not known"
    assert "push" in [one["id"] for one in values("--area", "leg", library=library)["exercises"]]


def test_a_cut_exercise_asks_for_what_is_left_of_it(tmp_path: pathlib.Path) -> None:
    library = write_library(tmp_path, WRITTEN)
    whole = values(library=library)["exercises"]
    cut = values("--max", "knee extension=45", library=library)["exercises"]
    loads = [next(x["demand_nm"] for x in one if x["id"] == "straighten") for one in (whole, cut)]
    # The shank held out: its weight times the sine of its angle to the plumb line; the foot,
    # which lies before the shank, adds a little.
    assert loads[1] / loads[0] == pytest.approx(0.5**0.5, rel=0.05)
