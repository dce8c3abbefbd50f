"""A patient's sheet as one HTML document that needs nothing else."""

from __future__ import annotations

import base64
import datetime
import hashlib
import importlib.resources
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from markupsafe import Markup

from rungbook.checks.review_overdue import due
from rungbook.ladder.measured import MeasuredLibrary
from rungbook.model.exercise import Exercise
from rungbook.site.pages.render import environment
from rungbook.site.sheet.messages import Messages
from rungbook.site.sheet.pain_rules import PainWords
from rungbook.site.sheet.patient_dose import dose_lines, dose_numerals, how_often
from rungbook.site.sheet.qr import page_address, qr_svg
from rungbook.site.sheet.sheet import (
    Chosen,
    SheetPart,
    choose,
    figure,
    sheet_frame,
    sheet_part,
    small_figure,
)

WEEKS = range(1, 13)


@dataclass(frozen=True, slots=True)
class Paper:
    """How a sheet is printed."""

    size: str = "a4"
    large: bool = False


@dataclass(frozen=True, slots=True)
class PrintedExercise:
    """One exercise with what depends on the choice: side, dose, figure."""

    part: SheetPart
    side: str | None
    figure: Markup | None
    mirrored: bool
    small: Markup | None  # of the easier exercise
    numerals: str
    often: str
    dose: tuple[str, ...]
    qr: Markup | None
    address: str | None


@dataclass(frozen=True, slots=True)
class PainBlock:
    """A pain rule with the exercises it is for; none named where it is for all."""

    words: PainWords
    titles: tuple[str, ...]


def pain_blocks(parts: Sequence[SheetPart]) -> tuple[PainBlock, ...]:
    """The rules of a sheet, each once, in the order of the exercises."""
    titles: dict[PainWords, list[str]] = {}
    for part in parts:
        titles.setdefault(part.pain, []).append(part.title)
    one = len(titles) == 1
    return tuple(PainBlock(words, () if one else tuple(names)) for words, names in titles.items())


def _printed(
    measured: MeasuredLibrary, exercise: Exercise, item: Chosen, say: Messages
) -> PrintedExercise:
    page = f"exercises/{exercise.id}.html"
    part = sheet_part(measured, exercise, say, page)
    drawn = figure(measured, exercise, "left" if item.side == "left" else "right", say)
    address = page_address(measured.library.settings.site.url, page)
    return PrintedExercise(
        part=part,
        side=item.side if part.one_sided else None,
        figure=Markup(drawn) if drawn else None,
        mirrored=part.one_sided and item.side == "both",
        small=Markup(small_figure(measured, part)) or None,
        numerals=dose_numerals(item.dose or exercise.dose, say),
        often=how_often(item.dose or exercise.dose, say),
        dose=dose_lines(item.dose or exercise.dose, say),
        qr=Markup(qr_svg(address)) if address else None,
        address=address,
    )


def overdue_titles(
    exercises: Iterable[Exercise], every: str, today: datetime.date
) -> tuple[str, ...]:
    """Titles of exercises never reviewed, or not for too long, on the day `today`."""
    found = []
    for exercise in exercises:
        last = due(exercise.reviewed.date, every) if exercise.reviewed else None
        if exercise.reviewed is None or (last is not None and last < today):
            found.append(exercise.title)
    return tuple(found)


def _styles() -> str:
    folder = importlib.resources.files("rungbook_theme") / "styles"
    return "\n".join(
        (folder / name).read_text(encoding="utf-8") for name in ("drawing.css", "sheet.css")
    )


def sheet_document(
    measured: MeasuredLibrary,
    chosen: Iterable[Chosen],
    say: Messages,
    today: datetime.date,
    weeks: int = 2,
    paper: Paper | None = None,
) -> str:
    """The sheet as HTML, to be printed by a browser.

    Raises:
        rungbook.site.sheet.sheet.SheetRefused: it must not be made; the message says why.
    """
    settled = choose(measured, chosen)
    printed = tuple(_printed(measured, exercise, item, say) for exercise, item in settled)
    paper = paper or Paper()
    styles = (
        f"@page {{ size: {'letter' if paper.size == 'letter' else 'A4'}; margin: 11mm 15mm; }}\n"
    )
    styles += _styles()
    digest = base64.b64encode(hashlib.sha256(styles.encode()).digest()).decode()
    return (
        environment()
        .get_template("documents/sheet.html")
        .render(
            say=say,
            frame=sheet_frame(measured, say),
            printed=printed,
            pain=pain_blocks([item.part for item in printed]),
            weeks=range(1, weeks + 1),
            paper=paper,
            reviews=tuple((exercise.title, exercise.reviewed) for exercise, _ in settled),
            overdue=overdue_titles(
                (exercise for exercise, _ in settled), measured.library.settings.review.every, today
            ),
            edited=tuple(
                exercise.title
                for exercise, item in settled
                if item.dose not in (None, exercise.dose)
            ),
            changed=tuple(exercise.title for exercise, _ in settled if exercise.altered),
            styles=Markup(styles),
            digest=digest,
        )
    )
