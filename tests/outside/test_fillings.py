"""Fillings against closed forms, brute force and the engine.

Where one lever scales the demand linearly, the least number of rungs between two demands is that of
an arithmetic series up to half of the harder one (steps of a quarter of it) and of a geometric one
above (steps of half as much again): textbook arithmetic.
"""

import math
import pathlib
import random
from itertools import pairwise

import pytest

from builders.loads import ARM_NM, HAND_M, arm_loads, exercise, measured_of
from rungbook.filling.search import fill
from rungbook.ladder.limits import limits_for
from rungbook.ladder.measure import measure
from rungbook.ladder.profile import profile
from rungbook.ladder.ruler import Ruler
from rungbook.ladder.steps import step_between
from rungbook.load.compute import compute_loads
from rungbook.model.library import Library, Settings
from rungbook.reading.read import read_library

G = 9.81
DEMO = pathlib.Path(__file__).parents[2] / "library"


def held(kilos: float, id: str):
    weight = ({"weight": f"{kilos:g} kg", "at": "hand"},) if kilos else ()
    return exercise(id, resistance=weight)


def least_rungs(low: float, high: float) -> int:
    """The fewest rungs between two demands, the harder one being the standard."""
    below = max(0.0, high / 2 - low) / (high / 4)
    above = math.log(high / max(low, high / 2)) / math.log(1.5)
    return max(0, math.ceil(below + above - 1e-6) - 1)


def on_the_grid(kilos: float, step: float) -> int:
    """The fewest weights between none and `kilos`: always the heaviest that is allowed."""

    def moment(weight: float) -> float:
        return ARM_NM + weight * G * HAND_M

    half = moment(kilos) / 2

    def most(from_nm: float) -> float:
        """As far as one step leads: over the middle of the scale in two parts."""
        if from_nm >= half:
            return 1.5 * from_nm
        left = 1 - (half - from_nm) / (half / 2)
        return from_nm + half / 2 if left <= 0 else half * 1.5**left

    here, count = 0.0, -1
    while here < kilos:
        allowed = [
            w * step for w in range(int(kilos / step) + 1) if moment(w * step) <= most(moment(here))
        ]
        best = kilos if moment(kilos) <= most(moment(here)) else max(allowed)
        if best <= here:
            return 10**6
        here, count = best, count + 1
    return count


@pytest.mark.parametrize("kilos", [1.0, 2.0, 3.5, 5.0, 8.0, 12.0])
def test_a_weight_in_the_hand_takes_the_rungs_of_the_closed_form(kilos):
    least = least_rungs(ARM_NM, ARM_NM + kilos * G * HAND_M)
    found = fill(measured_of(held(0, "a"), held(kilos, "b")), "a", "b", arm_loads)
    assert found.step.missing == least
    assert least <= len(found.rungs) - 2 <= on_the_grid(kilos, 0.5)


@pytest.mark.parametrize("share", [20, 40, 60, 80, 100])
def test_a_carried_arm_takes_the_rungs_of_the_closed_form(share):
    by_arm = {"at": "wrist", "by": "other-arm", "share": f"{share} %"}
    least = least_rungs(ARM_NM * (1 - share / 100), ARM_NM)
    measured = measured_of(exercise("a", assist=(by_arm,)), exercise("b"))
    found = fill(measured, "a", "b", arm_loads)
    assert found.step.missing == least and found.blocked_by is None
    assert least <= len(found.rungs) - 2 <= least + 1


def test_where_the_lever_is_a_weight_steps_of_a_tenth_can_be_kept():
    # ACSM position stand 2009 (MSSE 41:687): raise the load by 2 to 10 % at a time.
    measured = measured_of(
        held(5, "a"), held(7, "b"), settings=Settings(limits={"demand": 1.10})
    )  # fmt: skip
    found = fill(measured, "a", "b", arm_loads)
    loads = arm_loads(
        [held(5, "a"), *(one.candidate.exercise for one in found.proposals), held(7, "b")]
    )
    demands = [loads[id].demand_nm for id in found.rungs]
    ratio = demands[-1] / demands[0]
    assert len(demands) - 2 >= math.ceil(math.log(ratio) / math.log(1.1) - 1e-6) - 1
    assert all(1.0 <= b / a <= 1.10 + 1e-6 for a, b in pairwise(demands))


@pytest.fixture(scope="module")
def demo() -> Library:
    return read_library(DEMO)


@pytest.fixture(scope="module")
def measured_demo(demo):
    return measure(demo, compute_loads(demo.exercises.values(), demo))


@pytest.mark.parametrize("seed", range(4))
def test_every_proposal_is_within_the_limits_when_the_engine_computes_it_again(
    seed, demo, measured_demo
):
    dice = random.Random(seed)
    open_chain = [
        one.id
        for one in demo.exercises.values()
        if one.area in ("shoulder", "calf") and not one.passive
    ]
    for _ in range(60):
        a, b = dice.sample(open_chain, 2)
        same = set(demo.exercises[a].works) == set(demo.exercises[b].works)
        if same and 1 < step_size(measured_demo, a, b) < 4:
            break
    else:
        pytest.skip("no pair in reach")
    found = fill(measured_demo, a, b)
    if found.blocked_by is not None:
        assert found.blocked_by.axis and found.blocked_by.message.endswith(".")
        return
    drafts = {one.candidate.exercise.id: one.candidate.exercise for one in found.proposals}
    again = compute_loads(drafts.values(), demo)
    profiles = [
        profile(drafts[id], again[id]) if id in drafts
        else profile(demo.exercises[id], measured_demo.loads[id])
        for id in found.rungs
    ]  # fmt: skip
    limits = limits_for(demo.settings)
    shared = [
        one for one in measured_demo.ladders.values() if {a, b} <= set(one.rungs)
    ]  # a ladder's own limits and floors then count, and are tested with the demo's ladders
    if not shared:
        assert all(
            step_between(x, y, Ruler(limits)).size <= 1 + 1e-6 for x, y in pairwise(profiles)
        )
    assert len(found.rungs) - 2 >= found.step.missing


def step_size(measured, a: str, b: str) -> float:
    ends = [profile(measured.library.exercises[id], measured.loads[id]) for id in (a, b)]
    return step_between(*ends, Ruler(limits_for(measured.library.settings))).size
