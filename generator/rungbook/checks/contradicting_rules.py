"""Rules for after a session of which one can never have its way.

Criteria, back-off rules, the pain rule and the flare-up rules are held against the same session,
and the more cautious wins. Where an exercise sends people back from a pain at which a flare-up rule
tells them to stay, the flare-up rule never holds; where its criteria allow more pain than its own
back-off or its ladder's pain rule, nobody can meet them with it.

Only what is written in figures can be compared.

Mend it by letting the rules meet: the flare-up
rule below the pain at which the exercise steps back, the criteria below both.

Fails:

    [exercises/arm/raise.md]
    title: Raise the arm
    back-off: [{pain: above 3}]
    progressions: [{to: raise-more, when: [{pain: up to 4}]}]
    [exercises/arm/raise-more.md]
    title: Raise the arm further

Passes:

    [exercises/arm/raise.md]
    title: Raise the arm
    back-off: [{pain: above 5}]
    progressions: [{to: raise-more, when: [{pain: up to 4}]}]
    [exercises/arm/raise-more.md]
    title: Raise the arm further
"""

from __future__ import annotations

from collections.abc import Iterator

from rungbook.ladder.measured import MeasuredLibrary
from rungbook.ladder.pain import pain_rule
from rungbook.ladder.session_rules import pain_of
from rungbook.model.criterion import Criterion
from rungbook.model.exercise import Exercise
from rungbook.model.finding import Finding, Level

name = "contradicting-rules"
level: Level = "warning"


def check(measured: MeasuredLibrary) -> Iterator[Finding]:
    """One finding for each rule in figures that another one always overrules."""
    for exercise in measured.library.exercises.values():
        yield from _flare_ups(measured, exercise)
        yield from _criteria(measured, exercise)


def _back_from(exercise: Exercise) -> tuple[int, float] | None:
    """Place and pain of the back-off that steps back earliest, whatever else holds."""
    found = [
        (one.pain.value, number)
        for number, one in enumerate(exercise.back_off)
        if one.pain is not None and one.pain.relation == "above" and _alone(one)
    ]
    return (min(found)[1], min(found)[0]) if found else None


def _alone(one: Criterion) -> bool:
    return one.model_fields_set == {"pain"}


def _flare_ups(measured: MeasuredLibrary, exercise: Exercise) -> Iterator[Finding]:
    back = _back_from(exercise)
    for rule in measured.library.settings.flare_up:
        worse = pain_of(rule.worse_than)
        if back is None or rule.back != "same rung" or worse is None or worse < back[1]:
            continue
        yield Finding(
            name,
            level,
            f"{exercise.id} steps back from pain above {back[1]:g} of 10, and the flare-up rule "
            f"'{rule.lasts}' stays on the same rung from {worse:g} on: that rule can never hold. "
            "Let it begin lower, or let the back-off say for how long the pain lasts.",
            exercise.place("back-off", back[0]),
            exercises=(exercise.id,),
            details={"back_off": back[1], "flare_up": worse},
        )


def _criteria(measured: MeasuredLibrary, exercise: Exercise) -> Iterator[Finding]:
    back, rule = _back_from(exercise), pain_rule(measured, exercise.id)
    for number, progression in enumerate(exercise.progressions):
        for index, one in enumerate(progression.when):
            allowed = one.pain.value if one.pain and one.pain.relation == "up to" else None
            if allowed is None:
                continue
            over = ""
            if back is not None and allowed > back[1]:
                over = f"the exercise steps back from pain above {back[1]:g}"
            elif rule is not None and rule.during is not None and allowed > rule.during:
                over = f"the pain rule allows {rule.during:g} of 10"
            if over:
                yield Finding(
                    name,
                    level,
                    f"the criteria for {progression.to} allow pain up to {allowed:g} of 10, and "
                    f"{over}: nobody steps on with it. Write the lower of the two.",
                    exercise.place("progressions", number, "when", index),
                    exercises=(exercise.id, progression.to),
                    edge=(exercise.id, progression.to),
                )
