"""What the muscles of an action have to do, from the moment alone and from who carries the limb.

The words are the trade's; common practice, no source for where one ends and the next begins.
"""

from __future__ import annotations

from typing import Any

import pytest

from builders.poses import load_of
from rungbook.load.kind_of_work import Situation, kind_of_work
from rungbook.load.person import Person

ARM_RAISE: dict[str, Any] = {
    "sides": "one", "position": "supine", "works": "shoulder flexion",
    "movement": [{"shoulder": {"flexion": [0, 80]}}],
}  # fmt: skip
WALL_PRESS: dict[str, Any] = {
    "position": "plank", "works": "elbow extension",
    "posture": {"shoulder": {"flexion": 80}},
    "movement": [{"elbow": {"flexion": [10, 80]}}],
    "contacts": [
        {"at": "hands", "surface": "wall", "distance": "0.7 m"},
        {"at": "feet", "surface": "floor"},
    ],
}  # fmt: skip
STANDING_RAISE = {**ARM_RAISE, "position": "standing"}


def words(action: str, **written: Any) -> str:
    kind = load_of(**written).kind(action)
    assert kind is not None
    return kind.in_words


def test_a_limb_that_lifts_itself_works_actively() -> None:
    assert words("shoulder flexion", **ARM_RAISE) == "active"


@pytest.mark.parametrize(("share", "said"), [("75 %", "75"), ("50 %", "50"), ("25 %", "25")])
def test_a_limb_that_is_partly_carried_is_assisted_by_that_share(share: str, said: str) -> None:
    helped = {"at": "hand", "by": "therapist", "share": share}
    found = words("shoulder flexion", **ARM_RAISE, assist=[helped])
    assert found == f"assisted, {said} % of the limb carried"


def test_a_limb_that_is_carried_whole_and_moved_is_passive() -> None:
    helped = {"at": "hand", "by": "therapist", "share": "100 %"}
    assert words("shoulder flexion", **ARM_RAISE, assist=[helped]).startswith("passive")


def test_nothing_is_asked_where_a_carried_limb_does_not_move() -> None:
    still = {**ARM_RAISE, "movement": [{"shoulder": {"flexion": [45, 45]}}]}
    helped = {"at": "hand", "by": "therapist", "share": "100 %"}
    assert words("shoulder flexion", **still, assist=[helped]) == "none"


@pytest.mark.parametrize(
    "resistance",
    [
        {"weight": "0.5 kg", "at": "hand"},
        {"band": {"start": "2 N", "end": "5 N"}, "at": "hand", "pulls": "down"},
        {"push": "20 N", "at": "hand", "pulls": "backward"},
    ],
)
def test_a_weight_a_band_or_a_push_makes_it_resisted(resistance: dict[str, Any]) -> None:
    assert words("shoulder flexion", **STANDING_RAISE, resistance=[resistance]) == "resisted"


def test_help_and_a_weight_together_are_judged_by_the_moment_that_is_left() -> None:
    helped = {"at": "hand", "by": "therapist", "share": "75 %"}
    light, heavy = ({"weight": weight, "at": "hand"} for weight in ("0.1 kg", "3 kg"))
    assert "assisted" in words("shoulder flexion", **ARM_RAISE, assist=[helped], resistance=[light])
    assert words("shoulder flexion", **ARM_RAISE, assist=[helped], resistance=[heavy]) == "resisted"


def test_a_weight_that_helps_on_the_way_is_assistance() -> None:
    pulley = {"at": "hand", "weight": "1 kg", "pulls": "up"}
    assert "assisted" in words("shoulder flexion", **ARM_RAISE, assist=[pulley])


def test_an_isometric_is_held_beside_its_kind() -> None:
    still = {**STANDING_RAISE, "movement": [{"shoulder": {"flexion": [30, 30]}}]}
    push = {"push": "30 N", "at": "hand", "pulls": "backward"}
    load = load_of(**still, resistance=[push])
    kind = load.kind("shoulder flexion")
    assert kind is not None
    assert (kind.in_words, kind.word) == ("resisted, held", "held")
    assert words("shoulder flexion", **still) == "active, held"


def test_body_weight_through_the_hands_is_resisted_work_of_the_arm_in_every_direction() -> None:
    kinds = load_of(**WALL_PRESS).kinds or {}
    for action in ("elbow extension", "elbow flexion", "shoulder flexion", "shoulder extension"):
        assert kinds[action].kind == "resisted", action
    for joint in ("shoulder", "elbow"):
        found = {kind.kind for name, kind in kinds.items() if name.startswith(joint)}
        assert found == {"resisted"}


def test_an_arm_that_stands_is_resisted_though_its_net_moment_is_small() -> None:
    """On hands and knees with the arms upright."""
    kinds = load_of(position="quadruped", works="hip extension", sides="one").kinds or {}
    for movement in ("flexion", "extension", "abduction", "adduction"):
        assert kinds[f"shoulder {movement}"].in_words == "resisted, held"


def test_a_leg_that_stands_is_resisted_only_where_its_muscles_act() -> None:
    squat = {"works": "knee extension", "movement": [{"knee": {"flexion": [0, 80]}}]}
    assert words("knee extension", position="standing", **squat) == "resisted"
    assert words("knee extension", position="standing", works="hip extension") == "none"


def test_a_seated_heel_raise_lifts_its_own_leg_and_a_weight_on_the_knee_resists_it() -> None:
    seated: dict[str, Any] = {
        "position": "sitting", "works": "ankle plantarflexion",
        "movement": [{"ankle": {"plantarflexion": [0, 25]}}],
        "contacts": [{"at": "forefeet", "surface": "floor"}],
    }  # fmt: skip
    assert words("ankle plantarflexion", **seated) == "active"
    weight = {"weight": "10 kg", "at": "knee"}
    assert words("ankle plantarflexion", **seated, resistance=[weight]) == "resisted"


def test_a_leg_that_slides_on_its_surface_is_assisted_whoever_else_helps() -> None:
    slide: dict[str, Any] = {
        "sides": "one", "position": "supine", "works": "hip flexion",
        "movement": [{"hip": {"flexion": [0, 40]}}],
        "contacts": [{"at": "heel", "surface": "floor", "slides": True}],
    }  # fmt: skip
    assert words("hip flexion", **slide).startswith("assisted")


def test_turning_where_gravity_asks_for_nothing_is_active_all_the_same() -> None:
    turn: dict[str, Any] = {
        "sides": "one", "position": "standing", "works": "shoulder external-rotation",
        "posture": {"elbow": {"flexion": 90}},
        "movement": [{"shoulder": {"external-rotation": [0, 40]}}],
    }  # fmt: skip
    load = load_of(**turn)
    assert load.demands["shoulder external-rotation"].peak_nm < 0.5
    kind = load.kind("shoulder external-rotation")
    assert kind is not None and kind.kind == "active"


def test_past_the_vertical_the_opposite_muscles_work_too() -> None:
    past = {**ARM_RAISE, "movement": [{"shoulder": {"flexion": [0, 150]}}]}
    assert words("shoulder flexion", **past) == words("shoulder extension", **past) == "active"


def test_a_stretch_is_passive_for_what_it_names_and_for_what_it_moves() -> None:
    stretch: dict[str, Any] = {
        "sides": "one", "position": "supine", "works": "shoulder extension", "passive": True,
        "movement": [{"shoulder": {"flexion": [0, 100]}}],
    }  # fmt: skip
    assert words("shoulder extension", **stretch) == words("shoulder flexion", **stretch)
    assert words("shoulder flexion", **stretch) == "passive"


def test_a_share_of_a_maximum_is_resisted_though_no_moment_is_known() -> None:
    push: dict[str, Any] = {
        "sides": "one", "position": "long-sitting", "works": "knee extension",
        "resistance": [{"effort": "30 %"}],
    }  # fmt: skip
    assert words("knee extension", **push) == "resisted, held"


def test_a_hop_is_resisted_and_never_held() -> None:
    hop: dict[str, Any] = {
        "position": "standing", "works": "ankle plantarflexion", "ballistic": True,
        "impact": "both feet",
        "measured": [{"works": "ankle plantarflexion", "value": "2 Nm/kg", "source": "x"}],
    }  # fmt: skip
    assert words("ankle plantarflexion", **hop) == "resisted"


def test_the_kind_that_a_file_gives_stands_with_its_reason() -> None:
    written = {"action": "shoulder flexion", "kind": "passive", "because": "the therapist moves it"}
    kind = load_of(**ARM_RAISE, kind_of_work=[written]).kind("shoulder flexion")
    assert kind is not None
    assert (kind.word, kind.because) == ("passive", "the therapist moves it")


def test_nothing_is_known_of_an_exercise_without_a_posture() -> None:
    far = {"at": "hands", "surface": "counter", "height": "5 m"}
    load = load_of(position="standing", works="shoulder flexion", contacts=[far])
    assert load.withheld and load.kind("shoulder flexion") is None


@pytest.mark.parametrize("body", ["female", "male", "winter"])
@pytest.mark.parametrize("mass", [40.0, 150.0])
def test_the_kind_is_the_same_for_every_person_where_only_the_body_loads(
    body: str, mass: float
) -> None:
    for written in (ARM_RAISE, {**WALL_PRESS}):
        own = load_of(**written)
        other = load_of(**written, person=Person(mass, 1.9, body))
        works = str(written["works"])
        assert own.kind(works) == other.kind(works)


def test_less_moment_is_never_a_harder_kind() -> None:
    """Of one and the same situation: the limb alone asks for 10 N·m."""
    ranks = []
    for peak in (0.0, 2.5, 5.0, 7.5, 10.0, 12.5):
        at = Situation(
            acts=peak > 0, opposes=False, peak=peak, own=10.0, excess=max(0.0, peak - 10),
            moved=True, held=False, arm=True, bears=False, loaded=True, helped=True, rests=False,
        )  # fmt: skip
        ranks.append(kind_of_work(at).rank)
    assert ranks == sorted(ranks)
