"""What a column of a table may become: the fields of an exercise, sections of text, links."""

from __future__ import annotations

import re

from rungbook.exporting.exercise_table import COMPUTED, TEXT, is_translated, written_columns

KEEP = "keep"  # as text in the draft
LEAVE_OUT = "leave-out"  # not at all: only where a person says so
DOSE, HARDER, EASIER, WHEN = "dose", "harder", "easier", "when"
FREE = (KEEP, LEAVE_OUT, DOSE, HARDER, EASIER, WHEN)
VOCABULARY = ("equipment", "cautions", "restrictions", "sources")
LISTS = frozenset(
    {"also-called", "purpose", "works", "back-off", "formerly", "balance", *VOCABULARY}
)
STRUCTURES = frozenset(
    {
        "posture", "movement", "contacts", "assist", "resistance", "measured", "pictures",
        "progressions", "accepts",
    }
)  # fmt: skip
BOOLEANS = frozenset({"passive", "ballistic"})
TIMES = frozenset({"dose.hold", "dose.duration", "dose.up", "dose.pause", "dose.down", "dose.rest"})

# Headings that mean a field, in plain lower case without what stands in brackets.
HEADINGS: dict[str, tuple[str, ...]] = {
    "id": ("id", "key"),
    "title": ("exercise", "exercise name", "name", "title", "name of exercise", "übung",
              "bezeichnung", "exercice", "nom", "ejercicio"),
    "also-called": ("also called", "other name", "alternative name", "synonym", "aka"),
    "area": ("area", "body area", "body part", "body region", "region", "bereich",
             "körperregion"),
    "position": ("position", "start position", "starting position", "ausgangsstellung",
                 "aste", "position de départ"),
    "sides": ("side", "laterality", "seite", "côté"),
    "works": ("works", "action", "joint action"),
    "purpose": ("purpose", "aim", "goal", "ziel", "zweck"),
    DOSE: ("dose", "dosage", "prescription", "set and rep", "sets and reps", "sets x reps",
           "sets/reps", "sets & reps", "volume", "dosierung"),
    "dose.sets": ("set", "sätze", "serien", "séries", "série"),
    "dose.reps": ("rep", "repetition", "wiederholungen", "wdh", "répétitions", "répétition"),
    "dose.hold": ("hold", "hold time", "haltezeit", "haltedauer",
                  "temps de maintien"),
    "dose.rest": ("rest", "rest between sets", "pause between sets"),
    "dose.sessions": ("frequency", "session", "sessions per week", "times per week",
                      "times per day", "per week", "per day", "häufigkeit", "fréquence"),
    "dose.effort": ("effort", "perceived effort", "effort of 10", "rpe of 10"),
    "resistance": ("weight", "load", "resistance", "gewicht", "widerstand",
                   "charge", "résistance"),
    "equipment": ("equipment", "kit", "material", "gerät", "hilfsmittel", "matériel"),
    "cautions": ("caution", "precaution", "contraindication", "vorsicht", "kontraindikation",
                 "kontraindikationen"),
    "restrictions": ("restriction",),
    "sources": ("source", "reference", "evidence", "literature", "quelle"),
    "back-off": ("back off", "stop if", "stop when", "step back if", "step back when"),
    HARDER: ("harder", "harder version", "next", "next exercise", "progress to", "progression",
             "progression to", "steigerung"),
    EASIER: ("easier", "easier version", "regression", "regress to", "regression to",
             "previous exercise", "leichter"),
    WHEN: ("criteria", "progress when", "progress if", "progression criteria",
           "criteria to progress", "criteria to move on"),
    "variation-of": ("variation of",),
    "text: Set up": ("set up", "setup", "preparation", "vorbereitung"),
    "text: Do": ("do", "instruction", "description", "how to", "execution", "technique",
                 "procedure", "ausführung", "beschreibung", "consigne", "exécution"),
    "text: Watch for": ("watch for", "cue", "key point", "coaching point", "common error",
                        "common mistake", "fehler"),
    "text: For the patient": ("for the patient", "patient instruction", "patient text",
                              "home instruction", "words for the patient"),
}  # fmt: skip
_BY_HEADING = {heading: field for field, all in HEADINGS.items() for heading in all}
_BRACKETS = re.compile(r"[(\[]([^)\]]*)[)\]]")
_UNITS = {
    "s": "s", "sec": "s", "secs": "s", "second": "s", "seconds": "s", "sek": "s",
    "min": "min", "mins": "min", "minutes": "min", "kg": "kg", "lb": "lb", "lbs": "lb",
}  # fmt: skip


def fields() -> tuple[str, ...]:
    """Every field a mapping may name, besides `text: <any heading>` and `computed.…`."""
    return (*written_columns(), *FREE)


def is_field(name: str) -> bool:
    """Whether a mapping may name it."""
    return name in fields() or name.startswith((TEXT, COMPUTED)) or is_translated(name)


def field_of(heading: str) -> str | None:
    """The field that a heading means; our own headings mean themselves."""
    if is_field(heading) and heading not in (KEEP, LEAVE_OUT, "progressions"):
        return heading
    plain = _plain(heading)
    single = re.sub(r"s\b", "", plain)
    bare = re.sub(r"\s*(?:per|a|/)\s*(?:day|week)$", "", plain)  # the unit is `unit_of`'s
    found = (_BY_HEADING.get(words) for words in (plain, single, bare))
    return next((field for field in found if field), None)


def _plain(heading: str) -> str:
    words = _BRACKETS.sub(" ", heading.lower()).replace("_", " ").replace("-", " ")
    return " ".join(re.sub(r"[:?*#.]", " ", words).split())


def unit_of(heading: str) -> str | None:
    """The unit a heading gives: `Hold (s)`; `Frequency per week` gives `week`."""
    plain = heading.lower()
    for inside in _BRACKETS.findall(plain):
        if inside.strip(" .") in _UNITS:
            return _UNITS[inside.strip(" .")]
    if match := re.search(r"(?:per|/|a|pro|par)\s*(day|week|tag|woche|jour|semaine)\b", plain):
        return {"tag": "day", "woche": "week", "jour": "day", "semaine": "week"}.get(
            match[1], match[1]
        )
    return None
