"""Whether an exercise can be done as computed: it balances, and no leg goes through the bed."""

from __future__ import annotations

from rungbook.load.result import ExerciseLoad
from rungbook.model.exercise import Exercise

# What of a leg must stay above the surface: lying, all of it; on a seat, the thigh.
LYING = dict.fromkeys(
    ("supine", "hook-lying", "prone", "prone-on-elbows", "side-lying", "side-lying-under",
     "long-sitting"),
    ("knee", "ankle"),
)  # fmt: skip
ABOVE = {**LYING, "sitting": ("knee",), "reclined": ("knee",)}
UNSOUND = frozenset({"contact-off-surface", "not-in-balance", "height-contradicts"})
GIVE_M = 0.12  # a hip lies about so high over what carries it, and the flesh gives a little


def sound(load: ExerciseLoad | None) -> bool:
    """Whether an exercise can be done as it stands: it balances, and its load is known."""
    return (
        load is not None
        and load.withheld is None
        and not any(fault.check in UNSOUND for fault in load.faults)
    )


def through_the_surface(exercise: Exercise, load: ExerciseLoad) -> bool:
    """Whether a leg goes deeper than the surface that carries the body allows, at any phase.

    An author may mean the edge of a plinth. Nobody would read that into a computed exercise.
    """
    above = ABOVE.get(exercise.position, ())
    if load.skeleton is None or exercise.incline:
        return False
    points = load.skeleton.points_m
    return any(
        bool((points[f"{side} {joint}"][:, 2] < points[f"{side} hip"][:, 2] - GIVE_M).any())
        for side in ("working", "other")
        for joint in above
    )


def possible(
    exercise: Exercise, load: ExerciseLoad, base: Exercise, base_load: ExerciseLoad
) -> bool:
    """Whether a variation needs no more room for the legs than what it varies."""
    if not through_the_surface(exercise, load):
        return True
    return exercise.position == base.position and through_the_surface(base, base_load)
