"""Write a patient's sheet as one HTML file, or as PDF where a Chromium is at hand."""

from __future__ import annotations

import dataclasses
import datetime
import pathlib
import re
import sys
from collections.abc import Iterable
from typing import TYPE_CHECKING

import click

from rungbook.cli import options

if TYPE_CHECKING:
    from rungbook.ladder.measured import MeasuredLibrary
    from rungbook.model.exercise import Dose, Exercise
    from rungbook.model.set_up import SetUp
    from rungbook.site.sheet.choosing import Chosen, Place

EXAMPLE = """\b
Example:
  rungbook sheet heel-raise-one-leg:left wall-slide --weeks 4 --output sheet.html
  rungbook sheet heel-raise-one-leg --side right --dose 'sets=2, reps=8-10' --output sheet.pdf
  rungbook sheet squat-to-chair-weight --dose 'weight=3 kg, height=50 cm, arc=half'
"""


def _refuse(message: str) -> click.UsageError:
    return click.UsageError(message)


def _parts(exercises: Iterable[str], side: str | None) -> list[tuple[str, str | None]]:
    """`heel-raise:left` -> ("heel-raise", "left"); `side` where none is written."""
    found = []
    for text in exercises:
        key, _, own = text.partition(":")
        if own not in ("", "left", "right", "both"):
            raise _refuse(f"'{text}': the side is left, right or both, such as {key}:left")
        found.append((key, own or side))
    return found


SET_UP = ("weight", "height", "arc")
ARCS = {"three-quarters": 75, "two-thirds": 66, "half": 50, "a-third": 33, "a-quarter": 25}


def _changes(text: str) -> dict[str, str]:
    """`sets=2, hold=30 s` by key."""
    from rungbook.model.exercise import Dose
    from rungbook.model.record import kebab

    known = [*map(kebab, Dose.model_fields), *SET_UP]
    written: dict[str, str] = {}
    for item in filter(None, (part.strip() for part in re.split(r"[,;]", text))):
        key, equals, value = (part.strip() for part in item.partition("="))
        if not equals or key not in known:
            message = f"'{item}' is none of {', '.join(known)} with a value, such as sets=3"
            raise _refuse(f"--dose: {message}")
        written[key] = value
    return written


def _edited(base: Dose | None, changes: dict[str, str]) -> Dose:
    """A dose with the changes in place of its own values."""
    from pydantic import ValidationError

    from rungbook.model.exercise import Dose

    written = {
        key: int(value) if key in ("sets", "reps") and value.isdigit() else value
        for key, value in changes.items()
    }
    try:
        parsed = Dose.model_validate(written)
    except ValidationError as error:
        first = error.errors()[0]
        where = ".".join(str(step) for step in first["loc"])
        raise _refuse(f"--dose: {where}: {first['msg']}") from None
    changed = {name: getattr(parsed, name) for name in written}
    kept = {} if base is None else {name: getattr(base, name) for name in Dose.model_fields}
    return Dose.model_construct(**{**kept, **changed})


def _set_up(exercise: Exercise, base: SetUp, changes: dict[str, str]) -> SetUp:
    """What is set beside the dose, with the changes in place of its own values."""
    from pydantic_core import PydanticCustomError

    from rungbook.model.unit import magnitude

    own = {"weight": base.weight_kg, "height": base.height_m, "arc": base.arc}
    for key, value in changes.items():
        if own[key] is None:
            raise _refuse(f"--dose: {exercise.id} has no {key} to change")
        if key == "arc":
            if value not in ARCS:
                raise _refuse(f"--dose: arc: '{value}' is none of {', '.join(ARCS)}")
            base = dataclasses.replace(base, share=ARCS[value])
            continue
        try:
            amount = magnitude(value, "kg" if key == "weight" else "m")
        except PydanticCustomError as error:
            raise _refuse(f"--dose: {key}: {error.message()}") from None
        if not (0.1 <= amount <= 500 if key == "weight" else 0.01 <= amount <= 2.5):
            raise _refuse(f"--dose: {key}: '{value}' is out of bounds")
        if key == "weight":
            base = dataclasses.replace(base, weight_kg=amount)
        else:
            base = dataclasses.replace(base, height_m=amount)
    return base


def _named(option: str, text: str, keys: list[str]) -> tuple[list[str], str]:
    """`ID: words` of one exercise, or words of all."""
    named = re.fullmatch(r"\s*([a-z0-9-]+)\s*:\s*(.*)", text)
    if named and named[1] not in keys:
        raise _refuse(f"{option}: '{named[1]}' is not among the exercises of this sheet")
    return ([named[1]], named[2]) if named else (keys, text)


def _doses(
    measured: MeasuredLibrary, keys: list[str], dose: tuple[str, ...]
) -> dict[str, tuple[Dose | None, SetUp | None]]:
    """The edited doses and set-ups, by exercise: `id: sets=2` for one, `sets=2` for all."""
    from rungbook.model.set_up import set_up

    found: dict[str, tuple[Dose | None, SetUp | None]] = {}
    for text in dose:
        wanted, changes = _named("--dose", text, keys)
        written = _changes(changes)
        apart = {key: value for key, value in written.items() if key in SET_UP}
        written = {key: value for key, value in written.items() if key not in SET_UP}
        for key in wanted:
            exercise = measured.library.exercises.get(key)
            if exercise is None:
                continue  # told by its name, later
            before, own = found.get(key, (None, None))
            after = _edited(before or exercise.dose, written) if written else before
            changed = _set_up(exercise, own or set_up(exercise), apart) if apart else own
            found[key] = after, changed
    return found


def _lines(keys: list[str], line: tuple[str, ...]) -> dict[str, str]:
    """The clinician's own lines, by exercise."""
    found: dict[str, str] = {}
    for text in line:
        wanted, words = _named("--line", text, keys)
        found |= dict.fromkeys(wanted, words)
    return found


def _chosen(
    measured: MeasuredLibrary,
    exercises: tuple[str, ...],
    side: str | None,
    dose: tuple[str, ...],
    line: tuple[str, ...],
) -> list[Chosen]:
    from rungbook.site.sheet.choosing import Chosen

    parts = _parts(exercises, side)
    keys = [key for key, _ in parts]
    doses, lines = _doses(measured, keys, dose), _lines(keys, line)
    known = measured.library.exercises
    return [
        # `--side` speaks of the one-sided exercises among them only.
        Chosen(
            key,
            None if own == side and _together(known.get(key)) else own,  # type: ignore[arg-type]
            *doses.get(key, (None, None)),
            lines.get(key, ""),
        )
        for key, own in parts
    ]


def _together(exercise: object) -> bool:
    return getattr(exercise, "sides", None) == "both"


@click.command(epilog=EXAMPLE)
@click.argument("exercises", nargs=-1, required=True, metavar="EXERCISE[:SIDE]...")
@options.library
@click.option(
    "--side",
    type=click.Choice(["left", "right", "both"]),
    help="The side of every one-sided exercise that names none of its own.",
)
@click.option(
    "--dose",
    multiple=True,
    metavar="DOSE",
    help="Another dose: 'sets=2, reps=8-10', for one exercise 'ID: hold=20 s'; also weight, height "
    f"and arc ({', '.join(ARCS)}) where it has them. Repeatable.",
)
@click.option(
    "--line",
    multiple=True,
    metavar="WORDS",
    help="A line of your own under the words, for one exercise 'ID: words'. Repeatable.",
)
@click.option(
    "--order", default="", metavar="WORDS", help="An order that comes first, on page one."
)
@click.option(
    "--place",
    type=click.Choice(["home", "clinic"]),
    default="home",
    show_default=True,
    help="For home what a therapist carries is left off.",
)
@click.option(
    "--weeks",
    type=click.IntRange(1, 12),
    default=2,
    show_default=True,
    help="Weeks of the diary.",
)
@click.option("--language", metavar="CODE", help="Of the sheet (default: the library's).")
@click.option(
    "--paper", type=click.Choice(["a4", "letter"]), default="a4", show_default=True, help="Size."
)
@click.option("--large-print", is_flag=True, help="16 pt in place of 12 pt.")
@options.today
@click.option(
    "--output",
    type=click.Path(dir_okay=False, path_type=pathlib.Path),
    default=pathlib.Path("sheet.html"),
    show_default=True,
    metavar="FILE",
    help="The file to write; .pdf makes a PDF by a Chromium; - writes to standard output.",
)
def command(
    exercises: tuple[str, ...],
    library: pathlib.Path,
    side: str | None,
    dose: tuple[str, ...],
    line: tuple[str, ...],
    order: str,
    place: Place,
    weeks: int,
    language: str | None,
    paper: str,
    large_print: bool,
    today: datetime.date,
    output: pathlib.Path,
) -> None:
    """Write a patient's sheet as one HTML file, or as PDF where a Chromium is at hand.

    Every one-sided exercise needs its side: EXERCISE:left, EXERCISE:right or EXERCISE:both.
    Drafts that nobody has reviewed are refused.
    """
    from rungbook.pipeline.analyse import analyse
    from rungbook.site.sheet.choosing import SheetRefused, at_place, choose
    from rungbook.site.sheet.messages import UnknownLanguage, messages
    from rungbook.site.sheet.sheet_document import Paper, sheet_document

    measured = analyse(library, today).measured
    try:
        say = messages(language or measured.library.settings.language)
    except UnknownLanguage as error:
        if language:
            raise click.BadParameter(f"{error}.", param_hint="--language") from None
        say = messages("en")
    try:
        chosen = _chosen(measured, exercises, side, dose, line)
        for one in at_place(choose(measured, chosen), place)[1]:
            click.echo(f"Left off: {one.id}, somebody carries a limb there.", err=True)
        html = sheet_document(
            measured, chosen, say, today, weeks, Paper(paper, large_print), place, order
        )
    except SheetRefused as error:
        raise CannotWriteSheet(f"{error}.") from None
    _write(output, html)


class CannotWriteSheet(click.ClickException):
    """The sheet cannot be made as asked."""

    exit_code = 2


def _write(output: pathlib.Path, html: str) -> None:
    from rungbook.reports.writing import write
    from rungbook.site.sheet.pdf import NoPdf, pdf_of

    if str(output) == "-":
        click.echo(html, nl=False)
        return
    printed = output.suffix.lower() == ".pdf"
    try:
        content = pdf_of(html) if printed else html.encode("utf-8")
    except NoPdf as error:
        raise CannotWriteSheet(f"{error}.") from None
    try:
        write(output, content)
    except OSError as error:
        raise CannotWriteSheet(f"cannot write {output}: {error.strerror}.") from None
    what = "Print it." if printed else "Open it in a browser and print it."
    click.echo(f"Wrote {output}. {what}", err=True)
    sys.stdout.flush()
