"""Which postures a figure shows, with what words, and where each lies on paper."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from rungbook.load.result import PHASES, ExerciseLoad
from rungbook.model.exercise import Exercise

Array = NDArray[np.float64]
Role = Literal["start", "hardest", "end", "hold", "between", "flight", "landing", "up", "down"]
STILL_M = 0.012
FLIGHT_M = 0.14


@dataclass(frozen=True)
class Moment:
    """One posture to draw: its phase, what it shows, how far it is off the ground.

    `arrow` shows the way from it on: `1` to the end of the movement, `-1` back to its start.
    """

    phase: int
    roles: tuple[Role, ...]
    lift_m: float = 0.0
    arrow: Literal[-1, 0, 1] = 0


def moments(exercise: Exercise, load: ExerciseLoad, points: Mapping[str, Array]) -> list[Moment]:
    """The postures worth a panel: of a hold one, of a movement three, of a hop its flight too."""
    last = len(points["head"]) - 1
    most = farthest(points)
    hardest = hardest_phase(load)
    if most < STILL_M or not exercise.movement:
        return [Moment(hardest or 0, ("hold",))]
    if exercise.ballistic:
        flight = Moment(last, ("flight",), FLIGHT_M)
        return [Moment(0, ("start",), arrow=1), flight, Moment(0, ("landing",))]
    if hardest is None or 1 < hardest < last - 1:
        middle = Moment(
            last // 2 if hardest is None else hardest, ("hardest",) if hardest else ("between",)
        )
        return [Moment(0, ("start",), arrow=1), middle, Moment(last, ("end",))]
    first: tuple[Role, ...] = ("start", "hardest") if hardest <= 1 else ("start",)
    final: tuple[Role, ...] = ("end", "hardest") if hardest >= last - 1 else ("end",)
    return [
        Moment(0, first, arrow=1), Moment(last // 2, ("between",)), Moment(last, final)
    ]  # fmt: skip


def both_ways(there: Role, back: Role) -> tuple[tuple[Moment, Moment], tuple[Moment, Moment]]:
    """Start and end of two ways that differ: first the way there, then the way back."""
    return (
        (Moment(0, (there,), arrow=1), Moment(PHASES - 1, ("between",))),
        (Moment(PHASES - 1, (back,), arrow=-1), Moment(0, ("between",))),
    )


def moves(exercise: Exercise, load: ExerciseLoad) -> bool:
    """Whether there is a movement to look at: a posture is computed and it is not held."""
    if load.skeleton is None or not exercise.movement:
        return False
    return farthest(load.skeleton.points_m) >= STILL_M


def farthest(points: Mapping[str, Array]) -> float:
    """How far the point that moves most is from its start at the end, metres."""
    places = np.stack(list(points.values()))
    return float(np.linalg.norm(places[:, -1] - places[:, 0], axis=1).max())


def hardest_phase(load: ExerciseLoad) -> int | None:
    """The phase of the greatest demand, None where statics gives none."""
    main = max(load.demands.values(), key=lambda demand: demand.peak_nm, default=None)
    return (
        None if main is None or main.basis == "measured" or main.peak_nm <= 0 else main.peak_phase
    )
