"""The load of every exercise of a library at once."""

from __future__ import annotations

import importlib.resources
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache

import yaml

from rungbook.body.posture import Fit, Settled
from rungbook.body.segments import SegmentTable, segment_table, table_names
from rungbook.body.settle import Wanted, settle
from rungbook.load.burdens import burdened
from rungbook.load.exercise_load import Case, exercise_load, no_load
from rungbook.load.forces import Forces, forces_of
from rungbook.load.furniture import at_statures, fits_of, other_statures
from rungbook.load.misplacing import misplaced
from rungbook.load.person import Person, reference_person
from rungbook.load.posture import Setup, set_up
from rungbook.load.result import ExerciseLoad, Fault
from rungbook.load.way_load import Person as Reference
from rungbook.load.way_load import WayLoad, way_loads
from rungbook.load.ways_out import with_ways_out
from rungbook.model.exercise import Exercise
from rungbook.model.library import Library
from rungbook.model.movement import Action
from rungbook.model.variation import NAMED, NOT_TAKEN_OVER
from rungbook.reading.balance import balance_tasks


def compute_loads(
    exercises: Iterable[Exercise],
    library: Library,
    person: Person | None = None,
    capacities: Mapping[Action, float] | None = None,
    numbers_only: bool = False,
    explained: bool = True,
) -> dict[str, ExerciseLoad]:
    """Computes the load of exercises for one person, in arrays for all of them.

    Postures settle for the library's reference person; another person changes forces only, but
    where furniture stands (`furniture`).

    Args:
        person: the reference person by default.
        capacities: measured maxima in N·m, by action.
        numbers_only: for who draws nothing and asks for no other person: loads without skeleton
            and coefficients, which take most of the memory and a third of the time.
        explained: what would help is tried where a posture cannot be reached, and, unless only
            numbers are wanted, demands say how sure they are.

    Returns:
        loads by exercise id. Faults of an exercise are in its load; nothing is raised for one.
    """
    reference = reference_person(library.settings)
    chosen = person or reference
    others = () if numbers_only else table_names()
    tables = [segment_table(name) for name in dict.fromkeys((reference.body, chosen.body, *others))]
    wanted = list(exercises)
    alike = list(_alike(wanted))
    prepared = [_prepare(some[0], reference) for some in alike]
    spans = explained and not numbers_only
    masses = not numbers_only or chosen.mass_kg != reference.mass_kg
    tasks = balance_tasks(library.settings)
    case = Case(chosen, capacities or {}, library.vocabulary, groups(), numbers_only, spans, tasks)
    statures = spans or chosen.stature_m != reference.stature_m
    solved = _with_ways(prepared, tables, reference, masses, explained, spans, statures)
    found = {
        exercise.id: exercise_load(exercise, ways, item.faults, case)
        if ways
        else no_load(exercise, chosen, item.faults, groups())
        for some, (item, ways) in zip(alike, solved, strict=True)
        for exercise in some
    }
    return {exercise.id: found[exercise.id] for exercise in wanted}


def traced(
    exercises: Iterable[Exercise], library: Library, person: Person | None = None
) -> dict[str, list[WayLoad]]:
    """The ways of exercises, solved for one person alone, for `trace`.

    With furniture they are settled at that very stature, not read between others.
    """
    reference = reference_person(library.settings)
    chosen = person or reference
    prepared = [_prepare(exercise, reference) for exercise in exercises]
    other = () if chosen.stature_m == reference.stature_m else (chosen.stature_m,)
    placed = _settled(prepared, reference.body, other, reference.stature_m)
    settled = [(setup, each[-1], forces) for setup, each, forces in placed]
    solved = way_loads(
        settled, [segment_table(chosen.body)], Reference(chosen.mass_kg, reference.stature_m), False
    )
    return {item.exercise.id: [next(solved) for _ in item.ways] for item in prepared}


# What changes no posture and no force, of what variations change.
BESIDE_THE_POSTURE = frozenset({"dose", *NAMED, *NOT_TAKEN_OVER})


@cache
def groups() -> dict[str, str]:
    """Muscle groups in words, by action."""
    text = importlib.resources.files("rungbook.load").joinpath("groups.yml").read_text("utf-8")
    return dict(yaml.load(text, yaml.CSafeLoader))


def _alike(exercises: Iterable[Exercise]) -> Iterable[list[Exercise]]:
    """Exercises by what they ask of the body at each moment: variations of a dose are one.

    Variations share what they do not change, so that it is enough to look for the same objects.
    """
    found: dict[tuple[int, ...], list[Exercise]] = {}
    for one in exercises:
        key = tuple(id(value) for name, value in one if name not in BESIDE_THE_POSTURE)
        found.setdefault(key, []).append(one)
    return found.values()


@dataclass(frozen=True)
class _Prepared:
    exercise: Exercise
    ways: list[tuple[Setup, Forces]]
    faults: list[Fault]


def _prepare(exercise: Exercise, reference: Person) -> _Prepared:
    setups, faults = set_up(exercise, reference.stature_m)
    ways = []
    for setup in setups:
        forces = forces_of(setup, reference.stature_m)
        ways.append((burdened(setup, forces, reference.mass_kg), forces))
        faults = faults + [fault for fault in forces.faults if fault not in faults]
    return _Prepared(exercise, ways, faults)


def _with_ways(
    prepared: list[_Prepared],
    tables: list[SegmentTable],
    reference: Person,
    masses: bool,
    explained: bool,
    spans: bool,
    statures: bool,
) -> Iterator[tuple[_Prepared, list[WayLoad]]]:
    others = other_statures(reference.stature_m) if statures else ()
    placed = _settled(prepared, tables[0].name, others, reference.stature_m)
    ways = [(setup, settled[0], acting) for setup, settled, acting in placed]
    if explained:
        setups, bodies = [setup for setup, _, _ in ways], [body for _, body, _ in ways]
        told = with_ways_out(setups, bodies, Fit(tables[0].name), reference.stature_m)
        ways = [(setup, one, acting) for setup, (_, one, acting) in zip(told, ways, strict=True)]
    who = Reference(reference.mass_kg, reference.stature_m)
    solved = list(way_loads(ways, tables, who, masses, spans))
    at_others = iter(at_statures(placed, tables, who))
    for way, moved in zip(solved, misplaced(solved, tables[0], who) if spans else (), strict=False):
        way.misplaced = moved
    each = iter(solved)
    for item in prepared:
        own = [next(each) for _ in item.ways]
        for way in own:
            way.at_statures = next(at_others)
        yield item, own


def _settled(
    prepared: list[_Prepared], table: str, others: Sequence[float], reference_m: float
) -> list[tuple[Setup, tuple[Settled, ...], Forces]]:
    """All ways in their settled postures: the reference person's, then those of `others`."""
    flat = [way for item in prepared for way in item.ways]
    settled = settle(
        [
            Wanted(setup.posture, fits_of(setup.posture, table, others, reference_m))
            for setup, _ in flat
        ]
    )
    return [(setup, each, forces) for (setup, forces), each in zip(flat, settled, strict=True)]
