"""One exercise's solved ways become its load for a person."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from rungbook.body.joints import JOINT_LIMB
from rungbook.load.coefficients import coefficients_of
from rungbook.load.demand import demand, row_of
from rungbook.load.dose import Tempo, impulse, tempo, week_range
from rungbook.load.faults import posture_faults
from rungbook.load.kind_of_work import kinds_of_work
from rungbook.load.leaving import left_behind
from rungbook.load.lengths import arc_and_range, lengthening, peak_speed, stability
from rungbook.load.person import Person
from rungbook.load.picture import skeleton
from rungbook.load.rests import shortens_first
from rungbook.load.result import PHASES, STOPS, Demand, ExerciseLoad, Fault
from rungbook.load.scaling import WayCoefficients
from rungbook.load.shown import (
    assistance_of,
    bearing_of,
    curves_of,
    margin_of,
    point_of,
    reactions_of,
)
from rungbook.load.sureness import with_span
from rungbook.load.way_load import WayLoad
from rungbook.model.exercise import Exercise
from rungbook.model.library import BalanceTask, Vocabulary
from rungbook.model.movement import Action

Array = NDArray[np.float64]
SMALLEST_PEAK_NM = 1.0


def no_load(
    exercise: Exercise, person: Person, faults: Sequence[Fault], groups: Mapping[str, str]
) -> ExerciseLoad:
    """The load of an exercise that could not even be set up."""
    why = faults[0].message if faults else "nothing to compute"
    return ExerciseLoad(
        exercise.id, person, {}, {}, None, 0.0, "leg", (), (), (0.0, 0.0, 0.0), None, {}, 0.0,
        (0.0, 0.0), 0.0, 0.0, 0, exercise.impact, 0.0, 0.0, 0.0, 0.0,
        _group(exercise, groups), why, tuple(faults), {},
    )  # fmt: skip


@dataclass(frozen=True)
class Case:
    """For whom loads are put together, and how much of them.

    `capacities` in N·m; `groups`: muscle groups in words, by action; `numbers_only`: without
    skeletons and coefficients; `spans`: demands say how sure they are.
    """

    person: Person
    capacities: Mapping[Action, float]
    vocabulary: Vocabulary
    groups: Mapping[str, str]
    numbers_only: bool = False
    spans: bool = False
    tasks: Mapping[str, BalanceTask] = field(default_factory=dict)


def exercise_load(
    exercise: Exercise, ways: Sequence[WayLoad], faults: Sequence[Fault], case: Case
) -> ExerciseLoad:
    """Puts the ways of one exercise together for a person."""
    person, capacities = case.person, case.capacities
    limb = _limb(exercise)
    coefficients: dict[str, WayCoefficients] = {
        way.setup.way: coefficients_of(way, limb) for way in ways
    }
    untold = exercise.ballistic or exercise.numberless
    found = [*faults, *([] if untold else posture_faults(ways))]
    own = {name: c.at(person.stature_m) for name, c in coefficients.items()}
    fitting = {name: c for name, c in own.items() if c is not None}
    used = {**coefficients, **fitting}
    moments: dict[str, Array] = {
        name: c.moments(person.body, person.mass_kg, person.stature_m) for name, c in used.items()
    }
    turned = {name: c.angles for name, c in used.items()}
    first = ways[0]
    moves = bool(exercise.movement) and not first.setup.posture.still
    timing = tempo(exercise, moves, shortens_first(first.setup))
    withheld = _withheld(exercise, ways, found, person, capacities)
    if withheld is None and len(fitting) < len(own):
        withheld = next(c for c in coefficients.values() if c.statures).why_none(person.stature_m)
    demands = _demands(exercise, ways, moments, turned, timing, person, capacities)
    if withheld is not None:
        demands = {}
    demands = demands | _measured(exercise, demands, withheld, person, timing)
    if case.spans:
        demands = {name: with_span(one, ways, used, person) for name, one in demands.items()}
    main = max(demands.values(), key=lambda d: d.peak_nm, default=None)
    shown = _shown_way(ways, main, moments)
    phase = main.peak_phase if main is not None else 0
    arc, far = arc_and_range(exercise, first.angles)
    curves = moments[shown.setup.way]
    return ExerciseLoad(
        id=exercise.id,
        person=person,
        demands=demands,
        joints=curves_of(shown, turned[shown.setup.way], curves),
        skeleton=None if case.numbers_only else skeleton(shown, person.stature_m),
        bearing=used[shown.setup.way].bearing(person.body, person.mass_kg, phase),
        bearing_limb=limb,
        reactions=reactions_of(shown, phase, person),
        assistance=assistance_of(shown, phase, person),
        centre_of_mass_m=point_of(shown.centre[person.body][:, phase] * person.stature_m),
        base_margin_m=margin_of(shown, phase, person),
        settled={k: v for way in ways for k, v in way.gave_way.items()},
        range_deg=far,
        arc_deg=arc,
        lengthening_deg=lengthening(exercise, [way.angles for way in ways]),
        peak_speed_deg_s=peak_speed(first.setup.moving, first.angles, timing.fastest_s)
        if moves
        else 0.0,
        stability=max(stability(way.setup, case.vocabulary, case.tasks) for way in ways),
        impact=exercise.impact,
        volume_nms=_volume(demands, timing),
        time_under_tension_s=timing.session_s,
        time_under_tension_week_s=timing.week_s,
        time_under_tension_week_range_s=week_range(exercise, moves, timing.up_first),
        inertial_share=_inertial_share(ways, used, main, timing, person) if moves else 0.0,
        group=_group(exercise, case.groups),
        withheld=withheld,
        faults=tuple(found),
        coefficients={**({} if case.numbers_only else coefficients), "tempo": timing},
        kinds=None
        if any(fault.check in STOPS for fault in found)
        else kinds_of_work(exercise, ways, moments, person),
        other_ways=tuple(
            curves_of(way, turned[way.setup.way], moments[way.setup.way])
            for way in ways
            if way is not shown
        ),
        other_skeletons=()
        if case.numbers_only
        else tuple(skeleton(way, person.stature_m) for way in ways if way is not shown),
        borne=_borne(ways, person),
        left=left_behind(shown),
    )


def _borne(ways: Sequence[WayLoad], person: Person) -> dict[str, float]:
    """The greatest share of body weight through the working leg and arm, over all phases.

    A limb that only rests, while a surface carries the trunk, bears none but its own.
    """
    standing = [
        way for way in ways if not way.setup.carried or any(f.borne for f in way.forces.outer)
    ]
    return {
        limb: max((float(bearing_of(way, limb, person).max()) for way in standing), default=0.0)
        for limb in ("leg", "arm")
    }


def _group(exercise: Exercise, groups: Mapping[str, str]) -> str:
    return ", ".join(groups.get(f"{a.joint} {a.movement}", str(a)) for a in exercise.works)


def _withheld(
    exercise: Exercise,
    ways: Sequence[WayLoad],
    faults: Sequence[Fault],
    person: Person,
    capacities: Mapping[Action, float],
) -> str | None:
    if exercise.ballistic:
        return "statics does not apply to a ballistic exercise"
    if exercise.numberless:
        return "no load is claimed for it: what counts is its dose and how well it is done"
    for fault in faults:
        if fault.check in STOPS:
            return fault.message
    if any(way.forces.effort for way in ways) and not any(a in capacities for a in exercise.works):
        share = max(way.forces.effort or 0.0 for way in ways)
        return f"its load is {share:.0%} of a measured maximum: give the maximum to see it"
    return None


def _demands(
    exercise: Exercise,
    ways: Sequence[WayLoad],
    moments: Mapping[str, Array],
    turned: Mapping[str, Array],
    timing: Tempo,
    person: Person,
    capacities: Mapping[Action, float],
) -> dict[str, Demand]:
    found: dict[str, Demand] = {}
    for action in exercise.works:
        row, capacity = row_of(action), capacities.get(action)
        curves: dict[str, Array] = {}
        angles: dict[str, Array] = {}
        for way in ways:
            curve = action.sign * moments[way.setup.way][row]
            if way.forces.effort and capacity:
                curve = curve + way.forces.effort * capacity
            curves[way.setup.way] = np.zeros(PHASES) if exercise.passive else curve
            angles[way.setup.way] = action.sign * turned[way.setup.way][row]
        found[str(action)] = demand(action, curves, angles, timing, person.mass_kg, capacity)
    return found


def _measured(
    exercise: Exercise,
    demands: Mapping[str, Demand],
    withheld: str | None,
    person: Person,
    timing: Tempo,
) -> dict[str, Demand]:
    """Published figures stand in where statics gives no number."""
    if withheld is None:
        return {}
    found: dict[str, Demand] = {}
    for figure in exercise.figures:
        value = figure.value.value * (person.mass_kg if figure.value.per_mass else 1.0)
        for action in figure.works:
            if action in exercise.works and str(action) not in demands:
                curve = np.full(PHASES, value)
                flat = np.zeros(PHASES)
                found[str(action)] = Demand(
                    action, value, 0.0, 0, value / person.mass_kg, value,
                    impulse(timing, curve, curve),
                    {"concentric": 0.0, "eccentric": 0.0, "held": 0.0}, flat, curve,
                    basis="measured",
                )  # fmt: skip
    return found


def _shown_way(
    ways: Sequence[WayLoad], main: Demand | None, moments: Mapping[str, Array]
) -> WayLoad:
    """The way with the peak demand: its posture and forces are shown."""
    if main is None or main.basis == "measured":
        return ways[0]
    row = row_of(main.works)
    return max(ways, key=lambda way: float((main.works.sign * moments[way.setup.way][row]).max()))


def _limb(exercise: Exercise) -> Literal["leg", "arm"]:
    joint = exercise.works[0].joint if exercise.works else "hip"
    return "arm" if JOINT_LIMB.get(joint) == "arm" else "leg"


def _volume(demands: Mapping[str, Demand], timing: Tempo) -> float:
    most = max((d.impulse_per_rep_nms for d in demands.values()), default=0.0)
    return most * timing.repetitions * timing.sessions_per_week


def _inertial_share(
    ways: Sequence[WayLoad],
    coefficients: Mapping[str, WayCoefficients],
    main: Demand | None,
    timing: Tempo,
    person: Person,
) -> float:
    """Greatest inertial moment over the static peak, for the action with the greatest demand."""
    if main is None or main.basis == "measured":
        return 0.0
    worst = 0.0
    for way in ways:
        moving = coefficients[way.setup.way].inertia(
            person.body, person.mass_kg, person.stature_m, timing.fastest_s
        )
        worst = max(worst, float(np.abs(moving[row_of(main.works)]).max()))
    return worst / max(main.peak_nm, SMALLEST_PEAK_NM)
