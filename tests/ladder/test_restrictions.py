"""What an order says of an exercise: kinds, arcs, ceilings, weight, weeks; by the real engine."""

from __future__ import annotations

from typing import Any

import pytest

from builders.exercises import exercise, frozen
from builders.poses import library_for
from rungbook.ladder.crossing import END, NOWHERE
from rungbook.ladder.restrictions import fits, judged
from rungbook.load.compute import compute_loads
from rungbook.model.restriction import Restriction

RAISE: dict[str, Any] = {
    "sides": "one", "position": "supine", "works": "shoulder flexion",
    "movement": [{"shoulder": {"flexion": [0, 120]}}],
}  # fmt: skip
HELP = [{"at": "hand", "by": "therapist", "share": "75 %"}]
WALL_PRESS: dict[str, Any] = {
    "position": "plank", "works": "elbow extension",
    "posture": {"shoulder": {"flexion": 80}},
    "movement": [{"elbow": {"flexion": [10, 80]}}],
    "contacts": [
        {"at": "hands", "surface": "wall", "distance": "0.7 m"},
        {"at": "feet", "surface": "floor"},
    ],
}  # fmt: skip
KNEE: dict[str, Any] = {
    "sides": "one", "position": "sitting", "works": "knee extension",
    "movement": [{"knee": {"flexion": [90, 0]}}],
}  # fmt: skip


def broken(written: dict[str, Any], *rows: dict[str, Any], **asked: Any) -> tuple[str, ...]:
    one = exercise(**written)
    order = Restriction.model_validate({"title": "Order", "rows": frozen(rows)})
    return fits(one, compute_loads([one], library_for())[one.id], order, **asked)


def until(written: dict[str, Any], *rows: dict[str, Any]) -> float:
    one = exercise(**written)
    order = Restriction.model_validate({"title": "Order", "rows": frozen(rows)})
    return judged(one, compute_loads([one], library_for())[one.id], order).until


EASY = {"action": "shoulder flexion", "kinds": ["passive", "assisted"], "up-to": 90}


def test_an_active_raise_breaks_an_order_of_help() -> None:
    assert broken(RAISE, {**EASY, "up-to": 120}) == (
        "its shoulder flexion is active, only passive or assisted is ordered",
    )


def test_a_helped_raise_breaks_it_by_going_too_far_and_is_cut_there() -> None:
    helped = {**RAISE, "assist": HELP}
    assert broken(helped, EASY) == ("its shoulder flexion goes to 120°, only up to 90° is ordered",)
    assert until(helped, EASY) == pytest.approx(7.5)
    assert broken(helped, {**EASY, "up-to": 120}) == ()


def test_every_exercise_is_judged_in_which_the_action_works_whatever_it_is_about() -> None:
    (press,) = broken(WALL_PRESS, EASY)
    assert press in {
        f"its shoulder flexion is {kind}, only passive or assisted is ordered"
        for kind in ("resisted", "held")
    }
    crawl = {"position": "quadruped", "works": "hip extension", "sides": "one"}
    assert broken(crawl, EASY)[0].startswith("its shoulder flexion is held")


def test_an_isometric_fits_only_where_a_row_says_held() -> None:
    still = {**RAISE, "position": "standing", "movement": [{"shoulder": {"flexion": [30, 30]}}],
             "resistance": [{"push": "30 N", "at": "hand", "pulls": "backward"}]}  # fmt: skip
    every = ["passive", "assisted", "active", "resisted"]
    assert "is held" in broken(still, {**EASY, "kinds": every})[0]
    assert broken(still, {**EASY, "kinds": [*every, "held"]}) == ()


def test_rows_of_one_action_are_alternatives() -> None:
    """Passive to 30°, active to 10°: what either allows is allowed."""
    turn = {"sides": "one", "position": "standing", "works": "shoulder external-rotation",
            "posture": {"elbow": {"flexion": 90}}}  # fmt: skip
    rows = (
        {"action": "shoulder external-rotation", "kinds": ["passive"], "up-to": 60},
        {"action": "shoulder external-rotation", "kinds": ["active", "held"], "up-to": 30},
    )
    far = {**turn, "movement": [{"shoulder": {"external-rotation": [0, 50]}}]}
    stretched = {**far, "works": "shoulder internal-rotation", "passive": True}
    assert broken(stretched, *rows) == ()
    assert broken({**stretched, "movement": [{"shoulder": {"external-rotation": [0, 70]}}]}, *rows)


def test_resisted_work_between_two_angles_is_cut_where_it_leaves_them() -> None:
    """ "Resisted knee extension only between 90 and 45°": counted in degrees of flexion."""
    row = {"action": "knee extension", "kinds": ["active", "resisted"], "between": [45, 90]}
    weighted = {**KNEE, "resistance": [{"weight": "2 kg", "at": "ankle"}]}
    assert broken(weighted, row) == (
        "its knee extension goes to 0° of flexion, only between 45° and 90° of flexion is ordered",
    )
    assert until(weighted, row) == pytest.approx(5.0)


def test_a_row_of_active_work_does_not_judge_how_a_joint_that_rests_lies() -> None:
    row = {"action": "knee extension", "kinds": ["active", "resisted"], "between": [45, 90]}
    lying = {"sides": "one", "position": "supine", "works": "shoulder flexion",
             "movement": [{"shoulder": {"flexion": [0, 60]}}]}  # fmt: skip
    assert broken(lying, row) == ()


def test_a_row_of_passive_work_judges_every_posture_set_up_included() -> None:
    row = {"action": "hip flexion", "kinds": ["passive", "assisted", "active"], "up-to": 60}
    sitting = {"sides": "one", "position": "sitting", "works": "shoulder flexion",
               "movement": [{"shoulder": {"flexion": [0, 60]}}]}  # fmt: skip
    assert broken(sitting, row)[0].startswith("its hip flexion goes to 9")
    assert until(sitting, row) == NOWHERE


@pytest.mark.parametrize(
    ("ceiling", "reason"),
    [
        ("2 kg", ()),
        ("1 kg", ("its knee extension works against 2 kg, 1 kg at most is ordered",)),
        ("60 Nm", ()),
        ("effort 30 %", ("the effort of its knee extension is not known",)),
    ],
)
def test_a_ceiling_is_a_weight_a_moment_or_a_share_of_the_maximum(
    ceiling: str, reason: tuple[str, ...]
) -> None:
    row = {"action": "knee extension", "ceiling": ceiling}
    weighted = {**KNEE, "resistance": [{"weight": "2 kg", "at": "ankle"}]}
    assert broken(weighted, row) == reason


def test_a_ceiling_in_newton_metres_cuts_the_movement_where_it_is_reached() -> None:
    row = {"action": "knee extension", "ceiling": "5 Nm"}
    assert broken(KNEE, row)[0].startswith("its knee extension asks for 10")
    assert 0 < until(KNEE, row) < END


def test_an_effort_is_held_against_an_effort() -> None:
    push = {"sides": "one", "position": "long-sitting", "works": "knee extension",
            "resistance": [{"effort": "40 %"}]}  # fmt: skip
    row = {"action": "knee extension", "ceiling": "effort 30 %"}
    assert broken(push, row) == ("its effort is 40 %, 30 % at most is ordered",)
    assert broken(push, {**row, "ceiling": "effort 40 %"}) == ()


def test_body_weight_is_over_every_ceiling_of_weight() -> None:
    squat = {"works": "knee extension", "movement": [{"knee": {"flexion": [0, 60]}}]}
    row = {"action": "knee extension", "ceiling": "50 kg"}
    assert broken(squat, row) == (
        "its knee extension carries body weight, 50 kg at most is ordered",
    )


def test_weight_bearing_counts_over_the_whole_movement_and_of_the_limb_ordered() -> None:
    stand = {"position": "single-leg-standing", "sides": "one", "works": "hip abduction"}
    assert broken(stand, {"bearing": "20 %"}) == (
        "the leg bears 100 % of body weight, 20 % at most is ordered",
    )
    press = broken(WALL_PRESS, {"action": "shoulder flexion", "bearing": "0 %"})
    assert press[0].startswith("the arm bears")
    table = {**RAISE, "position": "sitting", "movement": [{"shoulder": {"flexion": [60, 60]}}],
             "contacts": [{"at": "hand", "surface": "table"}]}  # fmt: skip
    assert not [one for one in broken(table, {"action": "shoulder flexion", "bearing": "0 %"})
                if "bears" in one]  # an arm that rests bears none but its own  # fmt: skip


def test_bearing_in_words_is_for_the_clinician_to_judge() -> None:
    stand = {"position": "single-leg-standing", "sides": "one", "works": "hip abduction"}
    assert broken(stand, {"bearing": "as ordered"}) == ()


PHASES = (
    {**EASY, "up-to": 120, "weeks": [0, 6]},
    {"action": "shoulder flexion", "kinds": ["passive", "assisted", "active"], "weeks": [6, 12]},
)


@pytest.mark.parametrize(
    ("weeks", "allowed"), [(None, False), (3, False), (6, True), (9, True), (12, True)]
)
def test_weeks_choose_the_rows_and_not_said_the_strictest_holds(
    weeks: float | None, allowed: bool
) -> None:
    assert (broken(RAISE, *PHASES, weeks=weeks) == ()) is allowed


@pytest.mark.parametrize("ends", ["surgeon", "criterion"])
def test_a_date_opens_a_phase_and_never_passes_it(ends: str) -> None:
    rows = ({**PHASES[0], "ends": ends}, PHASES[1])
    assert broken(RAISE, *rows, weeks=9)
    assert broken(RAISE, *rows, weeks=9, lifted=True) == ()
    assert broken(RAISE, *rows, weeks=3, lifted=True), "it is not ended before its weeks are over"


def test_what_is_not_known_never_fits() -> None:
    one = exercise(**RAISE)
    order = Restriction.model_validate({"title": "Order", "rows": ({"bearing": "50 %"},)})
    assert fits(one, None, order) == ("its load is not known",)


def test_an_order_of_nothing_but_a_brace_judges_no_exercise() -> None:
    assert broken(RAISE, {"brace": "locked straight"}) == ()
