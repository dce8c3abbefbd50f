"""Patient words that state a number which the exercise has already.

"Stay for 30 seconds" beside a hold of 45 s, "hold the 5 kg bottle" beside a weight of 4 kg: a
patient does what the words say. A number stands once, in the dose, the resistance or a contact's
height, and the words name it: {{sets}}, {{reps}}, {{hold}}, {{duration}}, {{up}}, {{pause}},
{{down}}, {{rest}}, {{weight}}, {{height}} (of the seat or step), {{arc}}. They are written out with
their unit, and what is changed for one patient changes the words too.

Mend it by the name in place of the number. A name that there is no number for is a finding as
well: the sentence would be left out.

Fails:

    [exercises/leg/stretch.md]
    title: Calf stretch
    dose: {sets: 3, hold: 45 s, sessions: 1 per day}
    ---
    ## For the patient
    Lean on the wall. Stay for 30 seconds.

Passes:

    [exercises/leg/stretch.md]
    title: Calf stretch
    dose: {sets: 3, hold: 45 s, sessions: 1 per day}
    ---
    ## For the patient
    Lean on the wall. Stay for {{hold}}.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from rungbook.ladder.measured import MeasuredLibrary
from rungbook.model.exercise import Exercise
from rungbook.model.finding import Finding, Level
from rungbook.model.set_up import NAMES, TIMES, names_in, owned

name = "number-in-words"
level: Level = "warning"

_HEADING = "for the patient"
# Numbers as people write them, in the languages that sheets are printed in.
_NUMBER = (
    r"(?:\d+(?:[.,]\d+)?|half(?: an?)?|one|two|three|four|five|six|seven|eight|nine|ten|twelve|"
    r"fifteen|twenty|thirty|forty|forty-five|sixty|ninety|"
    r"eine?[nmr]?|zwei|drei|vier|fünf|sechs|sieben|acht|neun|zehn|zwölf|fünfzehn|zwanzig|"
    r"dreißig|vierzig|sechzig|halbe[nrs]?)"
)
_UNITS: tuple[tuple[tuple[str, ...], str], ...] = (
    (TIMES, r"seconds?|minutes?|Sekunden?|Minuten?"),
    (("sets", "reps"), r"sets?|times|repetitions?|reps|Durchg[aä]nge?|Wiederholung(?:en)?|mal"),
    (("weight",), r"kg|kilo(?:gram|gramm)?s?|lit(?:re|er)s?"),
    (("height",), r"cm|centimet(?:re|er)s?|Zentimetern?"),
)
_COUNT = rf"(?:count(?:ing)? to|zählen[^.]*?bis) {_NUMBER}\b"


def check(measured: MeasuredLibrary) -> Iterator[Finding]:
    """One finding for each section of patient words with a number of its own."""
    for exercise in measured.library.exercises.values():
        has = owned(exercise)
        for heading, text in exercise.text.items():
            if not heading.casefold().startswith(_HEADING) or _is_taken_over(exercise, heading):
                continue
            for message in (*_stated(text, has), *_unknown(text, has)):
                place = exercise.place("text", heading)
                yield Finding(name, level, message, place, exercises=(exercise.id,))


def _is_taken_over(exercise: Exercise, heading: str) -> bool:
    """Whether another exercise's file holds the words: they are told there."""
    return exercise.place("text", heading).file != exercise.file


def _stated(text: str, has: frozenset[str]) -> Iterator[str]:
    for owners, units in _UNITS:
        own = [one for one in owners if one in has]
        pattern = rf"\b{_NUMBER}[\s-]+(?:{units})\b"
        if owners is TIMES:
            pattern += f"|{_COUNT}"
        found = re.search(pattern, text, re.IGNORECASE) if own else None
        if found:
            names = " or ".join("{{" + one + "}}" for one in own)
            yield (
                f"the words for the patient say “{' '.join(found[0].split())}” themselves: "
                f"write {names}, so that they follow the number"
            )


def _unknown(text: str, has: frozenset[str]) -> Iterator[str]:
    for one in dict.fromkeys(names_in(text)):
        written = "{{" + one + "}}"
        if one not in NAMES:
            known = ", ".join(NAMES)
            yield f"the words for the patient name {written}, which is no number: use {known}"
        elif one not in has:
            yield f"the words for the patient name {written}, and the exercise has no such number"
