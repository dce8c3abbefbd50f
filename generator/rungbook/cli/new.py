"""Make a small valid library to start from."""

from __future__ import annotations

import pathlib

import click


def _source(ctx: click.Context, param: click.Parameter, value: str | None) -> str | None:
    if value is not None and (not value.isprintable() or set(value) & set("\"'\\`$;&|<>{}")):
        raise click.BadParameter("a requirement as pip takes it, without quotes, is expected.")
    return value


@click.command(epilog="Example: rungbook new library")
@click.argument("folder", metavar="DIR", type=click.Path(path_type=pathlib.Path))
@click.option(
    "--source",
    callback=_source,
    metavar="REQUIREMENT",
    help="What pip installs where the library checks itself (default: this version).",
)
def command(folder: pathlib.Path, source: str | None) -> None:
    """Make a small valid library in DIR: three exercises, a ladder, and comments that explain them.

    DIR is fit to be a repository of its own: with a .gitignore, and a workflow that checks every
    change and publishes the site. A folder that holds anything already is left as it is.
    """
    from rungbook.pipeline.starting import USUAL_SOURCE, NotEmpty, start

    try:
        written = start(folder, source or USUAL_SOURCE)
    except NotEmpty as error:
        raise click.UsageError(f"{error}.") from None
    for path in written:
        click.echo(f"{folder / path}")
    click.echo(f"\nNow: rungbook check --library {folder}")
