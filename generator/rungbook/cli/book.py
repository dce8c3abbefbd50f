"""Write the whole library as one HTML file made for print."""

from __future__ import annotations

import datetime
import pathlib

import click

from rungbook.cli import options


@click.command(
    epilog="Example: rungbook book --library library --output book.html",
    short_help=__doc__,
)
@options.library
@click.option("--draft", is_flag=True, help="Write it despite errors; the cover says so.")
@options.today
@click.option(
    "--output",
    type=click.Path(dir_okay=False, path_type=pathlib.Path),
    default=pathlib.Path("book.html"),
    show_default=True,
    metavar="FILE",
    help="The file to write; - writes to standard output.",
)
def command(library: pathlib.Path, draft: bool, today: datetime.date, output: pathlib.Path) -> None:
    """Write the library as a book: cover, contents with page numbers, ladders, exercises one a
    page, cautions, index.

    One file that needs nothing else: open it in a browser and print it on A4. A library with
    errors makes none without --draft; then the exit status is 1.
    """
    from rungbook.ladder.words import counted
    from rungbook.pipeline.analyse import analyse
    from rungbook.reports.writing import write
    from rungbook.site.book import book

    analysis = analyse(library, today)
    errors = analysis.counts["error"]
    if errors and not draft:
        click.echo(
            f"Not written: {counted(errors, 'error')} in the library. `rungbook check` names "
            "them; mend them, or write with --draft.",
            err=True,
        )
        raise SystemExit(1)
    text = book(analysis)
    if str(output) == "-":
        click.echo(text, nl=False)
        return
    try:
        write(output, text)
    except OSError as error:
        raise click.UsageError(f"{output} cannot be written: {error.strerror}.") from None
    measured = analysis.measured.library
    click.echo(f"Wrote {counted(len(measured.exercises), 'exercise')} to {output}: print it on A4.")
