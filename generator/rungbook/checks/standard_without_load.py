"""A ladder whose standard exercise has no load to measure its steps by.

Steps of load are scaled on the exercise usually given: a step may add a quarter of its load, or
half of what it starts from. Where that exercise is passive, where its load is not known, or where
it asks for less than 1 N·m, there is nothing to scale on: the ladder's rungs keep the order in
which they are written, and no step of load is measured.

Mend it by naming another exercise under `standard`, or say with `limits: {demand: off}` that this
ladder is not about load.

Fails:

    [exercises/arm/raise.md]
    title: Raise the arm, carried
    sides: one
    works: shoulder flexion
    movement: [{shoulder: {flexion: [0, 90]}}]
    passive: true
    progressions: [{to: alone, when: [calm for a week]}]
    [exercises/arm/alone.md]
    title: Raise the arm
    variation-of: raise
    passive: false
    [ladders/arm.md]
    title: Arm
    works: shoulder flexion
    goal: alone
    standard: raise
    entries: {high: raise}

Passes:

    [exercises/arm/raise.md]
    title: Raise the arm, carried
    sides: one
    works: shoulder flexion
    movement: [{shoulder: {flexion: [0, 90]}}]
    passive: true
    progressions: [{to: alone, when: [calm for a week]}]
    [exercises/arm/alone.md]
    title: Raise the arm
    variation-of: raise
    passive: false
    [ladders/arm.md]
    title: Arm
    works: shoulder flexion
    goal: alone
    standard: alone
    entries: {high: raise}
"""

from __future__ import annotations

from collections.abc import Iterator

from rungbook.ladder.measured import MeasuredLadder, MeasuredLibrary
from rungbook.load.result import ExerciseLoad
from rungbook.model.finding import Finding, Level
from rungbook.model.movement import Action
from rungbook.model.place import Place

name = "standard-without-load"
level: Level = "warning"


def check(measured: MeasuredLibrary) -> Iterator[Finding]:
    """One finding for each action of a ladder that cannot be measured on its standard exercise."""
    for one in measured.ladders.values():
        scale = one.ruler.scale
        for action in one.ladder.works if scale is not None else ():
            standard = one.ladder.standard_of(action)
            load = measured.loads.get(standard or "")
            if action in (scale.standards if scale else ()) or standard is None or load is None:
                continue  # it is measured, or what is missing has a finding of its own
            yield Finding(
                name,
                level,
                f"{standard} is the standard exercise for {action} and {_why(load)}: steps of "
                f"{action} are not measured on this ladder, and its rungs keep their written "
                "order. Name another under 'standard', or write 'limits: {demand: off}'.",
                _place(one, action),
                exercises=(standard,),
                ladder=one.ladder.id,
                details={"action": str(action)},
            )


def _why(load: ExerciseLoad) -> str:
    if load.withheld is not None and not load.demands:
        return f"its load is not known ({load.withheld})"
    return "asks for no load in it to measure by (under 1 N·m)"


def _place(one: MeasuredLadder, action: Action) -> Place:
    ladder = one.ladder
    if isinstance(ladder.standard, dict):
        return ladder.place("standard", str(action))
    return ladder.place("goal" if ladder.standard is None else "standard")
