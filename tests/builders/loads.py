"""Loads in one line, as the engine would return them, for tests of what is built on them."""

from __future__ import annotations

import math
import pathlib
from collections.abc import Iterable, Mapping
from typing import Any

import numpy as np

from rungbook.ladder.limits import Limits, limits_for
from rungbook.ladder.measure import measure
from rungbook.ladder.measured import MeasuredLibrary
from rungbook.ladder.profile import profile
from rungbook.ladder.ruler import Aim, Ruler
from rungbook.ladder.scale import Scale
from rungbook.ladder.step import Step
from rungbook.ladder.steps import step_between
from rungbook.load.person import Person
from rungbook.load.result import PHASES, Demand, ExerciseLoad, JointCurve, PointForce
from rungbook.model.exercise import Exercise
from rungbook.model.library import Library, Settings
from rungbook.model.quantity import parse_action

PERSON = Person(70.0, 1.70, "female")


def curve(name: str, peak_nm: float, angle_deg: float = 0.0) -> JointCurve:
    """`working hip flexion` with a moment that rises to its peak in the last phase."""
    *side, joint, axis = name.split()
    moments = np.linspace(0.0, peak_nm, PHASES)
    which: Any = side[0] if side else None
    return JointCurve(which, joint, axis, np.full(PHASES, float(angle_deg)), moments)


def demand(works: str, peak_nm: float) -> Demand:
    """Demand about an action, greatest in the last phase, half lifting and half lowering."""
    action = parse_action(works)
    return Demand(
        works=action,
        peak_nm=peak_nm,
        peak_at_deg=90.0,
        peak_phase=PHASES - 1,
        per_mass_nm_kg=peak_nm / PERSON.mass_kg,
        mean_nm=peak_nm / 2,
        impulse_per_rep_nms=peak_nm * 2,
        contraction={"concentric": 0.5, "eccentric": 0.5, "held": 0.0},
        angle_deg=np.linspace(0.0, 90.0, PHASES),
        curve_nm=np.linspace(0.0, peak_nm, PHASES),
    )


def load(
    id: str = "e",
    demand_nm: float | Mapping[str, float] | None = 10.0,
    works: str = "shoulder flexion",
    joints: Mapping[str, float] = {},
    on: Mapping[str, float] = {},
    **values: Any,
) -> ExerciseLoad:
    """A load with a demand in N·m, and quiet values for the rest.

    `joints` are peaks by joint axis, `on` shares of body weight by point; every other keyword is
    a field of ExerciseLoad. A demand of None is one the engine cannot give.
    """
    peaks = demand_nm if isinstance(demand_nm, Mapping) else {works: demand_nm}
    week = values.get("time_under_tension_week_s", 540.0)
    first = next((peak for peak in peaks.values() if peak is not None), 0.0)
    given: dict[str, Any] = {
        "id": id,
        "person": PERSON,
        "demands": {w: demand(w, float(p)) for w, p in peaks.items() if p is not None},
        "joints": {name: curve(name, peak) for name, peak in joints.items()},
        "skeleton": None,
        "bearing": 0.0,
        "bearing_limb": "leg",
        "reactions": tuple(
            PointForce(at, (0.0, 0.0, share * 70.0 * 9.81), share) for at, share in on.items()
        ),
        "assistance": (),
        "centre_of_mass_m": (0.0, 0.0, 1.0),
        "base_margin_m": None,
        "settled": {},
        "range_deg": 90.0,
        "arc_deg": (0.0, 90.0),
        "lengthening_deg": 0.0,
        "peak_speed_deg_s": 60.0,
        "stability": 1,
        "impact": "none",
        "volume_nms": first * week / 2,
        "time_under_tension_s": week / 3,
        "time_under_tension_week_s": week,
        "time_under_tension_week_range_s": (week, week),
        "inertial_share": 0.01,
        "kinds": {},
    }
    return ExerciseLoad(**{**given, **values})


def exercise(id: str = "e", *to: str, **values: Any) -> Exercise:
    """An exercise that raises the arm, with progressions to `to`; values as in a file."""
    given: dict[str, Any] = {
        "title": id.replace("-", " ").capitalize(),
        "sides": "one",
        "works": "shoulder flexion",
        "movement": ({"shoulder": {"flexion": (0.0, 90.0)}},),
        "dose": {"sets": 3, "reps": 10, "up": "3 s", "down": "3 s", "sessions": "3 per week"},
        "progressions": tuple({"to": one, "when": ("3 sets of 12",)} for one in to),
        "back_off": ("pain above 5 of 10",),
    }
    return Exercise.model_validate({"id": id, **given, **values})


ARM_NM = 10.0  # the straight arm held out, near enough
HAND_M = 0.6


def arm_loads(exercises: Iterable[Exercise]) -> dict[str, ExerciseLoad]:
    """A stand-in for the engine, in closed form: an arm raised against its weight.

    The moment is 10 N·m for the arm, less the share that is carried, plus the weight in the hand
    at 0.6 m, times the sine of the far end of the arc (1 past 90°); nothing else changes.
    """
    found = {}
    for one in exercises:
        start, end = one.movement[0]["shoulder"]["flexion"]
        share = sum(help.share or 0.0 for help in one.assist)
        held = sum((item.weight or 0.0) * 9.81 * HAND_M for item in one.resistance)
        reach = math.sin(math.radians(min(90.0, max(start, end))))
        dose = one.dose
        week = 0.0
        if dose is not None and dose.reps is not None:
            seconds = (dose.up or 2.0) + (dose.pause or 0.0) + (dose.down or 2.0)
            week = (dose.sets or 1) * dose.reps.high * seconds * (dose.sessions or 1.0)
        found[one.id] = load(
            one.id,
            (ARM_NM * (1 - share) + held) * reach,
            range_deg=end,
            arc_deg=(start, end),
            time_under_tension_week_s=week,
            stability=0 if one.position in ("supine", "side-lying", "prone", "reclined") else 1,
        )
    return found


def library_of(*exercises: Exercise, **values: Any) -> Library:
    """A library of exercises in memory; `ladders` is a list, other values are fields."""
    ladders = values.pop("ladders", [])
    return Library(
        root=values.pop("root", pathlib.Path("nowhere")),
        exercises={one.id: one for one in sorted(exercises, key=lambda one: one.id)},
        ladders={one.id: one for one in ladders},
        **values,
    )


def measured_of(*exercises: Exercise, **values: Any) -> MeasuredLibrary:
    """The same, measured with `arm_loads` or with the loads in `loads`."""
    loads = values.pop("loads", None)
    library = library_of(*exercises, **values)
    return measure(library, loads or arm_loads(library.exercises.values()))


def step_of(
    easier: ExerciseLoad,
    harder: ExerciseLoad,
    standard: Mapping[str, float] | None = None,
    *,
    limits: Limits | None = None,
    goal: ExerciseLoad | None = None,
    prepared: Mapping[str, float] | None = None,
    **both: Any,
) -> Step:
    """The step between two loads of exercises alike; `both` are values of the exercises.

    `standard` are N·m by action of the standard exercises; without any, the harder one's own.
    """
    limits = limits or limits_for(Settings())
    ends = [profile(exercise(one.id, **both), one) for one in (easier, harder)]
    ratio = limits.of("demand") or 1.5
    scale = None
    if standard is not None:
        scale = Scale({parse_action(name): nm for name, nm in standard.items()}, ratio)
    aim = Aim.of(profile(exercise(goal.id, **both), goal)) if goal else None
    start = {parse_action(name): nm for name, nm in prepared.items()} if prepared else None
    return step_between(*ends, Ruler(limits, aim, scale), start)
