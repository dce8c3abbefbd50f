"""What finder and route compute with in the browser: rules, graph, profiles, steps.

`library` holds what is said once, `graph` one row an exercise for the filters, `edges` every
progression, `moments/<n>` the load of every exercise about one action, `profiles/<n>` the profiles
of all exercises of one action, and `exercise/<id>` what is shown of one exercise. Numbers keep
nine significant figures.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from functools import cache
from typing import Any

from rungbook.body.segments import table_names
from rungbook.ladder.filters import equipment_of
from rungbook.ladder.flare_up import flare_up_rules
from rungbook.ladder.limits import (
    AT_ONCE,
    AXES,
    EVERY_AXIS,
    FLOOR_SHARE_OF_GOAL,
    limits_for,
)
from rungbook.ladder.routes import days_on
from rungbook.ladder.scale import SMALLEST_STANDARD_NM
from rungbook.ladder.step import Step
from rungbook.ladder.steps import BESIDE_THE_SIZE
from rungbook.load.person import reference_person
from rungbook.load.result import ExerciseLoad
from rungbook.model.criterion import in_words
from rungbook.model.exercise import Exercise, Progression
from rungbook.model.kind_of_work import KIND_WORDS
from rungbook.model.ladder import IRRITABILITIES
from rungbook.model.movement import MIDLINE_JOINTS, MOVEMENTS, Action
from rungbook.model.position import POSITIONS
from rungbook.model.restriction import COUNTED_IN_FLEXION
from rungbook.site.data.ladder_data import ladder_record
from rungbook.site.data.limits_data import breaks_record, restriction_record
from rungbook.site.data.numbers import brief, limits_record, short
from rungbook.site.data.profile_data import actions_of
from rungbook.site.data.strength_data import strength_record
from rungbook.site.pages.catalogue import Catalogue
from rungbook.site.pages.dose_words import dose_line
from rungbook.site.pages.references import cited
from rungbook.site.pages.words import count, sentence, spaced


def _pairs(keys: Iterator[str] | set[str], titles: Mapping[str, str]) -> list[list[str]]:
    return [[key, titles.get(key) or sentence(spaced(key))] for key in sorted(keys)]


def library_record(catalogue: Catalogue) -> dict[str, Any]:
    """Rules, limits by irritability, words, ladders: the file `data/library.js`.

    `worked` are the actions whose profiles have a file, in the order of their numbers.
    """
    library = catalogue.library
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
        "limits": limits_record(limits_for(library.settings)),
        "atOnce": [[word, AT_ONCE[word]] for word in IRRITABILITIES],
        "smallestStandard": SMALLEST_STANDARD_NM,
        "flareUp": [
            [rule.lasts, rule.do, rule.back, rule.source and cited(catalogue, rule.source)]
            for rule in flare_up_rules(catalogue.measured)
        ],
        "everyAxis": limits_record(EVERY_AXIS),
        **_words(catalogue),
        "countedInFlexion": sorted(COUNTED_IN_FLEXION),
        "strength": strength_record(),
        "kindsOfWork": KIND_WORDS,
        "worked": actions_of(catalogue),
        "person": [person.mass_kg, person.stature_m, person.body],
        "tables": sorted(table_names()),
        "ladders": [
            ladder_record(catalogue, ladder)
            for _, ladder in sorted(catalogue.measured.ladders.items())
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


def _words(catalogue: Catalogue) -> dict[str, list[list[Any]]]:
    """What filters choose from, each key with its title and more; rows name them by number."""
    vocabulary, exercises = catalogue.library.vocabulary, catalogue.library.exercises.values()
    return {
        "equipment": _pairs(
            {
                *vocabulary.equipment,
                *(key for exercise in exercises for key in equipment_of(exercise)),
            },
            {key: term.title for key, term in vocabulary.equipment.items()},
        ),
        "cautions": _pairs(
            {*vocabulary.cautions, *(key for exercise in exercises for key in exercise.cautions)},
            {key: term.title for key, term in vocabulary.cautions.items()},
        ),
        "restrictions": [
            restriction_record(key, order) for key, order in vocabulary.restrictions.items()
        ],
        "areas": [[key, catalogue.area_title(key)] for key in catalogue.areas],
        "positions": _pairs(set(POSITIONS), {}),
    }


def graph_record(catalogue: Catalogue) -> dict[str, Any]:
    """One row an exercise, what most filters ask: the file `data/graph.js`."""
    numbers = {
        kind: {pair[0]: number for number, pair in enumerate(pairs)}
        for kind, pairs in _words(catalogue).items()
    }
    exercises = catalogue.library.exercises.values()
    return {"exercises": [_feature(catalogue, exercise, numbers) for exercise in exercises]}


def edges_record(catalogue: Catalogue) -> dict[str, Any]:
    """Every progression, in columns: the file `data/edges.js`.

    `from` are exercises as numbers into the rows of `graph_record`, each less the one before it;
    `to` less `from`; `rest` is the size on every axis but demand, which is measured on the scale of
    the question, null where no step can be measured; `days` 0 where none are set.
    """
    measured = catalogue.measured
    order = {key: number for number, key in enumerate(catalogue.library.exercises)}
    steps = [measured.steps.get(edge) for edge in measured.graph.edges]
    easier = [order[one] for one, _ in measured.graph.edges]
    return {
        "from": [one - before for before, one in zip([0, *easier], easier, strict=False)],
        "to": [order[harder] - order[one] for one, harder in measured.graph.edges],
        "rest": [None if step is None else short(_beside_demand(step)) for step in steps],
        "days": [short(days_on(measured, *edge) or 0) for edge in measured.graph.edges],
    }


def _beside_demand(step: Step) -> float:
    axes = (one.size for axis, one in step.axes.items() if axis not in ("demand", *BESIDE_THE_SIZE))
    return max(axes, default=0.0)


def moments_record(catalogue: Catalogue, action: Action) -> list[float | int | None]:
    """The load of every exercise about an action, N·m, in the order of `graph_record`."""
    profiles = catalogue.measured.profiles
    known = (profiles.get(key) for key in catalogue.library.exercises)
    moments = (None if one is None else one.moment(action) for one in known)
    return [None if nm is None else brief(nm) for nm in moments]


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
        list(breaks_record(catalogue.measured, exercise, load, numbers["restrictions"])),
        kinds_record(exercise, load),
        numbers["areas"].get(exercise.area or "", -1),
        *([dose_line(exercise.dose)] if exercise.dose else []),
    ]


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
            "when": in_words(progression.when),
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
    """[ladder, step] by each ladder with both."""
    for ladder, own in catalogue.ladder_steps.get((easier, harder), ()):
        yield [ladder, step_record(own)]
