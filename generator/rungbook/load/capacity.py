"""What a patient can do: a measured maximum, and the part of the movement that is tolerated."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from rungbook.load.dose import mean
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

    Curves stay whole; peak, angle at peak, mean and range are those inside the arc. Where no
    phase lies inside it, the demand is withheld.
    """
    angle = leading_angle(exercise, load)
    if angle is None:
        return load
    inside = (angle >= arc_deg[0] - 1e-9) & (angle <= arc_deg[1] + 1e-9)
    if not inside.any():
        low, high = arc_deg
        message = f"no part of this movement lies between {low:g}° and {high:g}°"
        return replace(load, demands={}, withheld=message)
    known = capacities or {}
    demands = {
        name: _inside(demand, inside, load.person.mass_kg, known.get(demand.works))
        for name, demand in load.demands.items()
    }
    far = float(angle[inside].max() if load.arc_deg[1] >= load.arc_deg[0] else -angle[inside].min())
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


def _inside(
    demand: Demand, inside: NDArray[np.bool_], mass_kg: float, capacity: float | None
) -> Demand:
    if demand.basis == "measured":
        return demand
    masked = np.where(inside, demand.curve_nm, -np.inf)
    phase = int(np.argmax(masked))
    peak = max(0.0, float(demand.curve_nm[phase]))
    kept = np.maximum(demand.curve_nm[inside], 0.0)
    return replace(
        demand,
        peak_nm=peak,
        peak_at_deg=float(demand.angle_deg[phase]),
        peak_phase=phase,
        per_mass_nm_kg=peak / mass_kg,
        mean_nm=mean(kept) if len(kept) > 1 else float(kept[0]),
        capacity_share=peak / capacity if capacity else None,
    )
