"""A ladder whose exercises are described less fully than a report of exercise should be.

The consensus on exercise reporting (CERT: Slade and others, British Journal of Sports Medicine
2016, 50:1428) asks for 19 things, so that others can repeat a programme. A library can hold seven
of them, the others belong to the plan of one patient or one clinic. The finding says which of the
seven are missing where, and the score out of 19.

Mend it by filling what is named: the text of the exercise, its whole dose, the criteria.

Fails:

    [exercises/leg/squat.md]
    title: Squat
    [ladders/leg.md]
    title: Leg loading
    goal: squat
    entries: {high: squat}

Passes:

    [exercises/leg/squat.md]
    title: Squat
    dose: {sets: 3, reps: 12, up: 2 s, down: 3 s, rest: 60 s, sessions: 3 per week}
    back-off: [pain above 5 of 10]
    ---
    ## Set up
    Stand with the feet as wide as the hips.
    ## Do
    Bend the knees, then stand up again.
    ## For the patient
    Bend your knees as if to sit down.
    [ladders/leg.md]
    title: Leg loading
    goal: squat
    goal-met: [3 sets of 15]
    entries: {high: squat}
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from rungbook.ladder.measured import MeasuredLadder, MeasuredLibrary
from rungbook.model.exercise import Exercise
from rungbook.model.finding import Finding, Level
from rungbook.model.ladder import Ladder

name = "incomplete-report"
level: Level = "note"

MOST_NAMED = 3  # rungs of one slot in a message; the details have all


@dataclass(frozen=True, slots=True)
class Slot:
    """One thing that CERT asks for, in our words; `test` where a library can hold it."""

    id: str
    asks: str
    test: Callable[[Exercise, Ladder], bool] | None = None


def _has_text(exercise: Exercise, *headings: str) -> bool:
    written = {heading.casefold() for heading, text in exercise.text.items() if text.strip()}
    return all(heading in written for heading in headings)


def _equipment(exercise: Exercise, ladder: Ladder) -> bool:
    """Named, or nothing in the exercise calls for any."""
    uses = (
        any(one.surface not in (None, "floor", "wall") for one in exercise.contacts)
        or any(one.weight is not None or one.band is not None for one in exercise.resistance)
        or any(
            one.by not in (None, "other-arm", "other-leg", "therapist") for one in exercise.assist
        )
    )
    return bool(exercise.equipment) or not uses


def _progress_rule(exercise: Exercise, ladder: Ladder) -> bool:
    if exercise.id == ladder.goal:
        return bool(ladder.goal_met)
    return bool(exercise.ways) and all(one.when for one in exercise.ways)


def _described(exercise: Exercise, ladder: Ladder) -> bool:
    return _has_text(exercise, "set up", "do")


def _home_part(exercise: Exercise, ladder: Ladder) -> bool:
    return _has_text(exercise, "for the patient")


def _adverse_signs(exercise: Exercise, ladder: Ladder) -> bool:
    return bool(exercise.back_off)


def _full_dose(exercise: Exercise, ladder: Ladder) -> bool:
    dose = exercise.dose
    if dose is None or dose.sets is None or dose.sessions is None:
        return False
    if dose.rest is None and dose.sets > 1:
        return False
    if dose.reps is None:
        return dose.hold is not None or dose.duration is not None
    return dose.hold is not None or (dose.up is not None and dose.down is not None)


def _starting_rule(exercise: Exercise, ladder: Ladder) -> bool:
    return bool(ladder.entries)


CERT = (
    Slot("cert.1", "equipment and its type", _equipment),
    Slot("cert.2", "who delivers it and with what training"),
    Slot("cert.3", "alone or in a group"),
    Slot("cert.4", "supervised or not, and how"),
    Slot("cert.5", "how adherence is measured"),
    Slot("cert.6", "how the patient is motivated"),
    Slot("cert.7a", "the rule that decides when to progress", _progress_rule),
    Slot("cert.7b", "how it was progressed in fact"),
    Slot("cert.8", "each exercise described so that it can be repeated", _described),
    Slot("cert.9", "the part done at home", _home_part),
    Slot("cert.10", "parts that are not exercise"),
    Slot("cert.11", "signs of harm to watch for", _adverse_signs),
    Slot("cert.12", "the setting"),
    Slot("cert.13", "the whole dose", _full_dose),
    Slot("cert.14a", "the same for all or tailored"),
    Slot("cert.14b", "how it is tailored"),
    Slot("cert.15", "the rule for where to start", _starting_rule),
    Slot("cert.16a", "how fidelity is assessed"),
    Slot("cert.16b", "how far it was delivered as planned"),
)


def unfilled(measured: MeasuredLibrary, ladder: MeasuredLadder) -> Mapping[str, tuple[str, ...]]:
    """For each slot that a library can hold, the rungs that leave it open; empty where filled."""
    exercises = [measured.library.exercises[rung] for rung in ladder.rungs]
    return {
        slot.id: tuple(one.id for one in exercises if not slot.test(one, ladder.ladder))
        for slot in CERT
        if slot.test is not None
    }


def _named(rungs: Sequence[str]) -> str:
    if len(rungs) <= MOST_NAMED + 1:
        return ", ".join(rungs)
    return f"{', '.join(rungs[:MOST_NAMED])} and {len(rungs) - MOST_NAMED} more"


def check(measured: MeasuredLibrary) -> Iterator[Finding]:
    """One finding for each ladder that leaves open what a library can fill."""
    asks = {slot.id: slot.asks for slot in CERT}
    for ladder in measured.ladders.values():
        slots = unfilled(measured, ladder)
        missing = {slot: rungs for slot, rungs in slots.items() if rungs}
        if not missing:
            continue
        score = len(slots) - len(missing)
        told = "; ".join(
            f"{slot} {asks[slot]} ({_named(rungs)})" for slot, rungs in missing.items()
        )
        yield Finding(
            name,
            level,
            f"{ladder.ladder.id} fills {score} of the {len(slots)} things a library can report "
            f"(CERT {score} of {len(CERT)}). Missing: {told}.",
            ladder.ladder.place("title"),
            exercises=tuple(dict.fromkeys(rung for rungs in missing.values() for rung in rungs)),
            ladder=ladder.ladder.id,
            details={
                "score": score,
                "of": len(CERT),
                "missing": {k: list(v) for k, v in missing.items()},
            },
        )
