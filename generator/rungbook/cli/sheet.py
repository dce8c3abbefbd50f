"""Write a patient's sheet as one HTML file, to be printed by a browser."""

from __future__ import annotations

import datetime
import os
import pathlib
import re
import sys
from collections.abc import Iterable
from typing import TYPE_CHECKING

import click

from rungbook.cli import options

if TYPE_CHECKING:
    from rungbook.ladder.measured import MeasuredLibrary
    from rungbook.model.exercise import Dose
    from rungbook.site.sheet.sheet import Chosen

EXAMPLE = """\b
Example:
  rungbook sheet heel-raise-one-leg:left wall-slide --weeks 4 --output sheet.html
  rungbook sheet heel-raise-one-leg --side right --dose 'sets=2, reps=8-10'
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


def _edited(base: Dose | None, changes: str) -> Dose:
    """A dose with `sets=2, reps=8-10, hold='30 s'` in place of its own values."""
    from pydantic import ValidationError

    from rungbook.model.exercise import Dose
    from rungbook.model.record import kebab

    written: dict[str, object] = {}
    for item in filter(None, (part.strip() for part in re.split(r"[,;]", changes))):
        key, equals, value = item.partition("=")
        if not equals or key.strip() not in Dose.model_fields:
            known = ", ".join(kebab(name) for name in Dose.model_fields)
            raise _refuse(f"--dose: '{item}' is none of {known} with a value, such as sets=3")
        value = value.strip()
        whole = key.strip() in ("sets", "reps") and value.isdigit()
        written[key.strip()] = int(value) if whole else value
    try:
        parsed = Dose.model_validate(written)
    except ValidationError as error:
        first = error.errors()[0]
        where = ".".join(str(step) for step in first["loc"])
        raise _refuse(f"--dose: {where}: {first['msg']}") from None
    changed = {name: getattr(parsed, name) for name in written}
    kept = {} if base is None else {name: getattr(base, name) for name in Dose.model_fields}
    return Dose.model_construct(**{**kept, **changed})


def _doses(measured: MeasuredLibrary, keys: list[str], dose: tuple[str, ...]) -> dict[str, Dose]:
    """The edited doses, by exercise: `id: sets=2` for one, `sets=2` for all."""
    found: dict[str, Dose] = {}
    for text in dose:
        named = re.fullmatch(r"\s*([^=:,]+?)\s*:\s*(.*)", text)
        wanted, changes = ([named[1]], named[2]) if named else (keys, text)
        for key in wanted:
            if key not in keys:
                raise _refuse(f"--dose: '{key}' is not among the exercises of this sheet")
            exercise = measured.library.exercises.get(key)
            base = found.get(key) or (exercise.dose if exercise else None)
            found[key] = _edited(base, changes)
    return found


def _chosen(
    measured: MeasuredLibrary,
    exercises: tuple[str, ...],
    side: str | None,
    dose: tuple[str, ...],
) -> list[Chosen]:
    from rungbook.site.sheet.sheet import Chosen

    parts = _parts(exercises, side)
    doses = _doses(measured, [key for key, _ in parts], dose)
    known = measured.library.exercises
    return [
        # `--side` speaks of the one-sided exercises among them only.
        Chosen(key, None if own == side and _together(known.get(key)) else own, doses.get(key))  # type: ignore[arg-type]
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
    help="Another dose: 'sets=2, reps=8-10', for one exercise 'ID: hold=20 s'. Repeatable.",
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
    help="The file to write; - writes to standard output.",
)
def command(
    exercises: tuple[str, ...],
    library: pathlib.Path,
    side: str | None,
    dose: tuple[str, ...],
    weeks: int,
    language: str | None,
    paper: str,
    large_print: bool,
    today: datetime.date,
    output: pathlib.Path,
) -> None:
    """Write a patient's sheet as one HTML file, to be printed by a browser.

    Every one-sided exercise needs its side: EXERCISE:left, EXERCISE:right or EXERCISE:both.
    Drafts that nobody has reviewed are refused.
    """
    from rungbook.pipeline.analyse import analyse
    from rungbook.site.sheet.messages import UnknownLanguage, messages
    from rungbook.site.sheet.sheet import SheetRefused
    from rungbook.site.sheet.sheet_document import Paper, sheet_document

    measured = analyse(library, today).measured
    try:
        say = messages(language or measured.library.settings.language)
    except UnknownLanguage as error:
        if language:
            raise click.BadParameter(f"{error}.", param_hint="--language") from None
        say = messages("en")
    try:
        chosen = _chosen(measured, exercises, side, dose)
        html = sheet_document(measured, chosen, say, today, weeks, Paper(paper, large_print))
    except SheetRefused as error:
        raise CannotWriteSheet(f"{error}.") from None
    _write(output, html)


class CannotWriteSheet(click.ClickException):
    """The sheet cannot be made as asked."""

    exit_code = 2


def _write(output: pathlib.Path, html: str) -> None:
    if str(output) == "-":
        click.echo(html, nl=False)
        return
    beside = output.with_name(f".{output.name}.{os.getpid()}")
    try:
        beside.write_text(html, encoding="utf-8")
        beside.replace(output)
    except OSError as error:
        beside.unlink(missing_ok=True)
        raise CannotWriteSheet(f"cannot write {output}: {error.strerror}.") from None
    click.echo(f"Wrote {output}. Open it in a browser and print it.", err=True)
    sys.stdout.flush()
