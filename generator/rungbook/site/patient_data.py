"""What rescales an exercise's load for the patient in the room, as the scripts read it.

Numbers are the engine's own coefficients (`rungbook.load.scaling`), for the actions that the
exercise, its neighbours and its ladders name: M = a·m·H + b·H.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

import numpy as np
from numpy.typing import NDArray

from rungbook.load.demand import row_of
from rungbook.load.dose import Tempo
from rungbook.load.exercise_load import STOPS
from rungbook.load.result import ExerciseLoad
from rungbook.load.scaling import JOINT_NAMES, WayCoefficients
from rungbook.model.exercise import Exercise
from rungbook.model.movement import Action
from rungbook.site.answers_data import short
from rungbook.site.catalogue import Catalogue

Array = NDArray[np.float64]
LARGEST = (350.0, 2.5)  # kg and m: the greatest person the model allows
SHOWN_NM = 0.5  # a joint that carries less is left out of the table


def actions_about(catalogue: Catalogue, exercise: Exercise) -> tuple[Action, ...]:
    """The actions that some step with this exercise is measured in, its own first."""
    exercises = catalogue.library.exercises
    near = (*catalogue.easier(exercise.id), *catalogue.harder(exercise.id))
    ladders = catalogue.standings.get(exercise.id, ())
    named = [
        *exercise.works,
        *(action for other in near for action in exercises[other].works),
        *(action for standing in ladders for action in standing.ladder.ladder.works),
    ]
    return tuple(dict.fromkeys(named))


def scaling_record(
    exercise: Exercise, load: ExerciseLoad, actions: Iterable[Action]
) -> dict[str, Any] | None:
    """Coefficients, tempo and published figures of one exercise; None without a posture."""
    ways = [(k, c) for k, c in load.coefficients.items() if isinstance(c, WayCoefficients)]
    tempo = load.coefficients.get("tempo")
    if not ways or not isinstance(tempo, Tempo):
        return None
    wanted = tuple(actions)
    return {
        "works": [str(action) for action in exercise.works],
        "actions": [[str(action), action.sign] for action in wanted],
        "ways": [_way(name, way, wanted) for name, way in ways],
        "tempo": _tempo(tempo),
        "measured": [
            [str(action), short(figure.value.value), figure.value.per_mass]
            for figure in exercise.measured
            for action in figure.works
        ],
        "passive": exercise.passive,
        "stopped": _stopped(exercise, load),
        "moves": bool(load.peak_speed_deg_s),
    }


def joints_record(load: ExerciseLoad) -> dict[str, Any] | None:
    """Coefficients of every joint axis that carries something for somebody, ends of its angle."""
    ways = [(k, c) for k, c in load.coefficients.items() if isinstance(c, WayCoefficients)]
    rows = [
        row
        for row, name in enumerate(JOINT_NAMES)
        if name in load.joints and any(_most(way, row) >= SHOWN_NM for _, way in ways)
    ]
    if not rows:
        return None
    return {
        "names": [JOINT_NAMES[row] for row in rows],
        "ways": [
            {
                "way": name,
                "a": [[table, _rows(array, rows)] for table, array in way.a.items()],
                "b": _rows(way.b, rows),
                "ends": [[short(v) for v in way.angles[row, [0, -1]].tolist()] for row in rows],
            }
            for name, way in ways
        ],
    }


def _most(way: WayCoefficients, row: int) -> float:
    """More than anybody's moment about a joint axis, N·m."""
    mass, stature = LARGEST
    per_mass = max(float(np.abs(array[row]).max()) for array in way.a.values())
    return per_mass * mass * stature + float(np.abs(way.b[row]).max()) * stature


def _stopped(exercise: Exercise, load: ExerciseLoad) -> str | None:
    """Why statics gives no number for anybody."""
    if exercise.ballistic:
        return "statics does not apply to a ballistic exercise"
    return next((fault.message for fault in load.faults if fault.check in STOPS), None)


def _tempo(tempo: Tempo) -> dict[str, Any]:
    return {
        "there": tempo.there_s,
        "back": tempo.back_s,
        "pause": tempo.pause_s,
        "hold": tempo.hold_s,
        "upFirst": tempo.up_first,
        "repetitions": tempo.repetitions,
        "sessions": tempo.sessions_per_week,
        "fastest": tempo.fastest_s,
    }


def _way(name: str, way: WayCoefficients, actions: tuple[Action, ...]) -> dict[str, Any]:
    rows = [row_of(action) for action in actions]
    record: dict[str, Any] = {
        "way": name,
        "a": [[table, _rows(array, rows)] for table, array in way.a.items()],
        "b": _rows(way.b, rows),
        "c": [[table, _rows(array, rows)] for table, array in way.c.items()],
        "angles": _rows(way.angles, rows),
        "borne": [[table, _rows(array, range(3))] for table, array in way.borne.items()],
        "fixedBorne": _rows(way.fixed_borne, range(3)),
        "effort": way.effort,
    }
    falling = _may_pull(way)
    if len(falling):
        record["p"] = [[table, _rows(array, falling)] for table, array in way.pushes.items()]
        record["q"] = _rows(way.fixed_pushes, falling)
    return record


def _may_pull(way: WayCoefficients) -> list[int]:
    """Corners that pull on somebody: a light person, or one of another segment table."""
    pulling = [
        (way.fixed_pushes < 0).any(axis=1),
        *((p < 0).any(axis=1) for p in way.pushes.values()),
    ]
    return np.flatnonzero(np.any(pulling, axis=0)).tolist() if way.fixed_pushes.size else []


def _rows(array: Array, rows: Iterable[int]) -> list[Any]:
    """Rows of eleven numbers; 0 stands for a row of zeros."""
    return [
        [short(value) for value in array[row].tolist()] if np.any(array[row]) else 0 for row in rows
    ]
