"""Words for the patient that are harder to read than the library allows.

Half of those who take a sheet home read below the grade of a usual leaflet. The grade is that of
Flesch and Kincaid, which is made for English: words in another language are not scored, and a
note says so once. Fewer than 30 words give no steady grade and are not scored either.

Mend the sentence that the message shows: split it, and use shorter words. `reading-grade` in
`library.yml` sets the grade allowed, 8 unless written.

Fails:

    [exercises/leg/squat.md]
    title: Squat
    ---
    ## For the patient
    Subsequently initiate eccentric quadriceps activation by progressively increasing the knee
    flexion angle, maintaining appropriate neuromuscular coordination, immediately discontinuing
    the exercise if considerable discomfort develops, and consulting your physiotherapist
    regarding alternative possibilities.

Passes:

    [exercises/leg/squat.md]
    title: Squat
    ---
    ## For the patient
    Stand tall and hold on to the counter. Bend your knees slowly, as if to sit down. Stop when
    it starts to hurt. Push up again through both feet. Call us if your knee is still sore the
    next day.
"""

from __future__ import annotations

from collections.abc import Iterator

from rungbook.checks.readability import Readability, readability, word_count
from rungbook.ladder.measured import MeasuredLibrary
from rungbook.model.exercise import Exercise
from rungbook.model.finding import Finding, Level

name = "reading-grade"
level: Level = "note"

PATIENT_WORDS = "For the patient"
FEWEST_WORDS = 30
LONGEST_QUOTE = 160


def patient_words(exercise: Exercise) -> tuple[str, str] | None:
    """The heading and the text that is for the patient."""
    for heading, text in exercise.text.items():
        if heading.casefold() == PATIENT_WORDS.casefold():
            return heading, text
    return None


def _too_hard(exercise: Exercise, heading: str, found: Readability, allowed: float) -> Finding:
    quote = " ".join(found.hardest.split())
    if len(quote) > LONGEST_QUOTE:
        quote = quote[:LONGEST_QUOTE].rsplit(" ", 1)[0] + " …"
    return Finding(
        name,
        level,
        f"the words for the patient read at grade {found.grade:.1f}, above {allowed:g}. "
        f"Split or shorten first: “{quote}”",
        exercise.place("text", heading),
        exercises=(exercise.id,),
        details={"grade": round(found.grade, 2), "words": found.words, "hardest": found.hardest},
    )


def check(measured: MeasuredLibrary) -> Iterator[Finding]:
    """One finding for each exercise whose patient words are too hard."""
    library = measured.library
    language = library.settings.language
    if language.split("-")[0].split("_")[0].lower() != "en":
        yield Finding(
            name,
            level,
            f"the reading grade is made for English; the patient words of this library "
            f"('{language}') are not scored. Switch this check off if that is known.",
            library.settings.place("language"),
        )
        return
    allowed = library.settings.reading_grade
    for exercise in library.exercises.values():
        words = patient_words(exercise)
        if words is None:
            continue
        heading, text = words
        # Counted first: the syllables of a word are only looked up where they matter.
        found = readability(text) if word_count(text) >= FEWEST_WORDS else None
        if found is not None and found.grade > allowed:
            yield _too_hard(exercise, heading, found, allowed)
