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
@options.document("book.html")
def command(library: pathlib.Path, draft: bool, today: datetime.date, output: pathlib.Path) -> None:
    """Write the library as a book: cover, contents with page numbers, ladders, exercises one a
    page, cautions, index.

    One file that needs nothing else: open it in a browser and print it on A4. A library with
    errors makes none without --draft; then the exit status is 1.
    """
    from rungbook.ladder.words import counted
    from rungbook.pipeline.analyse import analyse
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
    number = len(analysis.measured.library.exercises)
    told = f"Wrote {counted(number, 'exercise')} to {output}: print it on A4."
    options.put_out(book(analysis), output, told)
