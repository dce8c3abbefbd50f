"""Make draft exercises from the rows of a spreadsheet or CSV file."""

from __future__ import annotations

import json
import pathlib
from typing import TYPE_CHECKING

import click

from rungbook.cli import options

if TYPE_CHECKING:
    from rungbook.intake.intake import Intake
    from rungbook.intake.intake_files import IntakeFolder
    from rungbook.intake.table import Sheet
    from rungbook.model.library import Library


@click.command(epilog="Example: rungbook intake our-exercises.xlsx --dry-run")
@click.argument("file", type=click.Path(path_type=pathlib.Path))
@options.library
@click.option(
    "--mapping",
    type=click.Path(path_type=pathlib.Path, dir_okay=False),
    metavar="FILE",
    help="Which column becomes what (default: <library>-intake/<name of the table>.yml).",
)
@click.option("--sheet", metavar="NAME", help="The sheet of a workbook (default: the first).")
@click.option("--encoding", metavar="NAME", help="A text file's encoding, such as cp1252.")
@click.option("--delimiter", metavar="CHARACTER", help="What stands between its cells.")
@click.option("--dry-run", is_flag=True, help="Report what would be done and write nothing.")
@options.output_format("text", "json")
def command(
    file: pathlib.Path,
    library: pathlib.Path,
    mapping: pathlib.Path | None,
    sheet: str | None,
    encoding: str | None,
    delimiter: str | None,
    dry_run: bool,
    output_format: str,
) -> None:
    """Make draft exercises from the rows of a spreadsheet (.xlsx) or CSV file.

    The first run proposes what each column becomes and saves that as a file to edit; later runs
    obey the file. What cannot be understood stays in the draft, word for word, under "From the
    spreadsheet". A file that somebody edited is never written over; running again changes only
    what the table changed. Words that the vocabulary does not have are kept as text: add them to
    it and run again.
    """
    from rungbook.cli.progress import progress
    from rungbook.intake.intake_files import IntakeFolder, carry_out
    from rungbook.intake.intake_report import report_text, report_values
    from rungbook.intake.table import CannotRead
    from rungbook.reading.read import read_library
    from rungbook.reports.writing import write

    try:
        with progress() as say:
            say("reading the table")
            if delimiter is not None:
                delimiter = {"\\t": "\t", "tab": "\t"}.get(delimiter, delimiter)
                if len(delimiter) != 1:
                    raise CannotRead("--delimiter is one character, such as ';' or tab")
            found = _sheet(file, sheet, encoding, delimiter)
            say("reading the library")
            read = read_library(library)
            folder = IntakeFolder(library)
            at = mapping or folder.mapping_file(found.file, found.name)
            say("making drafts")
            intake = _plan(found, at, read, folder)
            if not dry_run:
                carry_out(intake, folder, at, write)
    except CannotRead as error:
        raise click.UsageError(str(error)) from None
    if output_format == "json":
        values = report_values(intake, at, dry_run)
        click.echo(json.dumps(values, indent=2, ensure_ascii=False))
    else:
        click.echo(report_text(intake, at, dry_run), nl=False)


def _sheet(
    file: pathlib.Path, sheet: str | None, encoding: str | None, delimiter: str | None
) -> Sheet:
    from rungbook.intake.read_table import read_table
    from rungbook.intake.table import MOST_BYTES, CannotRead
    from rungbook.model.finding import Finding
    from rungbook.reading.raw import read_bytes

    data = read_bytes(str(file), file.name, MOST_BYTES)
    if isinstance(data, Finding):
        raise CannotRead(f"{file}: {data.message}")
    return read_table(data, file.name, sheet, encoding, delimiter)


def _plan(sheet: Sheet, at: pathlib.Path, library: Library, folder: IntakeFolder) -> Intake:
    from rungbook.intake.intake import plan
    from rungbook.intake.mapping import propose, read_mapping
    from rungbook.intake.table import CannotRead
    from rungbook.intake.words import Words

    if at.exists():
        try:
            text = at.read_text("utf-8")
        except (OSError, UnicodeDecodeError) as error:
            raise CannotRead(f"{at} cannot be read ({error}): mend or delete it") from None
        table, columns = read_mapping(text, str(at), sheet)
    else:
        table, columns = propose(sheet, Words(library))
    return plan(table, columns, library, folder.record(), folder.finder())
