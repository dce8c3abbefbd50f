"""Which exercises may stand on a sheet, on which side, where and in which language."""

from __future__ import annotations

import difflib
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from rungbook.ladder.measured import MeasuredLibrary
from rungbook.model.exercise import Dose, Exercise
from rungbook.model.set_up import SetUp
from rungbook.site.sheet.messages import Messages, messages
from rungbook.site.sheet.sheet import missing_part
from rungbook.site.sheet.sheet_frame import missing_frame

Side = Literal["left", "right", "both"]
Place = Literal["home", "clinic"]
MOST_NAMED = 8  # missing words of a message


class SheetRefused(ValueError):
    """A sheet that must not be made; the message says why and what to do."""


@dataclass(frozen=True, slots=True)
class Chosen:
    """An exercise for the sheet: its side where it is one-sided, dose and set-up where edited."""

    id: str
    side: Side | None = None
    dose: Dose | None = None
    set_up: SetUp | None = None
    line: str = ""  # of the clinician's own


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


def at_place(
    settled: tuple[tuple[Exercise, Chosen], ...], place: Place
) -> tuple[tuple[tuple[Exercise, Chosen], ...], tuple[Exercise, ...]]:
    """The exercises that are done there, and those that are left off.

    Raises:
        SheetRefused: none is left.
    """
    off = tuple(one for one, _ in settled if place == "home" and one.needs_a_therapist)
    kept = tuple(pair for pair in settled if pair[0] not in off)
    if not kept:
        names = ", ".join(one.id for one in off)
        raise SheetRefused(f"{names}: somebody carries a limb, so it is no exercise for home alone")
    return kept, off


def refuse_half_a_language(
    measured: MeasuredLibrary, exercises: Iterable[Exercise], say: Messages
) -> None:
    """A sheet is in one language or not at all.

    Raises:
        SheetRefused: words are missing; the message names them.
    """
    found = [f"library.yml: {one}" for one in missing_frame(measured.library.settings, say)]
    for exercise in exercises:
        found += [f"{exercise.id}: {one}" for one in missing_part(measured, exercise, say)]
    if found:
        language = messages().language_name(say.language)
        more = f"; and {len(found) - MOST_NAMED} more" if len(found) > MOST_NAMED else ""
        listed = "; ".join(found[:MOST_NAMED])
        raise SheetRefused(f"no sheet in {language}: these words are missing. {listed}{more}")
