"""No computed exercise asks a leg to pass through the bed or the seat."""

from __future__ import annotations

from typing import Any

import pytest

from builders.poses import load_of
from rungbook.filling.sound import through_the_surface
from rungbook.model.exercise import Exercise


@pytest.mark.parametrize(
    ("position", "posture", "deep"),
    [
        ("supine", {"hip": {"flexion": 30}, "knee": {"flexion": 0}}, False),
        ("supine", {"hip": {"flexion": 0}, "knee": {"flexion": 90}}, True),
        ("supine", {"hip": {"flexion": 60}, "knee": {"flexion": 90}}, False),
        ("prone", {"hip": {"flexion": -10}, "knee": {"flexion": 90}}, False),
        ("prone", {"hip": {"flexion": 40}, "knee": {"flexion": 0}}, True),
        ("sitting", {"hip": {"flexion": 90}, "knee": {"flexion": 90}}, False),
        ("sitting", {"hip": {"flexion": 20}, "knee": {"flexion": 0}}, True),
        ("side-lying", {"hip": {"abduction": 20}, "knee": {"flexion": 0}}, False),
        ("standing", {"hip": {"flexion": 0}, "knee": {"flexion": 0}}, False),
    ],
)
def test_a_leg_below_what_carries_the_body_is_noticed(
    position: str, posture: dict[str, Any], deep: bool
) -> None:
    fields: dict[str, Any] = {
        "sides": "one", "position": position, "works": "hip flexion", "posture": posture,
    }  # fmt: skip
    exercise = Exercise(id="a", title="A", position=position)
    assert through_the_surface(exercise, load_of(**fields)) is deep
