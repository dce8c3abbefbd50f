"""Levers of resistance: weights, bands, pushes, in settings that a clinic has."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from typing import Any

from rungbook.filling.setting import Setting, grid
from rungbook.model.exercise import Band, Exercise, Resistance
from rungbook.model.library import Library

WEIGHT_STEPS_KG = (0.5, 0.25, 0.1)
MOST_WEIGHTS = 12
MOST_TIMES = 3
RUCKSACKS_KG = ((0, 5.0), (0, 10.0), (0, 15.0), (0, 20.0), (1, 2.5), (1, 7.5), (1, 12.5), (1, 30.0))
UPRIGHT = frozenset({"standing", "split-stance", "single-leg-standing", "sitting"})
PUSH_STEPS_N = (10.0, 5.0)


def resistance(
    base: Exercise, other: Exercise, library: Library, harder: bool, free: bool
) -> Iterator[Setting]:
    """Other sizes of every resistance of the exercise, up to the other exercise's own.

    Where the easier exercise is to be loaded, weights up to three times its own; where it has none
    and bears weight, a rucksack.
    """
    for number, item in enumerate(base.resistance):
        if item.weight is not None:
            most = _most_weight(item.weight * (1 if harder else MOST_TIMES), other)
            yield from _weights(number, item.weight, most)
        elif item.band is not None:
            yield from _bands(number, item.band)
        elif item.push is not None:
            yield from _pushes(number, item.push)
    if not base.resistance:
        for item in other.resistance:
            if item.weight is not None:
                yield from _added(item)
        if not harder and not free and base.position in UPRIGHT and not base.passive:
            yield from _rucksacks(library)


def _rucksacks(library: Library) -> Iterator[Setting]:
    """A weight on the back, for an easier exercise that has nothing to make heavier."""
    equipment = ("rucksack",) if "rucksack" in library.vocabulary.equipment else ()

    def setting(kilos: float, level: int) -> Setting:
        def apply(exercise: Exercise) -> Mapping[str, Any]:
            weight = Resistance(at="upper-back").model_copy(update={"weight": kilos})
            used = tuple(dict.fromkeys((*exercise.equipment, *equipment)))
            return {"resistance": (weight,), "equipment": used}

        words = f"with {kilos:g} kg in a rucksack"
        key = f"rucksack-{kilos:g}-kg"
        return Setting("resistance", "resistance-0", key, words, level, apply)

    yield from (setting(kilos, level) for level, kilos in RUCKSACKS_KG)


def _most_weight(weight: float, other: Exercise) -> float:
    return max([weight, *(item.weight for item in other.resistance if item.weight is not None)])


def _weights(number: int, weight: float, most: float) -> Iterator[Setting]:
    yield _without(number)
    seen: set[float] = set()
    for level, step in enumerate(WEIGHT_STEPS_KG):
        # Heavy loads in coarser steps: whole multiples of the plate, a dozen at most.
        step *= max(1, math.ceil(most / (step * MOST_WEIGHTS * (1 + level))))
        for kilos in grid(0.0, most + step / 2, step):
            if kilos not in seen and abs(kilos - weight) > 1e-9 and kilos <= most + 1e-9:
                seen.add(kilos)
                yield _changed(number, f"{kilos:g}-kg", f"with {kilos:g} kg", level, weight=kilos)


def _bands(number: int, band: Band) -> Iterator[Setting]:
    yield _without(number)
    for level, step in ((0, 0.2), (1, 0.1)):
        for share in grid(0.0, 1.0, step):
            if level and not round(share / 0.2, 6) % 1:
                continue
            start, end = (float(round(share * force)) for force in (band.start, band.end))
            softer = Band.model_construct(start=start, end=end)
            words = f"with a band of {start:g} to {end:g} N"
            yield _changed(number, f"band-{end:g}-n", words, level, band=softer)


def _pushes(number: int, push: float) -> Iterator[Setting]:
    yield _without(number)
    for level, step in enumerate(PUSH_STEPS_N):
        step *= max(1, math.ceil(push / (step * MOST_WEIGHTS)))
        for force in grid(0.0, push, step):
            yield _changed(number, f"{force:g}-n", f"against {force:g} N", level, push=force)


def _without(number: int) -> Setting:
    def apply(exercise: Exercise) -> Mapping[str, Any]:
        return {"resistance": _replaced(exercise, number, None)}

    return Setting(
        "resistance", f"resistance-{number}", "no-weight", "without the resistance", 0, apply
    )


def _changed(number: int, key: str, words: str, level: int, **values: Any) -> Setting:
    def apply(exercise: Exercise) -> Mapping[str, Any]:
        lighter = exercise.resistance[number].model_copy(update=values)
        return {"resistance": _replaced(exercise, number, lighter)}

    return Setting("resistance", f"resistance-{number}", key, words, level, apply)


def _replaced(exercise: Exercise, number: int, item: Resistance | None) -> tuple[Resistance, ...]:
    items: list[Resistance | None] = list(exercise.resistance)
    items[number] = item
    return tuple(one for one in items if one is not None)


def _added(item: Resistance) -> Iterator[Setting]:
    """A lighter weight where the other exercise holds one."""
    most = item.weight or 0.0

    def setting(kilos: float, level: int) -> Setting:
        def apply(exercise: Exercise) -> Mapping[str, Any]:
            return {"resistance": (item.model_copy(update={"weight": kilos}),)}

        words = f"with {kilos:g} kg"
        return Setting("resistance", "resistance-0", f"{kilos:g}-kg", words, level, apply)

    for level, step in enumerate(WEIGHT_STEPS_KG):
        step *= max(1, math.ceil(most / (step * MOST_WEIGHTS)))
        yield from (setting(kilos, level) for kilos in grid(0.0, most, step))
