"""The moment in which a seat is left, or only just reached."""

from __future__ import annotations

from typing import Any

import pytest

from builders.poses import load_of

FEET = {"at": "feet", "surface": "floor"}


def rising(knee: float, hip: float, *contacts: dict[str, Any], **written: Any) -> dict[str, Any]:
    return {
        "sides": "both", "position": "standing", "works": "knee extension",
        "movement": [{"knee": {"flexion": [knee, 0]}, "hip": {"flexion": [hip, 0]}}],
        "contacts": [FEET, *contacts], **written,
    }  # fmt: skip


def seat(height: str, during: str = "start") -> dict[str, Any]:
    return {"at": "seat", "surface": "chair", "height": height, "during": during}


def test_the_feet_carry_everything_in_the_moment_the_seat_is_left() -> None:
    load = load_of(**rising(97, 90, seat("0.48 m")))
    assert load.faults == ()
    assert {force.at for force in load.reactions} == {"foot", "other-foot"}
    assert sum(force.share for force in load.reactions) == pytest.approx(1.0, abs=0.01)
    assert [(one.at, one.surface, one.phase) for one in load.left] == [("seat", "chair", 0)]
    assert load.demands["knee extension"].peak_phase == 0


def test_hip_and_knee_together_ask_what_was_computed_for_the_least_effort_of_all_ways() -> None:
    load = load_of(**rising(97, 90, seat("0.48 m")))
    hip, knee = (load.joints[f"working {name} flexion"].moment_nm for name in ("hip", "knee"))
    # Yoshioka et al. 2007: hip and knee of one leg, added, not below 1.53 N·m/kg (from memory)
    assert -(hip + knee).min() / load.person.mass_kg == pytest.approx(1.53, rel=0.1)


def test_a_drawing_still_shows_the_body_on_its_seat() -> None:
    load = load_of(**rising(97, 90, seat("0.48 m")))
    assert load.skeleton is not None
    sitting, rising_ = load.skeleton.points_m["pelvis"][:2, 2]
    seats = [one for one in load.skeleton.surfaces if one.at == "seat"]
    assert seats[0].phases == (True, *(False,) * 10)
    assert sitting < rising_


def test_sitting_down_ends_with_the_moment_the_seat_is_only_just_reached() -> None:
    movement = [{"knee": {"flexion": [0, 97]}, "hip": {"flexion": [0, 90]}}]
    down = load_of(**{**rising(97, 90, seat("0.48 m", "end")), "movement": movement})
    assert [one.phase for one in down.left] == [10]
    up = load_of(**rising(97, 90, seat("0.48 m")))
    assert down.demand_nm == pytest.approx(up.demand_nm, abs=1e-6)


def test_hands_that_push_go_on_pushing_while_the_seat_is_left() -> None:
    hands = {"at": "hands", "surface": "chair", "height": "0.68 m", "share": "20 %",
             "during": "start"}  # fmt: skip
    arms = {"posture": {"shoulder": {"extension": 30}}}
    pushed = load_of(**rising(97, 90, seat("0.48 m"), hands, **arms))
    curve = pushed.demands["knee extension"].curve_nm
    alone = load_of(**rising(97, 90, seat("0.48 m"))).demands["knee extension"].curve_nm
    assert curve[0] < 0.6 * alone[0]


def test_who_cannot_stand_over_her_feet_swings_and_that_is_told() -> None:
    load = load_of(**rising(90, 90, seat("0.40 m")))
    told = [fault.message for fault in load.faults if fault.check == "statics-doubtful"]
    assert any("takes a swing, whose load is not known" in message for message in told)
    assert load.left == ()
    assert load.withheld is None
