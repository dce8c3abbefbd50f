"""Heads and limbs that rest somewhere can be lifted, helped and pushed."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from builders.exercises import exercise
from builders.poses import library_for, load_of
from rungbook.body.joints import SEGMENT
from rungbook.body.segments import segment_table
from rungbook.filling.levers import settings_between
from rungbook.load.compute import compute_loads
from rungbook.model.library import Term

MASS, STATURE, G = 70.0, 1.70, 9.81
NOD: dict[str, Any] = {
    "position": "supine", "works": "neck flexion", "movement": [{"neck": {"flexion": [0, 20]}}],
}  # fmt: skip
HEEL_RAISE: dict[str, Any] = {
    "position": "sitting", "works": "ankle plantarflexion",
    "movement": [{"ankle": {"plantarflexion": [0, 20]}}],
    "contacts": [{"at": "forefoot", "surface": "floor"}],
}  # fmt: skip
TRUNK = [{"at": "upper-back", "surface": "mat"}, {"at": "pelvis", "surface": "mat"}]
HEAD = {"at": "head", "surface": "pillow"}


def peak(**written: Any) -> float:
    load = load_of(**written)
    assert load.withheld is None
    return max(demand.peak_nm for demand in load.demands.values())


def test_a_lifted_head_hangs_from_the_neck() -> None:
    table = segment_table("female")
    head = SEGMENT["head"]
    away = np.linalg.norm(table.centre[head]) * STATURE
    assert peak(**NOD) == pytest.approx(table.mass[head] * MASS * G * away, rel=0.02)


@pytest.mark.parametrize("contacts", [[HEAD], [HEAD, *TRUNK]])
def test_a_nod_on_a_pillow_asks_nothing_of_the_neck(contacts: list[dict[str, Any]]) -> None:
    load = load_of(**NOD, contacts=contacts)
    assert load.demands["neck flexion"].peak_nm == pytest.approx(0, abs=1e-6)
    assert [reaction.at for reaction in load.reactions] == ["head"]


@pytest.mark.parametrize("share", [25, 50, 75, 100])
def test_a_helped_head_leaves_the_rest_of_its_load(share: int) -> None:
    helped = peak(**NOD, assist=[{"at": "head", "share": f"{share} %"}])
    assert helped == pytest.approx((1 - share / 100) * peak(**NOD), abs=1e-6)


def test_a_head_on_a_pillow_leaves_the_trunk_where_it_lies() -> None:
    raised = {"position": "supine", "works": "hip flexion",
              "movement": [{"hip": {"flexion": [0, 45]}}]}  # fmt: skip
    assert peak(**raised, contacts=[HEAD]) == peak(**raised)


def test_a_head_on_the_floor_carries_nothing_of_a_bridge() -> None:
    bridge: dict[str, Any] = {
        "position": "hook-lying", "works": "hip extension",
        "movement": [{"hip": {"extension": [-50, 0]}}],
    }  # fmt: skip
    feet = [{"at": "upper-back", "surface": "mat"}, {"at": "feet", "surface": "mat"}]
    assert peak(**bridge, contacts=[*feet, HEAD]) == peak(**bridge, contacts=feet)


def test_a_push_against_a_still_head_grows_with_the_push() -> None:
    def pushed(newtons: int) -> float:
        return peak(
            position="sitting", works="neck flexion",
            resistance=[{"push": f"{newtons} N", "at": "head", "pulls": "backward"}],
        )  # fmt: skip

    # By hand: the push acts 0.075 of stature above the neck.
    assert pushed(80) - pushed(40) == pytest.approx(40 * 0.075 * STATURE, rel=1e-6)


def test_half_the_trunk_carried_halves_a_curl_up() -> None:
    curl: dict[str, Any] = {
        "position": "hook-lying", "works": "lumbar flexion",
        "movement": [{"lumbar": {"flexion": [0, 30]}}],
    }  # fmt: skip
    helped = peak(**curl, assist=[{"at": "upper-back", "share": "50 %"}])
    assert helped == pytest.approx(0.5 * peak(**curl), rel=1e-6)


@pytest.mark.parametrize("at", ["knee", "ankle"])
@pytest.mark.parametrize("share", [25, 50, 100])
def test_a_leg_that_stands_on_its_ball_is_lightened_by_a_hand(at: str, share: int) -> None:
    helped = peak(**HEEL_RAISE, assist=[{"at": at, "share": f"{share} %"}])
    assert helped == pytest.approx((1 - share / 100) * peak(**HEEL_RAISE), abs=1e-6)


def test_a_limb_that_rests_is_offered_help() -> None:
    library = library_for(equipment={"sling": Term(title="Sling", assists="set")})
    base, other = exercise(**HEEL_RAISE), exercise(**{**HEEL_RAISE, "id": "other"})
    load = compute_loads([base], library)[base.id]
    settings = settings_between(base, other, library, load, harder=True)
    assert any(setting.handle == "assist" for setting in settings)


POINTS = ("head", "upper-back", "pelvis", "seat", "shoulder", "hip", "knee", "ankle", "hand")


@pytest.mark.parametrize("position", ["standing", "single-leg-standing", "plank"])
@pytest.mark.parametrize("at", POINTS)
def test_help_of_a_whole_body_leaves_something_to_the_floor_or_says_so(
    at: str, position: str
) -> None:
    load = load_of(
        position=position, works=["ankle plantarflexion", "knee extension"],
        movement=[{"ankle": {"dorsiflexion": [0, 0]}}], assist=[{"at": at, "share": "100 %"}],
    )  # fmt: skip
    told = [fault.path for fault in load.faults if "help carries" in fault.message]
    assert told == ([("assist", 0, "share")] if at in POINTS[:6] else [])
