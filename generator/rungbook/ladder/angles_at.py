"""Angles of a joint over the movement of an exercise, either way, as settled or as written."""

from __future__ import annotations

import numpy as np

from rungbook.load.result import PHASES, Array, ExerciseLoad
from rungbook.model.exercise import Exercise
from rungbook.model.movement import MOVEMENTS, split_side

SIDES = ("working", "other")
SETTLING = 0.5  # degrees: what settling gives way is no breach


def angles_toward(
    exercise: Exercise, load: ExerciseLoad | None, side: str, joint: str, movement: str
) -> list[Array]:
    """The angle (11,) toward a movement on every way, degrees; as written where nothing settled.

    `side` is `working` or `other`. Empty where neither load nor exercise has the joint.
    """
    name, _ = split_side(joint)
    axis, sign = MOVEMENTS[name][movement]
    if load is None or not load.joints:
        return _written(exercise, side, name, axis, sign)
    keys = (f"{side} {name} {axis}", f"{name} {axis}")
    found = (way[key] for way in load.ways for key in keys if key in way)
    return [sign * curve.angle_deg for curve in found]


def moments_toward(load: ExerciseLoad, side: str, joint: str, movement: str) -> list[Array]:
    """The moment (11,) of the muscles of a movement on every way, N·m."""
    axis, sign = MOVEMENTS[joint][movement]
    keys = (f"{side} {joint} {axis}", f"{joint} {axis}")
    found = (way[key] for way in load.ways for key in keys if key in way)
    return [sign * curve.moment_nm for curve in found]


def _written(exercise: Exercise, side: str, joint: str, axis: str, sign: int) -> list[Array]:
    names = [joint] if side == "working" or exercise.sides == "both" else [f"other-{joint}"]
    for name in names:
        for item in exercise.movement:
            for movement, (start, end) in item.get(name, {}).items():
                found = MOVEMENTS[joint].get(movement)
                if found and found[0] == axis:
                    return [sign * found[1] * np.linspace(start, end, PHASES)]
        for movement, angle in exercise.posture.get(name, {}).items():
            found = MOVEMENTS[joint].get(movement)
            if found and found[0] == axis:
                return [np.full(PHASES, sign * found[1] * angle)]
    return []
