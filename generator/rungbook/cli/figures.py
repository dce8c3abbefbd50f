"""Write all figures of the library on one page, for people to look at."""

from __future__ import annotations

import datetime
import pathlib

import click

from rungbook.cli import options


@click.command(
    epilog="Example: rungbook figures --without-titles --output figures.html",
    short_help=__doc__,
)
@options.library
@click.option(
    "--without-titles",
    is_flag=True,
    help="Fold each title away: say what the figure shows, then look.",
)
@options.today
@options.document("figures.html")
def command(
    library: pathlib.Path, without_titles: bool, today: datetime.date, output: pathlib.Path
) -> None:
    """Write every exercise's figure on one page, by area, each with its title and file.

    One HTML file that needs nothing else. Exercises without a figure are named with the reason.
    """
    from rungbook.ladder.words import counted
    from rungbook.pipeline.analyse import analyse
    from rungbook.site.figure_sheet import figure_sheet

    analysis = analyse(library, today)
    text = figure_sheet(analysis, titles=not without_titles)
    number = len(analysis.measured.library.exercises)
    told = f"Wrote the figures of {counted(number, 'exercise')} to {output}."
    options.put_out(text, output, told)
