"""Which of two loads is the greater, and whether that is sure."""

from __future__ import annotations

import pytest

from builders.exercises import exercise
from builders.loads import library_of
from rungbook.ladder.certainty import differ, unsure_nm
from rungbook.ladder.measure import measure
from rungbook.ladder.measured import MeasuredLibrary
from rungbook.load.compute import compute_loads

RAISE = {"sides": "one", "works": ["shoulder flexion"], "position": "standing",
         "movement": [{"shoulder": {"flexion": [0, 90]}}]}  # fmt: skip


def measured(numbers_only: bool = False) -> MeasuredLibrary:
    weights = {"bare": [], "half": [{"weight": "0.5 kg", "at": "hand"}]}
    exercises = [exercise(id=id, **RAISE, resistance=held) for id, held in weights.items()]
    standing = {"sides": "one", "works": ["hip abduction"], "position": "single-leg-standing"}
    exercises += [
        exercise(id="stance", movement=[], **standing),
        exercise(id="stance-bent", movement=[], **standing, posture={"knee": {"flexion": 3}}),
    ]
    library = library_of(*exercises)
    loads = compute_loads(exercises, library, numbers_only=numbers_only)
    return measure(library, loads)


def test_a_weight_in_the_same_hand_is_heavier_for_every_build() -> None:
    found = measured()
    assert differ(found, "shoulder flexion", "bare", "half")
    apart = found.loads["half"].demand_nm - found.loads["bare"].demand_nm
    one = found.loads["bare"].demands["shoulder flexion"]
    alone = (one.high_nm or 0) - (one.low_nm or 0)
    unsure = unsure_nm(found, "shoulder flexion", "bare", "half")
    assert unsure is not None and unsure < 0.3 * alone < alone < apart


def test_two_ways_to_stand_that_differ_by_less_than_is_sure_are_no_order() -> None:
    found = measured()
    assert found.loads["stance"].demand_nm != found.loads["stance-bent"].demand_nm
    assert not differ(found, "hip abduction", "stance", "stance-bent")


def test_bare_numbers_say_the_same_as_whole_loads() -> None:
    bare, whole = measured(numbers_only=True), measured()
    for pair in (("bare", "half"), ("half", "bare")):
        unsure = unsure_nm(whole, "shoulder flexion", *pair)
        assert unsure_nm(bare, "shoulder flexion", *pair) == pytest.approx(unsure, abs=1e-6)


def test_nothing_is_sure_of_what_has_no_number() -> None:
    assert unsure_nm(measured(), "knee flexion", "bare", "half") is None
    assert not differ(measured(), "knee flexion", "bare", "half")
