"""Levers of resistance: weights, bands, pushes, in settings that a clinic has."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from rungbook.filling.means import weight_for, what_holds
from rungbook.filling.setting import Setting, graded
from rungbook.model.acting import Band, Resistance
from rungbook.model.exercise import Exercise
from rungbook.model.library import Axis, Library

WEIGHT_STEPS_KG = (10.0, 5.0, 2.0, 1.0, 0.5, 0.25, 0.1)  # common practice, no source
PUSH_STEPS_N = (100.0, 50.0, 20.0, 10.0, 5.0)
MOST_OF_A_KIND = 12  # on the coarsest grid; twice as many on the next
MOST_TIMES = 3
LEAST_ADDED_KG = 10.0
HELD: frozenset[Axis] = frozenset({"demand", "bearing"})


def resistance(
    base: Exercise, other: Exercise, library: Library, harder: bool
) -> Iterator[Setting]:
    """Other sizes of the exercise's resistance, from none up to the other exercise's own.

    Where the easier exercise is to be loaded, weights up to three times its own; where it has none,
    what exercises of the same action hold.
    """
    if base.ballistic:
        return
    for number, item in enumerate(base.resistance):
        if item.weight is not None:
            most = _most(item, other, 1 if harder else MOST_TIMES)
            for fine, kilos in graded(0.0, most, _steps(WEIGHT_STEPS_KG, most)):
                if kilos != item.weight:
                    yield _sized(number, f"{kilos:g}-kg", f"with {kilos:g} kg", fine, weight=kilos)
        elif item.band is not None:
            yield from _bands(number, item.band)
        elif item.push is not None:
            for fine, force in graded(0.0, item.push, _steps(PUSH_STEPS_N, item.push)):
                yield _sized(number, f"{force:g}-n", f"against {force:g} N", fine, push=force)
        yield _without(number)
    if not base.resistance and not base.passive:
        yield from _added(base, other, library, harder)


def _most(item: Resistance, other: Exercise, times: int) -> float:
    there = [one.weight for one in other.resistance if one.weight is not None]
    return max([(item.weight or 0.0) * times, *there]) + 1e-6


def _steps(steps: tuple[float, ...], most: float) -> tuple[float, ...]:
    """The finest of the usual steps that make a dozen sizes, then those that make a few more."""
    coarsest = max(
        (number for number, step in enumerate(steps) if most <= MOST_OF_A_KIND * step), default=0
    )
    finer = steps[coarsest : coarsest + 3]
    return tuple(
        step for fine, step in enumerate(finer) if most <= MOST_OF_A_KIND * step * (1 + fine)
    )


def _bands(number: int, band: Band) -> Iterator[Setting]:
    for fine, share in graded(0.0, 1.0, (0.2, 0.1)):
        start, end = (float(round(share * force)) for force in (band.start, band.end))
        softer = Band.model_construct(start=start, end=end)
        words = f"with a band of {start:g} to {end:g} N"
        yield _sized(number, f"band-{end:g}-n", words, fine, band=softer)


def _without(number: int) -> Setting:
    def apply(exercise: Exercise) -> Mapping[str, Any]:
        return {"resistance": exercise.resistance[:number] + exercise.resistance[number + 1 :]}

    return Setting("resistance", "resistance", "no-weight", "without weight", apply, HELD)


def _sized(number: int, key: str, words: str, fine: int, **values: Any) -> Setting:
    def apply(exercise: Exercise) -> Mapping[str, Any]:
        items = list(exercise.resistance)
        items[number] = items[number].model_copy(update=values)
        return {"resistance": tuple(items)}

    return Setting("resistance", "resistance", key, words, apply, HELD, fine)


def _added(base: Exercise, other: Exercise, library: Library, harder: bool) -> Iterator[Setting]:
    """A weight where the exercise has none: where the other one, or one of its kind, has it."""
    there = next((one for one in other.resistance if one.weight is not None), None)
    if there is not None:
        item, equipment = there, what_holds(other, base)
    elif not harder and (known := weight_for(base, library)) is not None:
        item, equipment = known
    else:
        return
    most = max(item.weight or 0.0, 0.0 if there else LEAST_ADDED_KG)
    for fine, kilos in graded(0.0, most, _steps(WEIGHT_STEPS_KG, most)):
        yield _weight(item, kilos, equipment, fine)


def _weight(item: Resistance, kilos: float, equipment: tuple[str, ...], fine: int) -> Setting:
    def apply(exercise: Exercise) -> Mapping[str, Any]:
        used = tuple(dict.fromkeys((*exercise.equipment, *equipment)))
        return {"resistance": (item.model_copy(update={"weight": kilos}),), "equipment": used}

    words = f"with {kilos:g} kg"
    return Setting("resistance", "resistance", f"{kilos:g}-kg", words, apply, HELD, fine)
