"""An exercise shortened to limits: cut where it would first pass one, values interpolated.

Nothing is settled anew: a movement that stops earlier goes through the same postures. One place
for finder, `within` and answers.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from rungbook.ladder.crossing import END, at_place, greatest_until
from rungbook.ladder.less_of_the_same import LEAST_ARC
from rungbook.ladder.profile import Profile, leading, rounded
from rungbook.ladder.verdict import Verdict
from rungbook.load.capacity import leading_angle
from rungbook.load.result import Array, Demand, ExerciseLoad
from rungbook.model.exercise import Exercise
from rungbook.model.movement import MOVEMENTS, split_side


@dataclass(frozen=True, slots=True)
class Shortened:
    """The movement that leads, cut: degrees toward `movement`, positive where they can be.

    `until` in phases from the start, `because` the limit that cuts it.
    """

    movement: str
    from_deg: float
    to_deg: float
    instead_of_deg: float
    until: float
    because: str


def shortened(exercise: Exercise, load: ExerciseLoad, verdict: Verdict) -> Shortened | None:
    """The exercise as far as limits let it go; None where too little of it is left to move.

    A ballistic movement cannot be stopped on its way.
    """
    lead = leading(exercise)
    angle = leading_angle(exercise, load)
    if lead is None or angle is None or exercise.ballistic or not 0 < verdict.until < END:
        return None
    start, end = float(angle[0]), float(angle[-1])
    stop = at_place(angle, verdict.until)
    if abs(stop - start) < LEAST_ARC:
        return None
    joint, movement = lead
    name, sign = _positive(split_side(joint)[0], movement, (start, stop, end))
    side = "other " if joint.startswith("other-") else ""
    return Shortened(
        f"{side}{split_side(joint)[0]} {name}",
        sign * start, sign * stop, sign * end, verdict.until, verdict.words,
    )  # fmt: skip


def _positive(joint: str, movement: str, angles: Sequence[float]) -> tuple[str, float]:
    """The name under which most of the angles are positive, and what to multiply them with."""
    if sum(angles) >= 0:
        return movement, 1.0
    axis, sign = MOVEMENTS[joint][movement]
    opposite = (axis, -sign)
    names = [name for name, found in MOVEMENTS[joint].items() if found == opposite]
    return (names[0], -1.0) if names else (movement, 1.0)


def demand_until(load: ExerciseLoad, place: float) -> float | None:
    """Peak moment about `works` up to a place of the movement, N·m: the worst of several."""
    peaks = [_peak_until(demand, place) for demand in load.demands.values()]
    return max(peaks, default=None)


def _peak_until(demand: Demand, place: float) -> float:
    if demand.basis == "measured" or place >= END:
        return demand.peak_nm
    curves: Sequence[Array] = list(demand.per_way.values()) or [demand.curve_nm]
    return max(0.0, *(greatest_until(curve, place)[0] for curve in curves))


def profile_until(one: Profile, load: ExerciseLoad, short: Shortened, angle: Array) -> Profile:
    """What is left of a profile where the movement stops earlier: no more of anything.

    `angle` is that of the joint that leads. Postures are passed through as before, so all else
    stays what it is at most.
    """
    moments = {
        demand.works: rounded(_peak_until(demand, short.until)) for demand in load.demands.values()
    }
    toward = 1.0 if angle[-1] >= angle[0] else -1.0
    contracting = {
        action: (min(up, moments[action]), min(down, moments[action]), min(held, moments[action]))
        for action, (up, down, held) in one.contracting.items()
    }
    reach = rounded(toward * at_place(angle, short.until))
    return replace(one, moments=moments, contracting=contracting, range_deg=reach)
