"""Angles of exercises over the movement, for limits in the browser: the file `data/angles.js`."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import numpy as np

from rungbook.ladder.angles_at import angles_toward
from rungbook.load.curves import arrays_of
from rungbook.load.result import Array, ExerciseLoad
from rungbook.model.exercise import Exercise
from rungbook.model.movement import MIDLINE_JOINTS, MOVEMENTS
from rungbook.site.data.numbers import brief
from rungbook.site.pages.catalogue import Catalogue

_SIDES = ("working ", "other ")
DIGITS = 4


def angles_record(catalogue: Catalogue) -> dict[str, Any]:
    """[axis, angle] or [axis, eleven angles] of every exercise: the file `data/angles.js`.

    Rows stand in the order of `graph_record`; only limits on an angle ask for them. An axis of a
    limb that is zero throughout is left out; one that moves otherwise on the way back is there
    twice.
    """
    axes: dict[str, int] = {}
    rows = [
        [
            [axes.setdefault(name, len(axes)), *angles]
            for name, angles in angle_curves(exercise, catalogue.measured.loads.get(key))
        ]
        for key, exercise in catalogue.library.exercises.items()
    ]
    return {"axes": list(axes), "rows": rows}


def angle_curves(
    exercise: Exercise, load: ExerciseLoad | None
) -> Iterator[tuple[str, list[float | int]]]:
    """The angle about every joint axis, one where it is still, set-up included."""
    if load is None or not load.joints:
        for name, side, joint, movement in _ANGLES:
            for curve in angles_toward(exercise, None, side, joint, movement):
                yield from _told(name, curve)
        return
    seen: set[tuple[str, bytes]] = set()
    for way in load.ways:
        rows = np.round(arrays_of(way)[0], DIGITS) + 0.0
        for name, curve in zip(way, rows, strict=True):
            if (name, curve.tobytes()) not in seen:
                seen.add((name, curve.tobytes()))
                yield from _told(name, curve)


def _told(name: str, curve: Array) -> Iterator[tuple[str, list[float | int]]]:
    values = [brief(value) for value in np.round(curve, DIGITS).tolist()]
    if any(values) or name.split(" ")[0] in MIDLINE_JOINTS:
        yield name, values[:1] if len(set(values)) == 1 else values


# Of every joint axis: its name, and the side, joint and movement.
_ANGLES = [
    (f"{side}{joint} {axis}", side.strip() or "working", joint, movement)
    for joint, movements in MOVEMENTS.items()
    for movement, (axis, sign) in movements.items()
    if movement == axis and sign >= 0
    for side in (("",) if joint in MIDLINE_JOINTS else _SIDES)
]
