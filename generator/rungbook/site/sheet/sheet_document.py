"""A patient's sheet as one HTML document that needs nothing else."""

from __future__ import annotations

import base64
import dataclasses
import datetime
import mimetypes
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from urllib.parse import unquote

from markupsafe import Markup

from rungbook.checks.review_overdue import due
from rungbook.drawing.figure import limited
from rungbook.ladder.measured import MeasuredLibrary
from rungbook.model.exercise import Exercise
from rungbook.model.set_up import SetUp, fill, set_up
from rungbook.site.pages.document import whole_document
from rungbook.site.pages.pictures import Photograph, picture_path, shown
from rungbook.site.sheet.choosing import Chosen, Place, at_place, choose, refuse_half_a_language
from rungbook.site.sheet.messages import Messages
from rungbook.site.sheet.patient_dose import (
    arc_words,
    dose_lines,
    dose_numerals,
    how_often,
    patient_numbers,
    retitled,
    set_up_numerals,
)
from rungbook.site.sheet.qr import page_address, qr_svg
from rungbook.site.sheet.sheet import Easier, SheetPart, Words, sheet_part
from rungbook.site.sheet.sheet_figures import figure, relabelled, small_figure
from rungbook.site.sheet.sheet_frame import sheet_frame

STYLES = ("styles/drawing.css", "styles/sheet.css")
WEEKS = range(1, 13)
FEW = 3  # exercises that a rule names


@dataclass(frozen=True, slots=True)
class Paper:
    """How a sheet is printed."""

    size: str = "a4"
    large: bool = False


@dataclass(frozen=True, slots=True)
class PrintedExercise:
    """One exercise with what depends on the choice: side, dose, figure."""

    part: SheetPart
    title: str
    words: tuple[Words, ...]  # with the numbers of the choice
    line: str  # of the clinician's own
    side: str | None
    figure: Markup | None
    mirrored: bool
    arc: str  # how far, where not the whole way
    easier: tuple[str, tuple[Words, ...]] | None  # its title and words
    small: Markup | None  # of the easier exercise
    numerals: str
    often: str
    dose: tuple[str, ...]
    photo: Photograph | None  # its address holds the picture itself
    qr: Markup | None
    address: str | None


@dataclass(frozen=True, slots=True)
class PainBlock:
    """A pain rule with the exercises it is for; none named where it is for all."""

    words: str
    titles: tuple[str, ...]  # where they are few
    numbers: str = ""  # on the sheet, where they are many


def pain_blocks(rules: Iterable[tuple[str, str]]) -> tuple[PainBlock, ...]:
    """The rules of a sheet, each once, in the order of the exercises, given as rule and title."""
    of: dict[str, list[tuple[int, str]]] = {}
    for number, (rule, title) in enumerate(rules, 1):
        of.setdefault(rule, []).append((number, title))
    if len(of) == 1:
        return tuple(PainBlock(words, ()) for words in of)
    return tuple(
        PainBlock(words, tuple(title for _, title in some))
        if len(some) <= FEW
        else PainBlock(words, (), runs([number for number, _ in some]))
        for words, some in of.items()
    )


def runs(numbers: Sequence[int]) -> str:
    """`1-4, 7` of rising numbers."""
    parts: list[list[int]] = []
    for number in numbers:
        if parts and number == parts[-1][-1] + 1:
            parts[-1] = [parts[-1][0], number]
        else:
            parts.append([number])
    return ", ".join("\N{EN DASH}".join(map(str, part)) for part in parts)


def _printed(
    measured: MeasuredLibrary, exercise: Exercise, item: Chosen, say: Messages
) -> PrintedExercise:
    page = f"exercises/{exercise.id}.html"
    part = sheet_part(measured, exercise, say, page)
    written, dose = set_up(exercise), item.dose or exercise.dose
    own = item.set_up or written
    numbers = patient_numbers(dose, own, say)
    drawn = figure(measured, exercise, "left" if item.side == "left" else "right", say)
    address = page_address(measured.library.settings.site.url, page)
    return PrintedExercise(
        part=part,
        title=retitled(part.title, written, own, say),
        words=_filled(part.words, numbers),
        line=item.line,
        side=item.side if part.one_sided else None,
        figure=Markup(relabelled(limited(drawn, own.share), written, own, say)) if drawn else None,
        mirrored=part.one_sided and item.side == "both",
        arc=arc_words(own, say),
        easier=_easier(part.easier, own, say) if part.easier else None,
        small=Markup(small_figure(measured, part)) or None,
        numerals=" \N{MIDDLE DOT} ".join(
            filter(None, (dose_numerals(dose, say), set_up_numerals(own, say)))
        ),
        often=how_often(dose, say),
        dose=dose_lines(dose, say, own),
        photo=_embedded(measured, exercise),
        qr=Markup(qr_svg(address)) if address else None,
        address=address,
    )


def _filled(words: Iterable[Words], numbers: Mapping[str, str]) -> tuple[Words, ...]:
    return tuple(Words(fill(one.html, numbers), one.note) for one in words)


def _easier(easier: Easier, own: SetUp, say: Messages) -> tuple[str, tuple[Words, ...]]:
    """The easier exercise with its numbers, its weight never above the one that is set."""
    theirs = easier.set_up
    if theirs.weight_kg and own.weight_kg and theirs.pieces == own.pieces:
        theirs = dataclasses.replace(theirs, weight_kg=min(theirs.weight_kg, own.weight_kg))
    words = _filled(easier.words, patient_numbers(easier.dose, theirs, say))
    return retitled(easier.title, easier.set_up, theirs, say), words


def _embedded(measured: MeasuredLibrary, exercise: Exercise) -> Photograph | None:
    """The clinic's first picture of an exercise, inside the document."""
    folders = measured.library.folders
    photo = next(shown(folders, exercise), None)
    path = picture_path(folders, unquote(photo.href.removeprefix("pictures/"))) if photo else None
    if photo is None or path is None:
        return None
    kind = mimetypes.guess_type(path.name)[0] or "image/png"
    data = base64.b64encode(path.read_bytes()).decode()
    return dataclasses.replace(photo, href=f"data:{kind};base64,{data}")


def reviews(exercises: Iterable[Exercise]) -> str:
    """`1, 3: 2026-05-01; 2: 2026-04-02`: by the numbers on the sheet."""
    numbers: dict[str, list[str]] = {}
    for number, exercise in enumerate(exercises, 1):
        if exercise.reviewed:
            numbers.setdefault(exercise.reviewed.date.isoformat(), []).append(str(number))
    return "; ".join(f"{', '.join(of)}: {date}" for date, of in numbers.items())


def is_overdue(exercise: Exercise, every: str, today: datetime.date) -> bool:
    """Whether an exercise was never reviewed, or not for too long, on the day `today`."""
    last = due(exercise.reviewed.date, every) if exercise.reviewed else None
    return exercise.reviewed is None or (last is not None and last < today)


def _is_edited(exercise: Exercise, item: Chosen) -> bool:
    """Whether a patient gets another dose, weight, height or arc than the one reviewed."""
    return item.dose not in (None, exercise.dose) or item.set_up not in (None, set_up(exercise))


def sheet_document(
    measured: MeasuredLibrary,
    chosen: Iterable[Chosen],
    say: Messages,
    today: datetime.date,
    weeks: int = 2,
    paper: Paper | None = None,
    place: Place = "home",
    order: str = "",
) -> str:
    """The sheet as HTML, to be printed by a browser. What is not done at `place` is left off.

    Raises:
        rungbook.site.sheet.choosing.SheetRefused: it must not be made; the message says why.
    """
    settled, _ = at_place(choose(measured, chosen), place)
    refuse_half_a_language(measured, (exercise for exercise, _ in settled), say)
    printed = tuple(_printed(measured, exercise, item, say) for exercise, item in settled)
    pairs = tuple(zip(printed, settled, strict=True))
    every = measured.library.settings.review.every
    paper = paper or Paper()
    size = "letter" if paper.size == "letter" else "A4"
    first = f"@page {{ size: {size}; margin: 9mm 15mm; }}\n"
    return whole_document(
        "sheet",
        STYLES,
        first,
        say=say,
        frame=sheet_frame(measured, say),
        printed=printed,
        place=place,
        order=order,
        pain=pain_blocks((item.part.pain, item.title) for item in printed),
        weeks=range(1, weeks + 1),
        paper=paper,
        reviewed=reviews(exercise for exercise, _ in settled),
        unreviewed=", ".join(
            str(number) for number, (exercise, _) in enumerate(settled, 1) if not exercise.reviewed
        ),
        overdue=tuple(
            one.title for one, (exercise, _) in pairs if is_overdue(exercise, every, today)
        ),
        edited=tuple(one.title for one, (it, item) in pairs if _is_edited(it, item)),
        changed=tuple(one.title for one, (exercise, _) in pairs if exercise.altered),
    )
