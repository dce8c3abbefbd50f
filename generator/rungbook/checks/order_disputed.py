"""Two exercises whose published loads stand in the other order than the computed ones.

A figure under `measured` and the engine disagree on which of two exercises is the harder one, for
the same muscles. One of the two is wrong for this exercise: the posture as written, the figure,
or statics itself (quick movements, other muscles that help).

Loads that differ by no more than is not sure of their difference (build, bracing, relative
strength) are no order.

Mend it by checking the posture and the figure against the source, or accept it with the reason.

Fails:

    [vocabulary/sources.yml]
    lab: {title: Measurements of our own}
    [exercises/arm/raise.md]
    title: Raise the arm
    sides: one
    works: shoulder flexion
    movement: [{shoulder: {flexion: [0, 90]}}]
    measured: [{works: shoulder flexion, value: 30 Nm, source: lab}]
    [exercises/arm/raise-weight.md]
    title: Raise the arm with a weight
    variation-of: raise
    resistance: [{weight: 2 kg, at: hand}]
    measured: [{works: shoulder flexion, value: 15 Nm, source: lab}]

Passes:

    [vocabulary/sources.yml]
    lab: {title: Measurements of our own}
    [exercises/arm/raise.md]
    title: Raise the arm
    sides: one
    works: shoulder flexion
    movement: [{shoulder: {flexion: [0, 90]}}]
    measured: [{works: shoulder flexion, value: 15 Nm, source: lab}]
    [exercises/arm/raise-weight.md]
    title: Raise the arm with a weight
    variation-of: raise
    resistance: [{weight: 2 kg, at: hand}]
    measured: [{works: shoulder flexion, value: 30 Nm, source: lab}]
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations

from rungbook.ladder.certainty import differ
from rungbook.ladder.measured import MeasuredLibrary
from rungbook.model.finding import Finding, Level
from rungbook.model.movement import Action

name = "order-disputed"
level: Level = "warning"
CLEARLY = 1.1  # published values nearer to each other are no order


@dataclass(frozen=True, slots=True)
class _Pair:
    id: str
    index: int
    published_nm: float
    computed_nm: float


def check(measured: MeasuredLibrary) -> Iterator[Finding]:
    """One finding for each two exercises of one source in the other order."""
    for (action, _), pairs in _figures(measured).items():
        for one, two in combinations(pairs, 2):
            lower, higher = sorted((one, two), key=lambda pair: pair.published_nm)
            published = higher.published_nm > CLEARLY * lower.published_nm
            if not published or lower.computed_nm <= higher.computed_nm:
                continue
            if not differ(measured, action, lower.id, higher.id):
                continue
            exercise = measured.library.exercises[higher.id]
            yield Finding(
                name,
                level,
                f"for {action}, {higher.id} is published as harder than {lower.id} "
                f"({higher.published_nm:.0f} against {lower.published_nm:.0f} N·m) but computed "
                f"easier ({higher.computed_nm:.0f} against {lower.computed_nm:.0f} N·m). Check "
                "both postures and figures against the source.",
                exercise.place("measured", higher.index),
                exercises=(higher.id, lower.id),
                details={"works": str(action)},
            )


def _figures(measured: MeasuredLibrary) -> dict[tuple[Action, str], list[_Pair]]:
    """Published and computed peaks, by action and source: figures of two sources are no order."""
    found: dict[tuple[Action, str], list[_Pair]] = defaultdict(list)
    for id, exercise in measured.library.exercises.items():
        load = measured.loads.get(id)
        if load is None:
            continue
        for index, figure in enumerate(exercise.figures):
            scale = load.person.mass_kg if figure.value.per_mass else 1.0
            for action in figure.works:
                demand = load.demands.get(str(action))
                if demand is not None and demand.basis == "statics":
                    pair = _Pair(id, index, figure.value.value * scale, demand.peak_nm)
                    found[action, figure.source].append(pair)
    return found
