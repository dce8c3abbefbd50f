"""What a patient's sheet says: the model that the page, the browser and the command print.

`sheet_part` is one exercise in one language, `sheet_frame` all that is said once. Both are
plain frozen values; the figure is SVG text.
"""

from __future__ import annotations

import datetime
import difflib
import re
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from rungbook.drawing.figure import Wanted, exercise_figures
from rungbook.drawing.svg import Say
from rungbook.drawing.thumbnail import thumbnails
from rungbook.ladder.measured import MeasuredLibrary
from rungbook.ladder.pain import pain_rule
from rungbook.model.exercise import Dose, Exercise
from rungbook.model.library import FlareUpRule
from rungbook.site.pages.prose import prose
from rungbook.site.sheet.criteria import criteria_words
from rungbook.site.sheet.messages import Messages
from rungbook.site.sheet.pain_rules import (
    PainWords,
    fallback_note,
    pain_words,
)
from rungbook.site.sheet.time_words import lasting, time_words

Side = Literal["left", "right", "both"]
# 12.4 px of a drawing are one em of the sheet: its words print as large as the sheet's own. A strip
# of 395 px is as wide as the paper's 180 mm in large print; a standing body is 26 mm high.
LABEL, WIDEST, PX_PER_M = 12.4, 395.0, 44.0
_SIZE = re.compile(r'width="([\d.]+)" height="([\d.]+)"')


class SheetRefused(ValueError):
    """A sheet that must not be made; the message says why and what to do."""


@dataclass(frozen=True, slots=True)
class Chosen:
    """An exercise for the sheet: its side where it is one-sided, its dose where edited."""

    id: str
    side: Side | None = None
    dose: Dose | None = None


@dataclass(frozen=True, slots=True)
class Words:
    """A text for the patient, as clean HTML, with the language it is really in."""

    html: str
    language: str
    note: str | None = None


@dataclass(frozen=True, slots=True)
class Easier:
    """The exercise for a bad day, described so that it can be done."""

    id: str
    title: str
    words: tuple[Words, ...]


@dataclass(frozen=True, slots=True)
class SheetPart:
    """One exercise on the sheet, in one language."""

    id: str
    title: str
    one_sided: bool
    words: tuple[Words, ...]
    dose: Dose | None
    do_less: tuple[str, ...]  # signs of a bad day, where they are in the sheet's language
    easier: Easier | None
    pain: PainWords
    own_language: str  # of the title, which is not translated
    page: str


@dataclass(frozen=True, slots=True)
class FlareRow:
    """A line of the rule for bad days."""

    lasts: str
    do: str
    language: str


@dataclass(frozen=True, slots=True)
class SheetFrame:
    """What a sheet says once, in one language."""

    library: str
    flare: tuple[FlareRow, ...]
    stop: tuple[str, ...]
    stop_call: str
    contact: str | None
    urgent: tuple[str, ...]  # ours, where the clinic has no words of its own in this language
    urgent_call: str | None
    urgent_own: str | None
    urgent_language: str  # of the clinic's own
    own_language: str  # of the clinic's own words


def choose(
    measured: MeasuredLibrary, chosen: Iterable[Chosen]
) -> tuple[tuple[Exercise, Chosen], ...]:
    """The exercises of a sheet, each with its side settled.

    Raises:
        SheetRefused: an unknown exercise, a draft without review, words for another movement,
            a one-sided exercise without a side, a side for one that has none, nothing chosen.
    """
    found = tuple((_exercise(measured, item.id), item) for item in chosen)
    if not found:
        raise SheetRefused("no exercise chosen: name at least one, such as heel-raise:left")
    for exercise, item in found:
        if exercise.kept_off_sheets:
            raise SheetRefused(f"{exercise.id} goes to no patient: {exercise.kept_off_sheets}")
        if exercise.sides == "one" and item.side is None:
            raise SheetRefused(
                f"{exercise.id} is done on one side: say which, {exercise.id}:left, "
                f"{exercise.id}:right or {exercise.id}:both"
            )
        if exercise.sides == "both" and item.side in ("left", "right"):
            raise SheetRefused(
                f"{exercise.id} is done with both sides together: leave out ':{item.side}'"
            )
    return found


def _exercise(measured: MeasuredLibrary, key: str) -> Exercise:
    exercises = measured.library.exercises
    if key in exercises:
        return exercises[key]
    near = difflib.get_close_matches(key, exercises, n=1)
    hint = f"perhaps {near[0]} is meant" if near else "see exercises/ in the library"
    raise SheetRefused(f"no exercise is called {key!r}; {hint}")


def patient_words(exercise: Exercise, home: str, say: Messages) -> tuple[Words, ...]:
    """The words for the patient: the sheet's language, else the library's, else set-up and do."""
    text = {heading.casefold(): words for heading, words in exercise.text.items()}
    own = text.get(f"for the patient ({say.language})")
    if own:
        return (Words(str(prose(own, "", {})), say.language),)
    note = None if say.language == home else fallback_note(home, say)
    plain = text.get("for the patient")
    if plain:
        return (Words(str(prose(plain, "", {})), home, note),)
    parts = [text[key] for key in ("set up", "do", "watch for") if text.get(key)]
    if not parts:
        return (Words(f"<p>{say('words.none')}</p>", say.language),)
    written_for = say("words.from-clinician")
    first = Words(
        str(prose(parts[0], "", {})), home, f"{written_for} {note}" if note else written_for
    )
    return (first, *(Words(str(prose(part, "", {})), home) for part in parts[1:]))


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
    home = measured.library.settings.language.split("-")[0]
    return SheetPart(
        id=exercise.id,
        title=exercise.title,
        one_sided=exercise.sides == "one",
        words=patient_words(exercise, home, say),
        dose=exercise.dose,
        do_less=criteria_words(exercise.back_off, home, say),
        easier=_easier(measured, exercise, home, say),
        pain=pain_words(pain_rule(measured, exercise.id), measured, say),
        own_language=home,
        page=page,
    )


def _easier(
    measured: MeasuredLibrary, exercise: Exercise, home: str, say: Messages
) -> Easier | None:
    """The easier exercise with the smallest step, where a patient may have it."""
    back = one_step_back(measured, exercise.id)
    found = measured.library.exercises.get(back or "")
    if found is None or not found.may_go_on_a_sheet:
        return None
    return Easier(found.id, found.title, patient_words(found, home, say)[:1])


_BACK_KEYS = {"same rung": "flare.same", "one rung": "flare.one", "entry": "flare.entry"}


def _flare_rows(measured: MeasuredLibrary, say: Messages) -> tuple[FlareRow, ...]:
    """What to do after a bad day: by what `back` means, so that it is whole in any language.

    Several exercises stand on a sheet: each has its own easier one beside it, and none is "the
    first". The clinic's own words stand where they say more than how far to go back.
    """
    settings = measured.library.settings
    home = settings.language.split("-")[0]
    if not settings.flare_up:
        pairs = (
            ("flare.day", "flare.same"),
            ("flare.days", "flare.one"),
            ("flare.several", "flare.entry"),
        )
        return tuple(FlareRow(say(lasts), say(do), say.language) for lasts, do in pairs)
    return tuple(_flare_row(rule, home, say) for rule in settings.flare_up)


def _flare_row(rule: FlareUpRule, home: str, say: Messages) -> FlareRow:
    lasts = lasting(rule.lasts, say)
    if rule.again_within:
        lasts += ", " + say("flare.again", time=time_words(rule.again_within, say))
    meaning = _BACK_KEYS.get(rule.back or "")
    if meaning is None:
        return FlareRow(lasts, rule.do, home)
    return FlareRow(lasts, say(meaning), say.language)


def newest_review(measured: MeasuredLibrary) -> datetime.date | None:
    """The date of the library: its newest review."""
    dates = [e.reviewed.date for e in measured.library.exercises.values() if e.reviewed]
    return max(dates, default=None)


def sheet_frame(measured: MeasuredLibrary, say: Messages) -> SheetFrame:
    """All that is said once on a sheet, in the language of `say`."""
    settings = measured.library.settings
    home = settings.language.split("-")[0]
    urgent_understood = bool(settings.urgent) and home == say.language
    return SheetFrame(
        library=settings.name,
        flare=_flare_rows(measured, say),
        stop=say.items("stop.items"),
        stop_call=say("stop.call") if settings.contact else say("stop.call-giver"),
        contact=settings.contact,
        urgent=() if urgent_understood else say.items("urgent.items"),
        urgent_call=None if urgent_understood else say("urgent.call"),
        urgent_own=settings.urgent or None,
        urgent_language=home,
        own_language=home,
    )


def figure(
    measured: MeasuredLibrary, exercise: Exercise, side: Literal["left", "right"], say: Messages
) -> str | None:
    """The figure of that side, its size in em of the sheet; None where no posture was computed.

    Its smallest words are as large as the sheet's own, in large print too: a figure that would
    be too wide or too high for that is drawn smaller, with words of the same size.
    """
    wanted = wanted_figure(measured, exercise, side, say.phrase)
    return in_em(exercise_figures([wanted])[0]) if wanted else None


def wanted_figure(
    measured: MeasuredLibrary, exercise: Exercise, side: Literal["left", "right"], say: Say
) -> Wanted | None:
    """The figure of that side before it is drawn; None where no posture was computed."""
    load = measured.loads.get(exercise.id)
    if load is None or load.skeleton is None:
        return None
    return Wanted(exercise, load, side, px_per_m=PX_PER_M, width_px=WIDEST,
                  prefix=f"sheet-{exercise.id}", say=say, numbered=True)  # fmt: skip


def small_figure(measured: MeasuredLibrary, part: SheetPart) -> str:
    """The easier exercise of a part as a small figure; "" where there is none."""
    load = measured.loads.get(part.easier.id) if part.easier else None
    if part.easier is None or load is None:
        return ""
    return thumbnails([(measured.library.exercises[part.easier.id], load)], inline=True)[0]


def in_em(svg: str) -> str | None:
    """A drawing with its size in em of the sheet, in place of pixels."""
    size = _SIZE.search(svg)
    if size is None:
        return None
    width, height = float(size[1]), float(size[2])
    em = f'width="{width / LABEL:.2f}em" height="{height / LABEL:.2f}em"'
    return _SIZE.sub(em, svg, count=1)
