"""What a patient's sheet says of one exercise, in one language, as plain frozen values."""

from __future__ import annotations

from dataclasses import dataclass

from rungbook.ladder.measured import MeasuredLibrary
from rungbook.ladder.pain import pain_rule
from rungbook.model.exercise import Dose, Exercise
from rungbook.model.languages import (
    home_language,
    missing_of_rule,
    missing_words,
    patient_text,
)
from rungbook.model.set_up import SetUp, set_up
from rungbook.site.pages.prose import prose
from rungbook.site.sheet.criteria import criteria_words
from rungbook.site.sheet.messages import Messages
from rungbook.site.sheet.pain_rules import pain_words


@dataclass(frozen=True, slots=True)
class Words:
    """A text for the patient, as clean HTML; it may name numbers, `{{hold}}`."""

    html: str
    note: str | None = None


@dataclass(frozen=True, slots=True)
class Easier:
    """The exercise for a bad day, described so that it can be done."""

    id: str
    title: str
    words: tuple[Words, ...]
    dose: Dose | None
    set_up: SetUp


@dataclass(frozen=True, slots=True)
class SheetPart:
    """One exercise on the sheet, in one language."""

    id: str
    title: str
    one_sided: bool
    words: tuple[Words, ...]
    dose: Dose | None
    do_less: tuple[str, ...]  # signs of a bad day
    easier: Easier | None
    pain: str
    page: str


def missing_part(measured: MeasuredLibrary, exercise: Exercise, say: Messages) -> tuple[str, ...]:
    """What an exercise, its pain rule and its easier one lack in the language of `say`."""
    home = home_language(measured.library.settings)
    easier = _easier_of(measured, exercise)
    found = (
        *missing_words(exercise, say.language, home),
        *missing_of_rule(pain_rule(measured, exercise.id), say.language, home),
    )
    if easier is None:
        return found
    of_easier = missing_words(easier, say.language, home)[:2]
    return (*found, *(f"{one} of {easier.id}" for one in of_easier if "back-off" not in one))


def patient_words(exercise: Exercise, home: str, say: Messages) -> tuple[Words, ...]:
    """The words for the patient in the sheet's language, else set-up and do, marked as such."""
    own = patient_text(exercise, say.language, home)
    if own:
        return (Words(str(prose(own, "", {}))),)
    text = {heading.casefold(): words for heading, words in exercise.text.items()}
    parts = [text[key] for key in ("set up", "do", "watch for") if text.get(key)]
    if not parts or say.language != home:
        return (Words(f"<p>{say('words.none')}</p>"),)
    first = Words(str(prose(parts[0], "", {})), say("words.from-clinician"))
    return (first, *(Words(str(prose(part, "", {}))) for part in parts[1:]))


def one_step_back(measured: MeasuredLibrary, key: str) -> str | None:
    """The easier neighbour with the smallest step, by id."""
    if key not in measured.graph:
        return None
    edges = ((easier, key) for easier in measured.graph.pred[key])
    steps = [measured.steps[edge] for edge in edges if edge in measured.steps]
    nearest = min(steps, key=lambda step: (step.size, step.from_id), default=None)
    return nearest.from_id if nearest else None


def sheet_part(
    measured: MeasuredLibrary, exercise: Exercise, say: Messages, page: str
) -> SheetPart:
    """One exercise in the language of `say`; `page` is its address in the site."""
    home = home_language(measured.library.settings)
    return SheetPart(
        id=exercise.id,
        title=exercise.said("title", say.language, home) or exercise.title,
        one_sided=exercise.sides == "one",
        words=patient_words(exercise, home, say),
        dose=exercise.dose,
        do_less=criteria_words(exercise.back_off, home, say),
        easier=_easier(measured, exercise, home, say),
        pain=pain_words(pain_rule(measured, exercise.id), home, say),
        page=page,
    )


def _easier(
    measured: MeasuredLibrary, exercise: Exercise, home: str, say: Messages
) -> Easier | None:
    """The easier exercise, described."""
    found = _easier_of(measured, exercise)
    if found is None:
        return None
    title = found.said("title", say.language, home) or found.title
    words = patient_words(found, home, say)[:1]
    return Easier(found.id, title, words, found.dose, set_up(found))


def _easier_of(measured: MeasuredLibrary, exercise: Exercise) -> Exercise | None:
    """The easier exercise with the smallest step, where a patient may have it at home."""
    back = one_step_back(measured, exercise.id)
    found = measured.library.exercises.get(back or "")
    if found is None or not found.may_go_on_a_sheet or found.needs_a_therapist:
        return None
    return found
