"""An exercise that goes past a limit ordered for the patients it is for.

A restriction says which kinds of work, how far, how much load and how much weight through a limb
the surgeon or the protocol allows, and in which weeks. It is judged on the settled posture, set-up
included, of every exercise that names the restriction and of every rung of a ladder that does, at
every joint whose muscles work, whatever the exercise is about. Since the library does not know the
weeks, all rows hold. An exercise whose load is not known never fits.

Mend it by a smaller angle, another position, more help or less weight on the limb, or take the
exercise off the ladder: later phases of a protocol are best written as a restriction of their own.
The order for the patient in the room always comes before this library.

Fails:

    [vocabulary/restrictions.yml]
    hip-limit: {title: Hip limit, never: [{hip: {flexion: over 90}}]}
    [exercises/leg/bend.md]
    title: Bend the hip
    sides: one
    position: supine
    works: hip flexion
    movement: [{hip: {flexion: [0, 100]}, knee: {flexion: [0, 100]}}]
    restrictions: [hip-limit]

Passes:

    [vocabulary/restrictions.yml]
    hip-limit: {title: Hip limit, never: [{hip: {flexion: over 90}}]}
    [exercises/leg/bend.md]
    title: Bend the hip
    sides: one
    position: supine
    works: hip flexion
    movement: [{hip: {flexion: [0, 80]}, knee: {flexion: [0, 80]}}]
    restrictions: [hip-limit]
"""

from __future__ import annotations

from collections.abc import Iterator

from rungbook.ladder.measured import MeasuredLibrary
from rungbook.ladder.restrictions import fits, restrictions_on
from rungbook.model.finding import Finding, Level

name = "restriction-broken"
level: Level = "error"


def check(measured: MeasuredLibrary) -> Iterator[Finding]:
    """One finding for each exercise, restriction and limit passed."""
    known = measured.library.vocabulary.restrictions
    of_ladders = _ladders_by_restriction(measured)
    for id, exercise in measured.library.exercises.items():
        ladders = of_ladders.get(id, {})
        keys = [*exercise.restrictions, *ladders]
        for key, restriction in restrictions_on(keys, known):
            for broken in fits(exercise, measured.loads.get(id), restriction):
                yield Finding(
                    name,
                    level,
                    f"{exercise.title} breaks {key}: {broken}."
                    " Change the exercise, or take it away from whom the order is for.",
                    exercise.place("restrictions" if key in exercise.restrictions else "movement"),
                    exercises=(id,),
                    ladder=ladders.get(key),
                    details={"restriction": key, "broken": broken},
                )


def _ladders_by_restriction(measured: MeasuredLibrary) -> dict[str, dict[str, str]]:
    """For each rung the restrictions of its ladders, each with the first such ladder."""
    found: dict[str, dict[str, str]] = {}
    for ladder_id, one in measured.ladders.items():
        for key in one.ladder.restrictions:
            for rung in one.rungs:
                found.setdefault(rung, {}).setdefault(key, ladder_id)
    return found
