"""Least and greatest angles of exercises, for filters in the browser: the file `data/angles.js`."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from rungbook.ladder.restrictions import angles_toward
from rungbook.load.curves import arrays_of
from rungbook.load.result import ExerciseLoad
from rungbook.model.exercise import Exercise
from rungbook.model.movement import MIDLINE_JOINTS, MOVEMENTS
from rungbook.site.data.numbers import brief
from rungbook.site.pages.catalogue import Catalogue

_SIDES = ("working ", "other ")


def angles_record(catalogue: Catalogue) -> dict[str, Any]:
    """Least and greatest angles of every exercise: the file `data/angles.js`.

    Rows stand in the order of `graph_record`; only filters by an angle ask for them.
    """
    axes: dict[str, int] = {}
    rows = [
        [
            [axes.setdefault(name, len(axes)), low, high]
            for name, low, high in angle_extremes(exercise, catalogue.measured.loads.get(key))
        ]
        for key, exercise in catalogue.library.exercises.items()
    ]
    return {"axes": list(axes), "rows": rows}


def angle_extremes(
    exercise: Exercise, load: ExerciseLoad | None
) -> Iterator[tuple[str, float, float]]:
    """Least and greatest angle about every joint axis, set-up included."""
    if load is not None and load.joints:
        ends = _ends(load)
        found = ((name, ends.get(key)) for name, key, *_ in _ANGLES)
    else:
        found = ((name, _written_ends(exercise, *how)) for name, _, *how in _ANGLES)
    for name, both in found:
        if both is not None:
            low, high = round(both[0], 4), round(both[1], 4)
            if low or high:
                yield name, brief(low), brief(high)


# Of every angle: its name, the key of its curve, and the side, joint and movement.
_ANGLES = [
    (f"{side}{joint} {axis}", f"{side}{joint} {axis}", side.strip() or "working", joint, movement)
    for joint, movements in MOVEMENTS.items()
    for movement, (axis, sign) in movements.items()
    if movement == axis and sign >= 0
    for side in (("",) if joint in MIDLINE_JOINTS else _SIDES)
]


def _ends(load: ExerciseLoad) -> dict[str, tuple[float, float]]:
    angles, _ = arrays_of(load.joints)
    least, greatest = angles.min(axis=1).tolist(), angles.max(axis=1).tolist()
    return dict(zip(load.joints, zip(least, greatest, strict=True), strict=True))


def _written_ends(
    exercise: Exercise, side: str, joint: str, movement: str
) -> tuple[float, float] | None:
    angles = angles_toward(exercise, None, side, joint, movement)
    return None if angles is None else (float(angles.min()), float(angles.max()))
