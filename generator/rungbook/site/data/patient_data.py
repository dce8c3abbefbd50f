"""What rescales an exercise's load for the patient in the room, as the scripts read it.

Numbers are the engine's own coefficients (`rungbook.load.scaling`), for the actions that the
exercise, its neighbours and its ladders name: M = a·m·H + b·H, where that changes with body
mass, what is added at a phase between two masses, and where furniture stands, the same for people
of other statures.
"""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from rungbook.load.demand import row_of
from rungbook.load.dose import Tempo
from rungbook.load.result import STOPS, ExerciseLoad
from rungbook.load.scaling import JOINT_NAMES, WayCoefficients
from rungbook.model.digits import plain
from rungbook.model.exercise import Exercise
from rungbook.model.movement import Action
from rungbook.site.data.numbers import short
from rungbook.site.pages.catalogue import Catalogue

Array = NDArray[np.float64]
Rows = list[list[Any]]  # [table, rows]
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


@dataclass(frozen=True)
class RoundedWay:
    """One way's coefficients as the browser gets them: lists of rows, 0 for a row of zeros."""

    name: str
    way: WayCoefficients
    a: Rows
    b: Rows
    c: Rows
    angles: list[Any]
    ends: list[Any]  # of the angles, of every row
    others: tuple[tuple[float, RoundedWay | None], ...]  # of other statures, where furniture stands


def rounded_ways(load: ExerciseLoad) -> tuple[RoundedWay, ...]:
    """The coefficients of an exercise, rounded once for all that is told of them."""
    ways = [(k, c) for k, c in load.coefficients.items() if isinstance(c, WayCoefficients)]
    return tuple(_rounded(name, way) for name, way in ways)


def _rounded(name: str, way: WayCoefficients) -> RoundedWay:
    arrays = [*way.a.values(), *way.b.values(), *way.c.values(), way.angles]
    rows = iter(_rows(np.stack(arrays)))
    joints = len(way.angles)

    def taken() -> list[Any]:
        return list(itertools.islice(rows, joints))

    a, b, c = ([[table, taken()] for table in part] for part in (way.a, way.b, way.c))
    angles = taken()
    ends = [[row[0], row[-1]] if row else [0, 0] for row in angles]
    others = tuple(
        (stature, None if other is None else _rounded(name, other))
        for stature, other in way.statures
    )
    return RoundedWay(name, way, a, b, c, angles, ends, others)


def scaling_record(
    exercise: Exercise,
    load: ExerciseLoad,
    actions: Iterable[Action],
    ways: Sequence[RoundedWay] | None = None,
) -> dict[str, Any] | None:
    """Coefficients, tempo and published figures of one exercise; None without posture or load."""
    ways = rounded_ways(load) if ways is None else ways
    tempo = load.coefficients.get("tempo")
    if not ways or not isinstance(tempo, Tempo) or exercise.numberless:
        return None
    wanted = tuple(actions)
    return {
        "works": [str(action) for action in exercise.works],
        "actions": [[str(action), action.sign] for action in wanted],
        "ways": [_way(one, wanted) for one in ways],
        "tempo": _tempo(tempo),
        "measured": [
            [str(action), short(figure.value.value), figure.value.per_mass]
            for figure in exercise.figures
            for action in figure.works
        ],
        "passive": exercise.passive,
        "stopped": _stopped(exercise, load),
        "moves": bool(load.peak_speed_deg_s),
    }


def joints_record(
    load: ExerciseLoad, ways: Sequence[RoundedWay] | None = None
) -> dict[str, Any] | None:
    """Coefficients of every joint axis that carries something for somebody, ends of its angle."""
    ways = rounded_ways(load) if ways is None else ways
    most = [_most(one.way) for one in ways]
    most += [_most(other) for one in ways for _, other in one.way.statures if other]
    rows = [
        row
        for row, name in enumerate(JOINT_NAMES)
        if name in load.joints and any(one[row] >= SHOWN_NM for one in most)
    ]
    if not rows:
        return None
    return {
        "names": [JOINT_NAMES[row] for row in rows],
        "ways": [_joints(one, rows) for one in ways],
    }


def _joints(one: RoundedWay, rows: Sequence[int]) -> dict[str, Any]:
    return {
        "way": one.name,
        "a": _some(one.a, rows),
        "b": _some(one.b, rows),
        "ends": [one.ends[row] for row in rows],
        **_changes(one.way, rows, with_borne=False),
        **_statures(one, lambda other: _joints(other, rows)),
    }


def _statures(one: RoundedWay, told: Callable[[RoundedWay], dict[str, Any]]) -> dict[str, Any]:
    """The same for people of other statures, null for those whom the furniture does not fit."""
    if not one.others:
        return {}
    others = [[stature, told(other) if other else None] for stature, other in one.others]
    return {"stature": one.way.stature_m, "statures": others}


def _most(way: WayCoefficients) -> list[float]:
    """More than anybody's moment about each joint axis, N·m."""
    mass, stature = LARGEST
    per_mass = np.abs(np.stack(list(way.a.values()))).max(axis=(0, 2))
    fixed = np.abs(np.stack(list(way.b.values()))).max(axis=(0, 2))
    for change in (one for changes in way.changes.values() for one in changes):
        per_mass = per_mass + np.abs(change.a)
        fixed = fixed + np.abs(change.b)
    found: list[float] = (per_mass * mass * stature + fixed * stature).tolist()
    return found


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


def _way(one: RoundedWay, actions: tuple[Action, ...]) -> dict[str, Any]:
    rows, way = [row_of(action) for action in actions], one.way
    blocks = list(_blocks([*way.borne.values(), *way.fixed_borne.values()]))
    borne, fixed_borne = blocks[: len(way.borne)], blocks[len(way.borne) :]
    return {
        "way": one.name,
        "a": _some(one.a, rows),
        "b": _some(one.b, rows),
        "c": _some(one.c, rows),
        "angles": [one.angles[row] for row in rows],
        "borne": [[table, found] for table, found in zip(way.borne, borne, strict=True)],
        "fixedBorne": [[t, found] for t, found in zip(way.fixed_borne, fixed_borne, strict=True)],
        "effort": way.effort,
        **_changes(way, rows, with_borne=True),
        **_statures(one, lambda other: _way(other, actions)),
    }


def _changes(way: WayCoefficients, rows: Sequence[int], with_borne: bool) -> dict[str, Any]:
    """By table [phase, from kg, to kg, a of each row, b of each row, weight borne and its fixed
    part], where there are any."""
    found: Rows = []
    for table, changes in way.changes.items():
        some = []
        for one in changes:
            parts = [one.a[list(rows)], one.b[list(rows)]]
            parts += [one.borne, one.fixed_borne] if with_borne else []
            if any(part.any() for part in parts):
                lists = [plain(part) for part in parts]
                some.append([one.phase, one.lightest_kg, one.heaviest_kg, *lists])
        if some:
            found.append([table, some])
    return {"changes": found} if found else {}


def _some(tables: Rows, rows: Sequence[int]) -> Rows:
    return [[table, [found[row] for row in rows]] for table, found in tables]


def _blocks(arrays: Sequence[Array]) -> Iterator[list[Any]]:
    """The rows of arrays of one shape, array by array."""
    rows = _rows(np.stack(arrays))
    size = len(arrays[0])
    return (rows[at : at + size] for at in range(0, len(rows), size))


def _rows(arrays: Array) -> list[Any]:
    """Rows of eleven numbers, of all arrays (n, rows, 11); 0 stands for a row of zeros."""
    width = arrays.shape[-1]
    rows = arrays.reshape(-1, width)
    any_in = np.asarray(rows.any(axis=1))
    flat = plain(rows[any_in])
    full = iter([flat[at : at + width] for at in range(0, len(flat), width)])
    return [next(full) if something else 0 for something in any_in.tolist()]
