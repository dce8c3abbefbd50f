"""Orders and cuts for the browser: what each part of a restriction says of each exercise.

The engine judges (`rungbook.ladder.restrictions`); the browser only chooses which parts are in
force in the patient's week, and how far the movement may then go.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from rungbook.ladder.crossing import END
from rungbook.ladder.filters import is_known
from rungbook.ladder.measured import MeasuredLibrary
from rungbook.ladder.order_words import order_in_words
from rungbook.ladder.profile import leading
from rungbook.ladder.restrictions import orders
from rungbook.ladder.within import hardest_kind, instead_of
from rungbook.load.capacity import leading_angle
from rungbook.load.result import ExerciseLoad
from rungbook.model.exercise import Exercise
from rungbook.model.kind_of_work import KINDS
from rungbook.model.movement import split_side
from rungbook.model.restriction import Restriction, RestrictionRow
from rungbook.site.data.numbers import brief, short
from rungbook.site.pages.catalogue import Catalogue

Array = list[float | int]
ALWAYS = -1


def restriction_record(key: str, restriction: Restriction) -> list[Any]:
    """[key, title, what it orders in words, when its parts hold: [from, to, ends]…]."""
    return [key, restriction.title, list(order_in_words(restriction)), times_of(restriction)]


def times_of(restriction: Restriction) -> list[Any]:
    """When parts of a restriction hold, each once: weeks from and to (null: open), what ends it."""
    return [list(time) for time in dict.fromkeys(map(_time, restriction.rows))]


def _time(row: RestrictionRow) -> tuple[float | None, float | None, str | None]:
    start, end = row.weeks if row.weeks is not None else (None, None)
    return start, end, row.ends


def breaks_record(
    measured: MeasuredLibrary,
    exercise: Exercise,
    load: ExerciseLoad | None,
    numbers: Mapping[str, int],
) -> Iterator[list[Any]]:
    """[restriction, time (-1: always), how far the movement may go, words] of what is broken."""
    for key, restriction in measured.library.vocabulary.restrictions.items():
        times = [tuple(time) for time in times_of(restriction)]
        for order in orders(exercise, load, restriction):
            if not order.verdict.fits:
                when = ALWAYS if order.row is None else times.index(_time(order.row))
                yield [numbers[key], when, short(order.verdict.until), order.verdict.words]


def orders_record(
    exercise: Exercise, load: ExerciseLoad | None, restrictions: Iterable[tuple[str, Restriction]]
) -> Iterator[list[Any]]:
    """[key, when it holds, how far the movement may go, words] of what an exercise breaks.

    `when` as in `times_of`, None where it always holds.
    """
    for key, restriction in restrictions:
        for one in orders(exercise, load, restriction):
            if not one.verdict.fits:
                time = None if one.row is None else list(_time(one.row))
                yield [key, time, short(one.verdict.until), one.verdict.words]


def fitting_record(exercise: Exercise, load: ExerciseLoad | None) -> dict[str, Any] | None:
    """What `scripts/within.js` lists of an exercise, and cuts it by; None without a load.

    `known`, as `rungbook.ladder.within` asks; `kind` and `carried`; `peak` N·m; where it may be
    shortened `curves` N·m, `about` several actions each, and the
    `lead`: [joint with its side, movement], with its `angles`.
    """
    if load is None:
        return None
    kind = hardest_kind(exercise, load)
    peak = max((demand.peak_nm for demand in load.demands.values()), default=None)
    record: dict[str, Any] = {
        "known": is_known(load),
        "kind": None if kind is None else [KINDS.index(kind.kind), int(kind.held)],
        "carried": None if kind is None or kind.carried is None else round(kind.carried, 4),
        "peak": None if peak is None else short(peak),
    }
    instead = instead_of(exercise, load)
    if instead is not None:
        record["instead"] = [str(instead[0]), short(instead[1])]
    lead, angle = leading(exercise), leading_angle(exercise, load)
    if lead is None or angle is None or exercise.ballistic or abs(angle[-1] - angle[0]) < 1:
        return record
    told = [
        (str(demand.works), [brief(round(value, 6)) for value in curve.tolist()])
        for demand in load.demands.values()
        if demand.basis == "statics"
        for curve in (demand.per_way.values() or [demand.curve_nm])
    ]
    joint, other = split_side(lead[0])
    named = f"other {joint}" if other else joint
    angles = [brief(round(value, 6)) for value in angle.tolist()]
    curves, about = [curve for _, curve in told], [works for works, _ in told]
    if len(set(about)) > 1:
        record["about"] = about
    return {**record, "curves": curves, "lead": [named, lead[1]], "angles": angles}


def within_record(catalogue: Catalogue) -> dict[str, Any]:
    """One row an exercise, in the order of `graph_record`: the file `data/within.js`."""
    measured = catalogue.measured
    exercises = measured.library.exercises.values()
    return {
        "end": END,
        "rows": [fitting_record(one, measured.loads.get(one.id)) for one in exercises],
        "drafts": [int(not one.may_go_on_a_sheet) for one in exercises],
    }
