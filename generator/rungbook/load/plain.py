"""Loads as plain values: the shape of the JSON output."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np
from numpy.typing import NDArray

from rungbook.load.curves import arrays_of
from rungbook.load.others import OtherWork, reversed_work, works_hard
from rungbook.load.result import Demand, ExerciseLoad, Left, PointForce
from rungbook.load.strength import Maximum, strength_of
from rungbook.model.digits import DIGITS, significant
from rungbook.model.exercise import Exercise
from rungbook.model.kind_of_work import KindOfWork
from rungbook.model.movement import Action

Array = NDArray[np.float64]
LEAST = 1e-9  # what is smaller is noise


def load_values(
    load: ExerciseLoad, exercise: Exercise, maxima: Mapping[Action, Maximum] | None = None
) -> dict[str, Any]:
    """One load: the shape of an exercise in the JSON of `rungbook load`."""
    known = maxima or {}
    return {
        "id": load.id,
        "title": exercise.title,
        "works": [str(action) for action in exercise.works],
        "group": load.group,
        "phase": [round(phase / 10, 1) for phase in range(11)],
        "joints": _joints(load),
        "demand": {
            name: {
                **_demand(demand),
                "kind_of_work": _word(load.kind(name)),
                **_strength(demand, load, known.get(demand.works)),
            }
            for name, demand in load.demands.items()
        },
        "works_hard": [_hard(one) for one in works_hard(load, exercise)],
        "kinds_of_work": {action: _kind(one) for action, one in (load.kinds or {}).items()},
        "bearing": number(load.bearing),
        "bearing_limb": load.bearing_limb,
        "left": [_left(one, load) for one in load.left],
        "reactions": [_force(force) for force in load.reactions],
        "assistance": [_force(force) for force in load.assistance],
        "centre_of_mass_m": [number(value) for value in load.centre_of_mass_m],
        "base_margin_m": None if load.base_margin_m is None else number(load.base_margin_m),
        "settled": {name: number(value) for name, value in load.settled.items()},
        "range_deg": number(load.range_deg),
        "arc_deg": [number(value) for value in load.arc_deg],
        "lengthening_deg": number(load.lengthening_deg),
        "peak_speed_deg_s": number(load.peak_speed_deg_s),
        "volume_nms": number(load.volume_nms),
        "time_under_tension_s": number(load.time_under_tension_s),
        "time_under_tension_week_s": number(load.time_under_tension_week_s),
        "time_under_tension_week_range_s": [
            number(one) for one in load.time_under_tension_week_range_s
        ],
        "inertial_share": number(load.inertial_share),
        "stability": load.stability,
        "impact": load.impact,
        "withheld": load.withheld,
        "faults": [{"check": fault.check, "message": fault.message} for fault in load.faults],
    }


def _joints(load: ExerciseLoad) -> dict[str, Any]:
    if not load.joints:
        return {}
    angles, moments = (_rows(array) for array in arrays_of(load.joints))
    return {
        name: {"angle_deg": angle, "moment_nm": moment}
        for name, angle, moment in zip(load.joints, angles, moments, strict=True)
    }


def _left(left: Left, load: ExerciseLoad) -> dict[str, Any]:
    joints = {
        name: {
            "angle_deg": number(curve.angle_deg[left.phase]),
            "moment_nm": number(curve.moment_nm[left.phase]),
        }
        for name, curve in load.joints.items()
    }
    return {"at": left.at, "surface": left.surface, "phase": left.phase, "joints": joints}


def _demand(demand: Demand) -> dict[str, Any]:
    values: dict[str, Any] = {
        "peak_nm": number(demand.peak_nm),
        "peak_at_deg": number(demand.peak_at_deg),
        "per_mass_nm_kg": number(demand.per_mass_nm_kg),
        "mean_nm": number(demand.mean_nm),
        "impulse_per_rep_nms": number(demand.impulse_per_rep_nms),
        "contraction": {name: number(share) for name, share in demand.contraction.items()},
        "basis": demand.basis,
    }
    if demand.low_nm is not None and demand.high_nm is not None:
        values |= {"low_nm": number(demand.low_nm), "high_nm": number(demand.high_nm)}
    if demand.capacity_share is not None:
        values["capacity_share"] = number(demand.capacity_share)
    if demand.per_way:
        values["per_way"] = {way: _list(curve) for way, curve in demand.per_way.items()}
    return values


def _strength(
    demand: Demand, load: ExerciseLoad, maximum: Maximum | None
) -> dict[str, dict[str, Any] | str | None]:
    """The share of strength, or null and why; what works instead where gravity turned round."""
    found = strength_of(demand, load.person, maximum)
    instead = reversed_work(load, demand)
    values = {"works_instead": None if instead is None else _hard(instead)}
    if isinstance(found, str):
        return {"strength": None, "no_strength": found, **values}
    return {
        "strength": {
            "share": number(found.share),
            "at_deg": number(found.at_deg),
            "at_peak": None if found.at_peak is None else number(found.at_peak),
            "of": found.of,
            "whole": found.whole,
            "source": found.source,
        },
        **values,
    }


def _hard(one: OtherWork) -> dict[str, Any]:
    return {
        "action": one.action,
        "peak_nm": number(one.peak_nm),
        "share": number(one.share),
        "kind_of_work": one.kind.word,
    }


def _word(kind: KindOfWork | None) -> str | None:
    return None if kind is None else kind.word


def _kind(kind: KindOfWork) -> dict[str, Any]:
    """The one word for it, what it is where it is held, and the share that is carried."""
    values = {"kind_of_work": kind.word, "kind": kind.kind, "held": kind.held}
    carried = None if kind.carried is None else number(kind.carried)
    return {**values, "carried": carried, "because": kind.because}


def _force(force: PointForce) -> dict[str, Any]:
    return {
        "at": force.at,
        "force_n": [number(value) for value in force.force_n],
        "share": number(force.share),
    }


def number(value: float) -> float:
    """A number without the noise of its last digits."""
    rounded = float(f"{float(value):.{DIGITS}g}")
    return 0.0 if abs(rounded) < LEAST else rounded


def _rows(values: Array) -> list[Any]:
    """Many numbers at once, each as `number` has it; lists within lists as the array has rows."""
    rounded = significant(np.where(np.abs(values) < 0.9 * LEAST, 0.0, values), DIGITS)
    rounded[np.abs(rounded) < LEAST] = 0.0
    found: list[Any] = rounded.tolist()
    return found


def _list(values: Array) -> list[float]:
    return [number(value) for value in values.tolist()]
