"""What finder and route compute with in the browser: rules, graph, profiles, steps.

`library` holds what is said once, `graph` one row an exercise for the filters and every
progression with its size, `profiles/<n>` the profiles of all exercises of one action, and
`exercise/<id>` what is shown of one exercise. Numbers keep twelve significant figures.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from functools import cache
from typing import Any

from rungbook.body.segments import table_names
from rungbook.ladder.filters import Filters, equipment_of
from rungbook.ladder.graph import ladder_edges
from rungbook.ladder.limits import (
    AT_ONCE,
    AXES,
    EVERY_AXIS,
    FLOOR_SHARE_OF_GOAL,
    Limits,
    limits_for,
)
from rungbook.ladder.measured import MeasuredLadder, MeasuredLibrary
from rungbook.ladder.routes import days_on
from rungbook.ladder.scale import SMALLEST_STANDARD_NM
from rungbook.ladder.step import Step
from rungbook.load.person import reference_person
from rungbook.load.result import ExerciseLoad
from rungbook.model.exercise import Exercise, Progression
from rungbook.model.kind_of_work import KIND_WORDS
from rungbook.model.ladder import IRRITABILITIES
from rungbook.model.movement import MIDLINE_JOINTS, MOVEMENTS
from rungbook.site.pages.catalogue import Catalogue
from rungbook.site.pages.words import count, sentence, spaced


def short(value: float) -> float | int:
    """Twelve significant figures; whole numbers without a point."""
    if value == 0:  # most are: no text need be made of it
        return 0
    rounded = float(f"{value:.12g}")
    return int(rounded) if rounded.is_integer() and abs(rounded) < 1e15 else rounded


_EXACT = 1e6  # below it, a number of six decimals has no more than twelve figures


def brief(value: float) -> float | int:
    """As `short`, for a number that has been rounded to six decimals or fewer."""
    if -_EXACT < value < _EXACT:
        return int(value) if value == int(value) else value
    return short(value)


def _pairs(keys: Iterator[str] | set[str], titles: Mapping[str, str]) -> list[list[str]]:
    return [[key, titles.get(key) or sentence(spaced(key))] for key in sorted(keys)]


def _limits(limits: Limits) -> dict[str, Any]:
    return {
        "wide": [[axis, limit] for axis, limit in limits.wide.items()],
        "narrow": [[axis, limit] for axis, limit in limits.narrow.items()],
    }


def library_record(catalogue: Catalogue, worked: Sequence[str]) -> dict[str, Any]:
    """Rules, limits by irritability, words, ladders: the file `data/library.js`.

    `worked` are the actions whose profiles have a file, in the order of their numbers.
    """
    library = catalogue.library
    vocabulary = library.vocabulary
    exercises = library.exercises.values()
    person = reference_person(library.settings)
    return {
        "axes": [
            [
                axis,
                {
                    "kind": rule.kind,
                    "little": rule.little,
                    "group": rule.group,
                    "floor": rule.floor,
                },
            ]
            for axis, rule in AXES.items()
        ],
        "floorShare": FLOOR_SHARE_OF_GOAL,
        "actions": list(browser_actions()),
        "movements": [
            [f"{joint} {movement}", axis, sign]
            for joint, movements in MOVEMENTS.items()
            for movement, (axis, sign) in movements.items()
        ],
        "limits": _limits(limits_for(library.settings)),
        "atOnce": [[word, AT_ONCE[word]] for word in IRRITABILITIES],
        "smallestStandard": SMALLEST_STANDARD_NM,
        "everyAxis": _limits(EVERY_AXIS),
        "equipment": _pairs(
            {key for exercise in exercises for key in equipment_of(exercise)},
            {key: term.title for key, term in vocabulary.equipment.items()},
        ),
        "cautions": _pairs(
            {key for exercise in exercises for key in exercise.cautions},
            {key: term.title for key, term in vocabulary.cautions.items()},
        ),
        "restrictions": [[key, term.title] for key, term in vocabulary.restrictions.items()],
        "kindsOfWork": KIND_WORDS,
        "positions": _pairs({exercise.position for exercise in exercises}, {}),
        "worked": worked,
        "person": [person.mass_kg, person.stature_m, person.body],
        "tables": sorted(table_names()),
        "ladders": [
            _ladder(catalogue, ladder) for _, ladder in sorted(catalogue.measured.ladders.items())
        ],
    }


@cache
def _action_numbers() -> Mapping[str, int]:
    return {name: number for number, (name, _) in enumerate(browser_actions())}


def kinds_record(exercise: Exercise, load: ExerciseLoad | None) -> list[int] | None:
    """What works and how, a number each; None where nothing is known.

    Sixteen times the action's number, twice the word's, and one where the exercise names it.
    """
    if load is None or load.kinds is None:
        return None
    numbers, named = _action_numbers(), set(map(str, exercise.works))
    return [
        16 * numbers[action] + 2 * KIND_WORDS.index(kind.word) + (action in named)
        for action, kind in load.kinds.items()
        if kind.kind != "none"
    ]


def browser_actions() -> Iterator[list[Any]]:
    """[action, [joint with its side, axis, sign]]."""
    for joint, movements in MOVEMENTS.items():
        for movement, (axis, sign) in movements.items():
            own = joint if joint in MIDLINE_JOINTS else f"working {joint}"
            yield [f"{joint} {movement}", [own, axis, sign]]
            if joint not in MIDLINE_JOINTS:
                yield [f"other-{joint} {movement}", [f"other {joint}", axis, sign]]


def _ladder(catalogue: Catalogue, measured: MeasuredLadder) -> dict[str, Any]:
    ladder = measured.ladder
    return {
        "id": ladder.id,
        "title": ladder.title,
        "works": [str(action) for action in ladder.works],
        "goal": ladder.goal,
        "rungs": measured.rungs,
        "aim": _aim(measured),
        "entries": [
            [word, ladder.entries[word]] for word in IRRITABILITIES if word in ladder.entries
        ],
        "restrictions": ladder.restrictions,
        "limits": _limits(measured.ruler.limits),
        "standards": [[str(action), ladder.standard_of(action)] for action in ladder.works],
        "scale": _scale(measured),
        "prepared": list(_prepared(measured)),
        "steps": list(_ladder_steps(catalogue, measured)),
        "unmeasured": list(_unmeasured(catalogue, measured)),
    }


def _ladder_steps(catalogue: Catalogue, measured: MeasuredLadder) -> Iterator[list[float | int]]:
    """[easier, harder] as numbers into the rungs, and the size where the ladder's is its own."""
    number = {key: rung for rung, key in enumerate(measured.rungs)}
    for step in measured.steps:
        general = catalogue.measured.steps.get((step.from_id, step.to_id))
        size = short(step.size)
        own = [] if general is not None and short(general.size) == size else [size]
        yield [number[step.from_id], number[step.to_id], *own]


def _unmeasured(catalogue: Catalogue, measured: MeasuredLadder) -> Iterator[list[int]]:
    """The progressions whose step is not known, as numbers into the rungs."""
    number = {key: rung for rung, key in enumerate(measured.rungs)}
    known = {(step.from_id, step.to_id) for step in measured.steps}
    for easier, harder in ladder_edges(catalogue.measured.graph, measured.rungs):
        if (easier, harder) not in known:
            yield [number[easier], number[harder]]


def _aim(measured: MeasuredLadder) -> list[float | int] | None:
    """What floors of easier options are taken from: demand, speed and volume of the goal."""
    aim = measured.ruler.aim
    return None if aim is None else [short(aim.demand), short(aim.speed), short(aim.volume)]


def _scale(measured: MeasuredLadder) -> list[list[Any]] | None:
    """[action, N·m of its standard exercise], of those on the scale; None where it is off."""
    scale = measured.ruler.scale
    return None if scale is None else [[str(a), short(nm)] for a, nm in scale.standards.items()]


def _prepared(measured: MeasuredLadder) -> Iterator[list[Any]]:
    """By rung: [action as a number into the ladder's works, N·m] that the way to it prepares."""
    works = measured.ladder.works
    for rung in measured.rungs:
        moments = measured.prepared.get(rung, {})
        yield [[works.index(action), short(nm)] for action, nm in moments.items()]


def graph_record(catalogue: Catalogue, library: Mapping[str, Any]) -> dict[str, Any]:
    """One row an exercise, what most filters ask: the file `data/graph.js`."""
    numbers = {
        kind: {key: number for number, (key, _) in enumerate(library[kind])}
        for kind in ("equipment", "cautions", "positions", "restrictions")
    }
    exercises = catalogue.library.exercises.values()
    return {"exercises": [_feature(catalogue, exercise, numbers) for exercise in exercises]}


def edges_record(catalogue: Catalogue) -> dict[str, Any]:
    """Every progression, in columns: the file `data/edges.js`.

    `from` are exercises as numbers into the rows of `graph_record`, each less the one before it;
    `to` less `from`; `sizes` null where no step can be measured; `days` 0 where none are set.
    """
    measured = catalogue.measured
    order = {key: number for number, key in enumerate(catalogue.library.exercises)}
    steps = [measured.steps.get(edge) for edge in measured.graph.edges]
    easier = [order[one] for one, _ in measured.graph.edges]
    return {
        "from": [one - before for before, one in zip([0, *easier], easier, strict=False)],
        "to": [order[harder] - order[one] for one, harder in measured.graph.edges],
        "sizes": [None if step is None else short(step.size) for step in steps],
        "days": [short(days_on(measured, *edge) or 0) for edge in measured.graph.edges],
    }


def _feature(
    catalogue: Catalogue, exercise: Exercise, numbers: Mapping[str, Mapping[str, int]]
) -> list[Any]:
    load = catalogue.measured.loads.get(exercise.id)
    return [
        exercise.id,
        exercise.title,
        numbers["positions"][exercise.position],
        [numbers["equipment"][key] for key in sorted(equipment_of(exercise))],
        [numbers["cautions"][key] for key in exercise.cautions],
        None if load is None else short(load.bearing),
        [
            [numbers["restrictions"][key], words]
            for key, words in broken_restrictions(catalogue.measured, exercise, load)
        ],
        kinds_record(exercise, load),
    ]


def broken_restrictions(
    measured: MeasuredLibrary, exercise: Exercise, load: ExerciseLoad | None
) -> Iterator[tuple[str, str]]:
    """Every restriction of the library that an exercise breaks, and how."""
    for key, restriction in measured.library.vocabulary.restrictions.items():
        words = Filters(restrictions=((key, restriction),)).objection(exercise, load)
        if words:
            yield key, words.removeprefix(f"breaks {key}: ")


def step_record(step: Step) -> dict[str, Any]:
    """A step as `scripts/steps.js` makes one."""
    return {
        "size": short(step.size),
        "missing": step.missing,
        "worst": step.worst,
        "risen": step.risen,
        "elsewhere": step.elsewhere,
        "axes": [
            [
                axis,
                short(one.from_value),
                short(one.to_value),
                short(one.limit),
                short(one.size),
                *([one.works] if one.works else []),
            ]
            for axis, one in step.axes.items()
            if math.isfinite(one.size)
        ],
    }


def onward_record(catalogue: Catalogue, exercise: Exercise) -> list[dict[str, Any]]:
    """The progressions of an exercise: criteria, least time, the step by each ladder's limits."""
    return [
        {
            "to": progression.to,
            "title": catalogue.library.exercises[progression.to].title,
            "when": progression.when,
            "after": _after(progression),
            "because": progression.because,
            "steps": list(_steps(catalogue, exercise.id, progression.to)),
        }
        for progression in exercise.ways
        if progression.to in catalogue.library.exercises
    ]


def _after(progression: Progression) -> str | None:
    after = progression.after
    if after is None:
        return None
    word = "session" if after.unit == "sessions" else "day"
    return (
        count(int(after.count), word)
        if after.count == int(after.count)
        else f"{after.count:g} {word}s"
    )


def _steps(catalogue: Catalogue, easier: str, harder: str) -> Iterator[list[Any]]:
    """[ladder or null, step]: by the library's limits, then by those of each ladder with both."""
    step = catalogue.measured.steps.get((easier, harder))
    if step is not None:
        yield [None, step_record(step)]
    for ladder, own in catalogue.ladder_steps.get((easier, harder), ()):
        yield [ladder, step_record(own)]
