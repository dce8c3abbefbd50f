"""Write the whole library in a format that other programs read."""

from __future__ import annotations

import pathlib
from typing import TYPE_CHECKING

import click

from rungbook.cli import options
from rungbook.exporting.formats import BY_NAME, FORMATS, shape_of

if TYPE_CHECKING:
    from rungbook.ladder.measured import MeasuredLibrary

_LISTED = "\n".join(f"{one.name:11} {one.about}" for one in FORMATS)
HELP = f"""Write the library in a format that other programs read. The same library, the same bytes.

\b
{_LISTED}

Exercises with reading errors are left out, and said so on stderr: see rungbook check.
"""


@click.command(help=HELP, epilog="Example: rungbook export fhir --output bundle.json")
@click.argument("format", type=click.Choice(list(BY_NAME)))
@options.library
@click.option(
    "--output",
    type=click.Path(path_type=pathlib.Path, dir_okay=False),
    metavar="FILE",
    help="Write to this file instead of printing.",
)
@click.option("--shape", is_flag=True, help="Describe the format, key by key, and export nothing.")
def command(format: str, library: pathlib.Path, output: pathlib.Path | None, shape: bool) -> None:
    chosen = BY_NAME[format]
    if shape:
        click.echo(shape_of(chosen), nl=False)
        return
    text = chosen.render(_measured(library))
    if output is None:
        click.echo(text.encode(), nl=False)
        return
    from rungbook.reports.writing import write

    try:
        write(output, text)
    except OSError as error:
        raise click.UsageError(f"{output}: {error.strerror}") from None
    click.echo(f"Written to {output}.", err=True)


def _measured(root: pathlib.Path) -> MeasuredLibrary:
    from rungbook.cli.progress import progress
    from rungbook.ladder.measure import measure
    from rungbook.pipeline.loads import loads_of
    from rungbook.reading.read import read_library

    with progress() as say:
        say("reading")
        library = read_library(root)
        say("computing loads")
        measured = measure(library, loads_of(library))
    if library.withheld:
        left_out = ", ".join(sorted(library.withheld))
        click.echo(f"Left out for errors: {left_out}. See rungbook check.", err=True)
    return measured
