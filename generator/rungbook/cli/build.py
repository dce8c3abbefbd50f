"""Check the library, then publish it as a site."""

from __future__ import annotations

import datetime
import pathlib
import time

import click

from rungbook.cli import options


@click.command(
    epilog="Example: rungbook build --library library --site public",
    short_help=__doc__,
)
@options.library
@click.option(
    "--site",
    "site_dir",
    type=click.Path(path_type=pathlib.Path),
    default=pathlib.Path("site"),
    show_default=True,
    metavar="DIR",
    help="Where the site goes. Replaced as a whole, once the new one is complete.",
)
@click.option("--draft", is_flag=True, help="Publish despite errors, with a banner on every page.")
@options.today
def command(
    library: pathlib.Path, site_dir: pathlib.Path, draft: bool, today: datetime.date
) -> None:
    """Check the library, then publish it as a site of linked pages.

    A library with errors is not published: the old site stays as it is, and the exit status
    is 1 (2 where the folder cannot be written). The pages open from the disk and need no
    network.
    """
    import gc

    from rungbook.ladder.words import counted
    from rungbook.pipeline.analyse import analyse
    from rungbook.site.publishing.publish import NotPublished, publish

    gc.disable()  # the process ends soon, and hardly anything it makes is a loop
    started = time.monotonic()
    analysis = analyse(library, today)
    for finding in analysis.findings:
        if finding.level == "error":
            click.echo(f"{finding.place}: {finding.level}: {finding.message} [{finding.check}]")
    try:
        published = publish(analysis, site_dir, draft, relief=True)
    except NotPublished as error:
        click.echo(f"Not published: {error}", err=True)
        raise SystemExit(1 if analysis.counts["error"] and not draft else 2) from None
    for warning in published.warnings:
        click.echo(f"Warning: {warning}", err=True)
    click.echo(
        f"Published {counted(published.exercises, 'exercise')} and "
        f"{counted(published.ladders, 'ladder')} in "
        f"{site_dir} ({time.monotonic() - started:.1f} s): open {site_dir / 'index.html'}"
    )
