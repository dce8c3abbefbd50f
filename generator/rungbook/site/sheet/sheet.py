"""What a patient's sheet says: the model that the page, the browser and the command print.

`sheet_part` is one exercise in one language, `sheet_frame` all that is said once. Both are
plain frozen values; the figure is SVG text.
"""

from __future__ import annotations

import datetime
import difflib
import re
from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Literal

from rungbook.drawing.figure import Wanted, exercise_figures
from rungbook.drawing.svg import Say
from rungbook.ladder.measured import MeasuredLibrary
from rungbook.model.exercise import Dose, Exercise
from rungbook.model.library import FlareUpRule
from rungbook.site.pages.prose import prose
from rungbook.site.sheet.messages import Messages
from rungbook.site.sheet.pain_rules import (
    PainWords,
    fallback_note,
    pain_rule,
    pain_words,
    source_words,
)
from rungbook.site.sheet.time_words import lasting, scale_of_ten, time_words

Side = Literal["left", "right", "both"]
# A figure's labels are 12.5 px in the drawing: with 12.4 px to the em they print at the
# sheet's own size. 300 px are then 102 mm, which leaves room for the dose beside the figure.
LABEL, WIDEST, HIGHEST = 12.4, 300.0, 230.0
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
class SheetPart:
    """One exercise on the sheet, in one language."""

    id: str
    title: str
    one_sided: bool
    words: tuple[Words, ...]
    dose: Dose | None
    ready: tuple[str, ...]
    ready_after: str | None
    next_title: str | None
    do_less: tuple[str, ...]
    one_step_back: str | None
    pain: PainWords
    own_language: str  # of title and criteria, which are not translated
    note: str | None  # says so where that is not the sheet's language
    page: str


@dataclass(frozen=True, slots=True)
class FlareRow:
    """A line of the flare-up rule."""

    lasts: str
    do: str
    language: str
    source: str | None = None
    in_original: str | None = None  # the clinic's own words, where `do` translates them


@dataclass(frozen=True, slots=True)
class SheetFrame:
    """What a sheet says once, in one language."""

    library: str
    flare: tuple[FlareRow, ...]  # a source only where they have several
    flare_source: str | None
    flare_note: str | None
    stop: tuple[str, ...]
    stop_call: str
    contact: str | None
    urgent: tuple[str, ...]  # ours, where the clinic has no words of its own in this language
    urgent_call: str | None
    urgent_own: str | None
    urgent_language: str  # of the clinic's own
    urgent_note: str | None
    reviewed: str
    own_language: str  # of the clinic's own words


def choose(
    measured: MeasuredLibrary, chosen: Iterable[Chosen]
) -> tuple[tuple[Exercise, Chosen], ...]:
    """The exercises of a sheet, each with its side settled.

    Raises:
        SheetRefused: an unknown exercise, a draft without review, a one-sided exercise
            without a side, a side for an exercise that has none, or nothing chosen.
    """
    found = tuple((_exercise(measured, item.id), item) for item in chosen)
    if not found:
        raise SheetRefused("no exercise chosen: name at least one, such as heel-raise:left")
    for exercise, item in found:
        if not exercise.may_go_on_a_sheet:
            raise SheetRefused(
                f"{exercise.id} is a draft ({exercise.draft}): review it and save it with "
                "`reviewed: {date, by}` before it goes to a patient"
            )
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


def _after(exercise: Exercise, say: Messages) -> str | None:
    onward = next(iter(exercise.ways), None)
    after = onward.after if onward else None
    if after is None:
        return None
    key = "progress.sessions" if after.unit == "sessions" else "progress.days"
    return say("progress.after", after=say(key, n=after.count))


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
    exercises = measured.library.exercises
    onward = next(iter(exercise.ways), None)
    following = exercises.get(onward.to) if onward else None
    back = one_step_back(measured, exercise.id)
    return SheetPart(
        id=exercise.id,
        title=exercise.title,
        one_sided=exercise.sides == "one",
        words=patient_words(exercise, home, say),
        dose=exercise.dose,
        ready=onward.when if onward else (),
        ready_after=_after(exercise, say),
        next_title=following.title if following and following.may_go_on_a_sheet else None,
        do_less=exercise.back_off,
        one_step_back=exercises[back].title if back and back in exercises else None,
        pain=pain_words(pain_rule(measured, exercise.id), measured, say),
        own_language=home,
        note=None if say.language == home else fallback_note(home, say),
        page=page,
    )


_BACK_KEYS = {"same rung": "flare.same", "one rung": "flare.one", "entry": "flare.entry"}


def _flare_rows(measured: MeasuredLibrary, say: Messages) -> tuple[FlareRow, ...]:
    settings = measured.library.settings
    home = settings.language.split("-")[0]
    if not settings.flare_up:
        practice = say("source.common-practice")
        pairs = (
            ("flare.day", "flare.same"),
            ("flare.days", "flare.one"),
            ("flare.several", "flare.entry"),
        )
        return tuple(FlareRow(say(lasts), say(do), say.language, practice) for lasts, do in pairs)
    return tuple(_flare_row(rule, measured, home, say) for rule in settings.flare_up)


def _flare_row(rule: FlareUpRule, measured: MeasuredLibrary, home: str, say: Messages) -> FlareRow:
    """The clinic's own words; in another language what `back` means, then the clinic's words."""
    translated = home != say.language
    lasts = lasting(rule.lasts, say) if translated else rule.lasts
    if rule.worse_than:
        lasts += ", " + say("flare.worse-than", worse=scale_of_ten(rule.worse_than, say))
    if rule.again_within:
        lasts += ", " + say("flare.again", time=time_words(rule.again_within, say))
    source = source_words(rule.source, measured.library.vocabulary.sources, say)
    meaning = _BACK_KEYS.get(rule.back or "")
    if not translated or meaning is None:
        return FlareRow(lasts, rule.do, home, source)
    return FlareRow(lasts, say(meaning), say.language, source, in_original=rule.do)


def newest_review(measured: MeasuredLibrary) -> datetime.date | None:
    """The date of the library: its newest review."""
    dates = [e.reviewed.date for e in measured.library.exercises.values() if e.reviewed]
    return max(dates, default=None)


def sheet_frame(measured: MeasuredLibrary, say: Messages) -> SheetFrame:
    """All that is said once on a sheet, in the language of `say`."""
    settings = measured.library.settings
    home = settings.language.split("-")[0]
    newest = newest_review(measured)
    foreign = settings.flare_up and home != say.language
    urgent_understood = bool(settings.urgent) and home == say.language
    rows = _flare_rows(measured, say)
    sources = {row.source for row in rows}
    if len(sources) == 1:
        rows = tuple(replace(row, source=None) for row in rows)
    return SheetFrame(
        library=settings.name,
        flare=rows,
        flare_source=sources.pop() if len(sources) == 1 else None,
        flare_note=fallback_note(home, say) if foreign else None,
        stop=say.items("stop.items"),
        stop_call=say("stop.call") if settings.contact else say("stop.call-giver"),
        contact=settings.contact,
        urgent=() if urgent_understood else say.items("urgent.items"),
        urgent_call=None if urgent_understood else say("urgent.call"),
        urgent_own=settings.urgent or None,
        urgent_language=home,
        urgent_note=fallback_note(home, say) if settings.urgent and home != say.language else None,
        reviewed=(
            say("footer.reviewed", date=newest.isoformat())
            if newest
            else say("footer.never-reviewed")
        ),
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
    return Wanted(exercise, load, side, width_px=WIDEST, prefix=f"sheet-{exercise.id}", say=say)


def in_em(svg: str) -> str | None:
    """A drawing with its size in em of the sheet, in place of pixels."""
    size = _SIZE.search(svg)
    if size is None:
        return None
    width, height = float(size[1]), float(size[2])
    em = f'width="{width / LABEL:.2f}em" height="{height / LABEL:.2f}em"'
    return _SIZE.sub(em, svg, count=1)
