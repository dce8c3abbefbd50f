"""What a patient can do: a measured maximum, and the part of the movement that is tolerated."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from rungbook.load.result import Demand, ExerciseLoad
from rungbook.model.exercise import Exercise
from rungbook.model.movement import MIDLINE_JOINTS, MOVEMENTS, Action, split_side

Array = NDArray[np.float64]


def capacity_nm(force_n: float, lever_m: float) -> float:
    """A maximum from a dynamometer: the force it shows times its distance from the joint."""
    return force_n * lever_m


def within_arc(
    exercise: Exercise,
    load: ExerciseLoad,
    arc_deg: tuple[float, float],
    capacities: Mapping[Action, float] | None = None,
) -> ExerciseLoad:
    """The load with its peaks taken only where the leading joint is inside a tolerated arc.

    Args:
        arc_deg: from low to high, in degrees of the movement that leads, as it is written.

    Curves stay whole; peak, angle at peak, mean and range are those inside the arc, its ends
    included where they lie between two phases. Where none of the movement lies inside, the demand
    is withheld.
    """
    angle = leading_angle(exercise, load)
    if angle is None:
        return load
    inside = _phases_inside(angle, arc_deg)
    if not len(inside):
        low, high = arc_deg
        message = f"no part of this movement lies between {low:g}° and {high:g}°"
        return replace(load, demands={}, withheld=message)
    known = capacities or {}
    demands = {
        name: _inside(demand, inside, load.person.mass_kg, known.get(demand.works))
        for name, demand in load.demands.items()
    }
    reached = _at(angle, inside)
    far = float(reached.max() if load.arc_deg[1] >= load.arc_deg[0] else -reached.min())
    return replace(load, demands=demands, range_deg=far)


def leading_angle(exercise: Exercise, load: ExerciseLoad) -> Array | None:
    """The angle (11,) of the movement that leads, toward it as written; None without one."""
    for item in exercise.movement:
        for joint, pairs in item.items():
            for movement in pairs:
                name, other = split_side(joint)
                if name not in MOVEMENTS:
                    continue
                axis, sign = MOVEMENTS[name][movement]
                side = "" if name in MIDLINE_JOINTS else "other " if other else "working "
                curve = load.joints.get(f"{side}{name} {axis}")
                return None if curve is None else sign * curve.angle_deg
    return None


def _phases_inside(angle: Array, arc_deg: tuple[float, float]) -> Array:
    """The phases inside an arc and those, between two, where the angle enters or leaves it."""
    low, high = arc_deg
    found = [
        float(phase) for phase in np.flatnonzero((angle >= low - 1e-9) & (angle <= high + 1e-9))
    ]
    for phase, (one, two) in enumerate(pairwise(angle)):
        found += [
            phase + float((end - one) / (two - one))
            for end in arc_deg
            if (one - end) * (two - end) < 0
        ]
    return np.array(sorted(found))


def _at(curve: Array, phases: Array) -> Array:
    return np.interp(phases, np.arange(len(curve)), curve)


def _inside(demand: Demand, phases: Array, mass_kg: float, capacity: float | None) -> Demand:
    if demand.basis == "measured":
        return demand
    moments = np.maximum(_at(demand.curve_nm, phases), 0.0)
    top = int(np.argmax(moments))
    peak, span = float(moments[top]), float(phases[-1] - phases[0])
    halves = (moments[1:] + moments[:-1]) / 2
    return replace(
        demand,
        peak_nm=peak,
        peak_at_deg=float(_at(demand.angle_deg, phases)[top]),
        peak_phase=round(float(phases[top])),
        per_mass_nm_kg=peak / mass_kg,
        mean_nm=float(halves @ np.diff(phases)) / span if span > 0 else peak,
        capacity_share=peak / capacity if capacity else None,
    )
