"""Dose: how long a repetition takes, how many there are, and what they add up to."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from rungbook.load.result import PHASES
from rungbook.model.exercise import Exercise
from rungbook.model.quantity import RepRange
from rungbook.model.span import ends

Array = NDArray[np.float64]
USUAL_WAY_S = 2.0  # one way of a repetition where nobody wrote a tempo; common practice, no source


@dataclass(frozen=True)
class Tempo:
    """Seconds of one repetition, and how many repetitions a week has.

    `there_s` and `back_s` are the ways from start to end and back; `up_first` says that the
    muscles of `works` shorten on the way there. The pause comes where they are shortest, the
    hold at the end of the movement.
    """

    there_s: float
    back_s: float
    pause_s: float
    hold_s: float
    up_first: bool
    repetitions: float  # in a session
    sessions_per_week: float

    @property
    def repetition_s(self) -> float:
        return self.there_s + self.back_s + self.pause_s + self.hold_s

    @property
    def session_s(self) -> float:
        return self.repetition_s * self.repetitions

    @property
    def week_s(self) -> float:
        return self.session_s * self.sessions_per_week

    @property
    def fastest_s(self) -> float:
        """The shorter way, s; the usual tempo where neither takes time."""
        ways = [way for way in (self.there_s, self.back_s) if way > 0]
        return min(ways, default=USUAL_WAY_S)

    @property
    def pause_phase(self) -> int:
        return PHASES - 1 if self.up_first else 0


def tempo(exercise: Exercise, moves: bool, up_first: bool) -> Tempo:
    """Times of an exercise from its dose, the middle of a range; a still one is only held."""
    dose = exercise.dose
    sets = _middle(dose.sets or 1) if dose else 1.0
    sessions = _middle(dose.sessions or 1.0) if dose else 1.0
    hold = _middle(dose.hold or 0.0) if dose else 0.0
    usual = 0.0 if hold else USUAL_WAY_S
    up = dose.up if dose and dose.up is not None else usual
    down = dose.down if dose and dose.down is not None else usual
    pause = (dose.pause or 0.0) if dose else 0.0
    if not moves:
        hold, up, down, pause = hold or up + pause + down, 0.0, 0.0, 0.0
    there, back = (up, down) if up_first else (down, up)
    one = there + back + pause + hold
    repetitions = sets * (dose.reps.high if dose and dose.reps else 1.0)
    if dose and dose.duration is not None and dose.reps is None:
        if not moves:
            there = back = pause = 0.0
            hold = one = _middle(dose.duration)
        repetitions = sets * dose.duration / one if one > 0 else 0.0
    return Tempo(there, back, pause, hold, up_first, repetitions, sessions)


def _middle(value: float) -> float:
    """A plain number, of a range too."""
    return value * 1.0


def week_range(exercise: Exercise, moves: bool, up_first: bool) -> tuple[float, float]:
    """The least and the most seconds of work a week that the dose allows."""
    dose = exercise.dose
    if dose is None:
        return (tempo(exercise, moves, up_first).week_s,) * 2
    low: dict[str, Any] = {}
    high: dict[str, Any] = {}
    for key in ("sets", "hold", "duration", "sessions"):
        if (value := getattr(dose, key)) is not None:
            low[key], high[key] = ends(value)
    if dose.reps is not None:
        low["reps"] = RepRange(dose.reps.low, dose.reps.low)
    least, most = (
        tempo(exercise.model_copy(update={"dose": dose.model_copy(update=one)}), moves, up_first)
        for one in (low, high)
    )
    return least.week_s, most.week_s


def impulse(timing: Tempo, there: Array, back: Array) -> float:
    """∫|M|dt of one repetition, N·m·s, from the curves (11,) of both ways."""
    ways = timing.there_s * mean(np.abs(there)) + timing.back_s * mean(np.abs(back))
    pause = timing.pause_s * abs(float(there[timing.pause_phase]))
    return ways + pause + timing.hold_s * abs(float(there[-1]))


def mean(values: Array) -> float:
    """Mean over the movement by the trapezium rule."""
    return float((values.sum() - 0.5 * (values[0] + values[-1])) / (len(values) - 1))
