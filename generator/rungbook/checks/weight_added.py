"""A weight that grows by more than a tenth at once.

Two to ten per cent are usual once a patient does one or two repetitions over the target (ACSM 2009,
healthy adults, second-hand); where the smallest weight at hand adds more, that is what there is.
Repetitions and sets grade in between.

Mend it by an exercise with a weight between, or by accepting the finding with a reason.

Fails:

    [exercises/arm/raise.md]
    title: Raise the arm with a dumbbell
    sides: one
    works: shoulder flexion
    movement: [{shoulder: {flexion: [0, 90]}}]
    resistance: [{weight: 1 kg, at: hand}]
    progressions: [{to: raise-more, when: [3 sets of 12]}]
    [exercises/arm/raise-more.md]
    title: Raise the arm with a heavier dumbbell
    variation-of: raise
    resistance: [{weight: 3 kg, at: hand}]

Passes:

    [exercises/arm/raise.md]
    title: Raise the arm with a dumbbell
    sides: one
    works: shoulder flexion
    movement: [{shoulder: {flexion: [0, 90]}}]
    resistance: [{weight: 1 kg, at: hand}]
    progressions: [{to: raise-more, when: [3 sets of 12]}]
    [exercises/arm/raise-more.md]
    title: Raise the arm with a heavier dumbbell
    variation-of: raise
    resistance: [{weight: 2 kg, at: hand}]
"""

from __future__ import annotations

from collections.abc import Iterator

import networkx as nx

from rungbook.ladder.measured import MeasuredLibrary
from rungbook.model.exercise import Exercise
from rungbook.model.finding import Finding, Level

name = "weight-added"
level: Level = "note"
MOST_SHARE = 0.1
ROUNDING = 1e-9
SAME = ("position", "posture", "movement", "contacts", "assist", "sides")


def check(measured: MeasuredLibrary) -> Iterator[Finding]:
    """One finding for each progression that only makes a weight heavier, and by too much."""
    exercises = measured.library.exercises
    at_hand = _at_hand(measured)
    for easier, harder, values in measured.graph.edges(data=True):
        least = at_hand[easier]
        one, other = exercises[easier], exercises[harder]
        before, after = _weight(one), _weight(other)
        added = after - before
        if before <= 0 or added <= max(MOST_SHARE * before, least) + ROUNDING:
            continue
        if any(getattr(one, field) != getattr(other, field) for field in SAME):
            continue
        yield Finding(
            name,
            level,
            f"from {easier} to {harder} the weight grows from {before:g} to {after:g} kg, by "
            f"{100 * added / before:.0f} % at once: two to ten per cent are usual, or the smallest "
            f"weight at hand, {least:g} kg",
            one.place("progressions", values["index"], "to"),
            exercises=(easier, harder),
            edge=(easier, harder),
            details={"from": before, "to": after, "limit": MOST_SHARE},
        )


def _at_hand(measured: MeasuredLibrary) -> dict[str, float]:
    """By exercise, the smallest weight, kg, that is used anywhere on the ways it is on."""
    found: dict[str, float] = {}
    for group in nx.weakly_connected_components(measured.graph):
        weights = (_weight(measured.library.exercises[id]) for id in group)
        least = min((weight for weight in weights if weight > 0), default=0.0)
        found |= dict.fromkeys(group, least)
    return found


def _weight(one: Exercise) -> float:
    """What is held or worn, kg."""
    return sum(each.weight for each in one.resistance if each.weight is not None)
