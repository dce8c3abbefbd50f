"""Make a small valid library to start from."""

from __future__ import annotations

import pathlib

import click


@click.command(epilog="Example: rungbook new library")
@click.argument("folder", metavar="DIR", type=click.Path(path_type=pathlib.Path))
def command(folder: pathlib.Path) -> None:
    """Make a small valid library in DIR: three exercises, a ladder, and comments that explain them.

    A folder that holds anything already is left as it is.
    """
    from rungbook.pipeline.starting import NotEmpty, start

    try:
        written = start(folder)
    except NotEmpty as error:
        raise click.UsageError(f"{error}.") from None
    for path in written:
        click.echo(f"{folder / path}")
    click.echo(f"\nNow: rungbook check --library {folder}")
