"""Write the whole library in a format that other programs read."""

from __future__ import annotations

import pathlib
from typing import TYPE_CHECKING

import click

from rungbook.cli import options

if TYPE_CHECKING:
    from rungbook.ladder.measured import MeasuredLibrary

FORMATS = ("json", "csv", "graphml", "dot", "fhir", "schema-org")


@click.command(epilog="Example: rungbook export fhir --output bundle.json")
@click.argument("format", type=click.Choice(FORMATS))
@options.library
@click.option(
    "--output",
    type=click.Path(path_type=pathlib.Path, dir_okay=False),
    metavar="FILE",
    help="Write to this file instead of printing.",
)
@click.option("--shape", is_flag=True, help="Describe the format, key by key, and export nothing.")
def command(format: str, library: pathlib.Path, output: pathlib.Path | None, shape: bool) -> None:
    """Write the library in a format that other programs read. The same library, the same bytes.

    \b
    json        everything written and computed
    csv         one row an exercise; rungbook intake reads it again
    graphml     exercises and progressions, with the size of each step
    dot         the same graph, in the language of Graphviz
    fhir        a FHIR R5 Bundle: ActivityDefinition, PlanDefinition
    schema-org  exercise plans and ladders as JSON-LD

    Exercises with reading errors are left out, and said so on stderr: see rungbook check.
    """
    from rungbook.exporting.formats import BY_NAME

    chosen = BY_NAME[format]
    if shape:
        click.echo(chosen.shape, nl=False)
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
    from rungbook.load.compute import compute_loads
    from rungbook.reading.read import read_library

    with progress() as say:
        say("reading")
        library = read_library(root)
        say("computing loads")
        measured = measure(library, compute_loads(library.exercises.values(), library))
    if library.withheld:
        left_out = ", ".join(sorted(library.withheld))
        click.echo(f"Left out for errors: {left_out}. See rungbook check.", err=True)
    return measured
