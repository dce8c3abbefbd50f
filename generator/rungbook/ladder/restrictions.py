"""Limits on posture and on weight borne that a surgeon or a protocol orders, judged on a load.

Postures are the settled ones, set-up included: every phase counts. What holds for a joint holds
for both sides, since the ordered side may stand as well as work.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

import numpy as np

from rungbook.load.result import PHASES, Array, ExerciseLoad
from rungbook.model.exercise import Exercise
from rungbook.model.library import Restriction
from rungbook.model.movement import MOVEMENTS, split_side
from rungbook.model.quantity import AngleLimit

Never = Mapping[str, Mapping[str, AngleLimit]]
SETTLING = 0.5  # degrees: what settling gives way is no breach
BEARING_TOLERANCE = 0.005


@dataclass(frozen=True, slots=True)
class Breach:
    """How far a limit is passed: `hip flexion` 95°, where over 90 is forbidden."""

    what: str
    value: float
    limit: str


def breaches(
    exercise: Exercise, load: ExerciseLoad | None, restriction: Restriction
) -> tuple[Breach, ...]:
    """Every limit of a restriction that an exercise passes."""
    found = [b for never in restriction.never for b in _passed(exercise, load, never)]
    most = ordered_bearing(restriction)
    if load is not None and most is not None and load.bearing > most + BEARING_TOLERANCE:
        found.append(Breach("weight borne", load.bearing, f"over {100 * most:g} %"))
    return tuple(found)


def ordered_bearing(restriction: Restriction) -> float | None:
    """The share of body weight that is allowed, where the restriction gives a number."""
    found = re.search(r"(\d+(?:\.\d+)?)\s*%", restriction.bearing or "")
    return float(found[1]) / 100 if found else None


def passes(exercise: Exercise, load: ExerciseLoad | None, never: Never) -> Breach | None:
    """The first limit of one entry of `never` that is passed; all of an entry must be at once."""
    return next(_passed(exercise, load, never), None)


def _passed(exercise: Exercise, load: ExerciseLoad | None, never: Never) -> Iterator[Breach]:
    limits = [
        (joint, movement, limit)
        for joint, movements in never.items()
        for movement, limit in movements.items()
    ]
    for side in ("working", "other"):
        all_past = np.ones(PHASES, dtype=bool)
        worst: list[Breach] = []
        for joint, movement, limit in limits:
            angles = angles_toward(exercise, load, side, joint, movement)
            if angles is None:
                all_past[:] = False
                break
            over = limit.relation == "over"
            past = angles > limit.degrees + SETTLING if over else angles < limit.degrees - SETTLING
            all_past &= past
            farthest = float(angles.max() if over else angles.min())
            worst.append(Breach(f"{joint} {movement}", farthest, str(limit)))
        if limits and all_past.any():
            yield worst[0]
            return


def angles_toward(
    exercise: Exercise, load: ExerciseLoad | None, side: str, joint: str, movement: str
) -> Array | None:
    """The angle toward a movement at every phase, degrees; as written where nothing settled.

    `side` is `working` or `other`. None where neither load nor exercise has the joint.
    """
    name, _ = split_side(joint)
    axis, sign = MOVEMENTS[name][movement]
    if load is not None and load.joints:
        keys = (f"{side} {name} {axis}", f"{name} {axis}")
        curve = next((load.joints[key] for key in keys if key in load.joints), None)
        return None if curve is None else sign * curve.angle_deg
    return _written(exercise, side, name, axis, sign)


def _written(exercise: Exercise, side: str, joint: str, axis: str, sign: int) -> Array | None:
    names = [joint] if side == "working" or exercise.sides == "both" else [f"other-{joint}"]
    for name in names:
        for item in exercise.movement:
            for movement, (start, end) in item.get(name, {}).items():
                found = MOVEMENTS[joint].get(movement)
                if found and found[0] == axis:
                    return sign * found[1] * np.linspace(start, end, PHASES)
        for movement, angle in exercise.posture.get(name, {}).items():
            found = MOVEMENTS[joint].get(movement)
            if found and found[0] == axis:
                return np.full(PHASES, sign * found[1] * angle)
    return None


def restrictions_on(
    ids: Iterable[str], known: Mapping[str, Restriction]
) -> tuple[tuple[str, Restriction], ...]:
    """The known restrictions among some keys, each once, in their order."""
    return tuple((key, known[key]) for key in dict.fromkeys(ids) if key in known)
