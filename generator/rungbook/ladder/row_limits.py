"""Rows of an order held against one action of an exercise, on either side.

Rows of one action and of the same weeks are alternatives: what each allows is allowed.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import product

import numpy as np
from numpy.typing import NDArray

from rungbook.body.joints import JOINT_LIMB
from rungbook.body.statics import GRAVITY
from rungbook.ladder.angles_at import SETTLING, SIDES, angles_toward, moments_toward
from rungbook.ladder.crossing import END, NOWHERE, first_crossing
from rungbook.ladder.order_words import allowed_kinds, arc_in_words, shown_angle
from rungbook.ladder.verdict import FITS, Verdict, against, mildest, strictest
from rungbook.load.kind_of_work import nothing_nm
from rungbook.load.result import Array, ExerciseLoad
from rungbook.model.acting import Resistance
from rungbook.model.exercise import Exercise
from rungbook.model.kind_of_work import KindOfWork
from rungbook.model.movement import Action
from rungbook.model.restriction import RestrictionRow

ROUNDING = 1e-6
BEARS = 0.005  # of body weight: less is no weight
Rows = Sequence[RestrictionRow]


def action_verdict(exercise: Exercise, load: ExerciseLoad, rows: Rows) -> Verdict:
    """What rows of one action say of an exercise; the muscles of `works` or others alike."""
    action = rows[0].action
    assert action is not None
    found = []
    for side in SIDES:
        here = Action(action.joint, action.movement, side == "other")
        found.append(_posture(exercise, load, rows, side))
        kind = load.kinds.get(str(here)) if load.kinds else None
        if kind is not None and kind.kind != "none":
            found.append(_work(exercise, load, rows, here, kind))
    return strictest(found)


def _posture(exercise: Exercise, load: ExerciseLoad, rows: Rows, side: str) -> Verdict:
    """Arcs that hold wherever the joint lies, set-up included."""
    about = [row for row in rows if row.about_posture]
    action = rows[0].action
    assert action is not None
    ways = angles_toward(exercise, load, side, action.joint, action.movement)
    return strictest(_outside(about, way, np.ones(len(way), dtype=bool)) for way in ways)


def _outside(rows: Rows, angle: Array, counts: NDArray[np.bool_]) -> Verdict:
    """Where an angle first lies outside the arcs of all rows, of the phases that count."""
    bounds = [_over(row, angle, counts) for row in rows]
    if not bounds or not all(bounds):  # nobody sets an arc, or one row leaves it open
        return FITS
    place = min(first_crossing(curves, SETTLING) for curves in product(*bounds))
    if place >= END:
        return FITS
    excess = np.min([np.max(curves, axis=0) for curves in bounds], axis=0)
    far = float(angle[int(np.argmax(excess))])
    row = rows[0]
    words = f"its {row.action} goes to {shown_angle(row, far)}, {arc_in_words(rows)} is ordered"
    return Verdict(words, place)


def _over(row: RestrictionRow, angle: Array, counts: NDArray[np.bool_]) -> list[Array]:
    """By how much each end of a row's arc is passed; nothing where a phase does not count."""
    low, high = row.arc
    ends = [] if low is None else [low - angle]
    ends += [] if high is None else [angle - high]
    return [np.where(counts, end, np.minimum(end, 0.0)) for end in ends]


def _work(
    exercise: Exercise, load: ExerciseLoad, rows: Rows, action: Action, kind: KindOfWork
) -> Verdict:
    """The kind of work, and arc and ceiling of the rows that allow it."""
    allowing = [row for row in rows if not row.kinds or kind.word in row.kinds]
    if not allowing:
        return against(f"its {action} is {kind.word}, only {allowed_kinds(rows)} is ordered")
    return mildest(_row_work(exercise, load, row, action, kind) for row in allowing)


def _row_work(
    exercise: Exercise,
    load: ExerciseLoad,
    row: RestrictionRow,
    action: Action,
    kind: KindOfWork,
) -> Verdict:
    side = "other" if action.other_side else "working"
    moments = moments_toward(load, side, action.joint, action.movement)
    angles = angles_toward(exercise, load, side, action.joint, action.movement)
    little = nothing_nm(load.person, action, action in exercise.works)
    verdicts = [
        _outside([row], angle, moment > little)
        for angle, moment in zip(angles, moments, strict=False)
        if not row.about_posture
    ]
    return strictest([*verdicts, _ceiling(exercise, load, row, action, kind, moments)])


def _ceiling(
    exercise: Exercise,
    load: ExerciseLoad,
    row: RestrictionRow,
    action: Action,
    kind: KindOfWork,
    moments: Sequence[Array],
) -> Verdict:
    most = row.ceiling
    if most is None or kind.kind == "passive":
        return FITS
    if most.unit == "Nm":
        return _moment_ceiling(load, action, most.value, moments)
    if most.unit == "effort":
        return _effort_ceiling(exercise, action, most.value)
    limb = JOINT_LIMB.get(action.joint)
    if kind.kind == "resisted" and limb and load.borne.get(limb, 0.0) > BEARS:
        return against(f"its {action} carries body weight, {most} at most is ordered")
    weight = sum(_kilograms(part) for part in exercise.resistance)
    if any(part.effort for part in exercise.resistance):
        return against(f"what resists its {action} is not known, {most} at most is ordered")
    if weight > most.value + ROUNDING:
        return against(f"its {action} works against {weight:.3g} kg, {most} at most is ordered")
    return FITS


def _moment_ceiling(
    load: ExerciseLoad, action: Action, most: float, moments: Sequence[Array]
) -> Verdict:
    demand = load.demands.get(str(action))
    if load.withheld is not None and (demand is None or demand.basis == "measured"):
        if demand is None:
            return against(f"the load of its {action} is not known")
        too_much = demand.peak_nm > most + ROUNDING
        return _too_much(action, demand.peak_nm, most) if too_much else FITS
    place = min((first_crossing([way - most], ROUNDING) for way in moments), default=NOWHERE)
    if place >= END:
        return FITS
    peak = max((float(way.max()) for way in moments), default=0.0)
    return Verdict(_too_much(action, peak, most).words, place)


def _too_much(action: Action, peak: float, most: float) -> Verdict:
    return against(f"its {action} asks for {peak:.3g} N·m, {most:g} Nm at most is ordered")


def _effort_ceiling(exercise: Exercise, action: Action, most: float) -> Verdict:
    """Only a resistance that is itself a share of the maximum says what effort it is."""
    efforts = [part.effort for part in exercise.resistance]
    if not efforts or None in efforts:
        return against(f"the effort of its {action} is not known")
    worst = max(effort for effort in efforts if effort is not None)
    if worst <= most + ROUNDING:
        return FITS
    return against(f"its effort is {100 * worst:g} %, {100 * most:g} % at most is ordered")


def bearing_verdict(load: ExerciseLoad, row: RestrictionRow) -> Verdict:
    """Weight through the leg, or through the limb of the row's action; over the whole movement."""
    most = row.most_bearing
    limb = JOINT_LIMB.get(row.action.joint, "leg") if row.action else "leg"
    if most is None or load.borne.get(limb, 0.0) <= most + BEARS:
        return FITS
    share = 100 * load.borne[limb]
    return against(
        f"the {limb} bears {share:.0f} % of body weight, {100 * most:g} % at most is ordered"
    )


def _kilograms(part: Resistance) -> float:
    """What resists at its most, as the weight of so many kilograms."""
    band = max(part.band.start, part.band.end) if part.band else 0.0
    newtons = (part.push or 0.0) + (part.machine.push if part.machine else 0.0) + band
    held = (part.weight or 0.0) + (part.cable.weight if part.cable else 0.0)
    return held + newtons / GRAVITY
