"""A sheet's language of which an exercise has some words and not all.

Half a sheet in another language is read wrongly where it matters, so a language is offered for a
sheet only where every word of it is there: the title, the words for the patient, signs of a bad
day; of the library, whom to call and when to get urgent help.

Mend it by adding what is missing in the same file: `title (de): …`, `## For the patient (de)`,
`{words: …, words (de): …}` of a sign of a bad day, `contact (de): …`, `urgent (de): …` of
library.yml; or leave it, and that exercise is on no sheet in that language.

Fails:

    [exercises/leg/squat.md]
    title: Squat
    ---
    ## For the patient
    Bend your knees.
    ## For the patient (de)
    Beugen Sie die Knie.

Passes:

    [exercises/leg/squat.md]
    title: Squat
    title (de): Kniebeuge
    ---
    ## For the patient
    Bend your knees.
    ## For the patient (de)
    Beugen Sie die Knie.
"""

from __future__ import annotations

from collections.abc import Iterator

from rungbook.ladder.measured import MeasuredLibrary
from rungbook.ladder.pain import pain_rule
from rungbook.model.finding import Finding, Level
from rungbook.model.languages import (
    home_language,
    languages_begun,
    missing_of_rule,
    missing_settings,
    missing_words,
)
from rungbook.model.place import Place

name = "language-incomplete"
level: Level = "note"


def check(measured: MeasuredLibrary) -> Iterator[Finding]:
    """One finding an exercise and language; one for the library's own words."""
    library = measured.library
    home = home_language(library.settings)
    begun: dict[str, str] = {}
    for exercise in library.exercises.values():
        for language in languages_begun(exercise):
            if language == home:
                continue
            begun.setdefault(language, exercise.id)
            missing = (
                *missing_words(exercise, language, home),
                *missing_of_rule(pain_rule(measured, exercise.id), language, home),
            )
            if missing:
                yield _finding(exercise.id, language, missing, exercise.place("title"), exercise.id)
    for language, first in begun.items():
        missing = missing_settings(library.settings, language)
        if missing:
            place = library.settings.place("language")
            yield _finding("library.yml", language, missing, place, first)


def _finding(
    what: str, language: str, missing: tuple[str, ...], place: Place, exercise: str
) -> Finding:
    message = (
        f"{what} has words in '{language}', but no {', no '.join(missing)}: "
        f"no sheet is offered in that language until they are there"
    )
    return Finding(name, level, message, place, exercises=(exercise,))
