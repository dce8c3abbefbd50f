"""Give an exercise or a ladder another id, everywhere at once."""

from __future__ import annotations

import pathlib

import click

from rungbook.cli import options


@click.command(epilog="Example: rungbook rename heel-raise-one-leg heel-raise-single")
@click.argument("old", metavar="OLD")
@click.argument("new", metavar="NEW")
@options.library
def command(old: str, new: str, library: pathlib.Path) -> None:
    """Rename the exercise or ladder OLD to NEW: its file, and every file that names it.

    The file says what it was 'formerly', and the site keeps a page at the old address that leads
    to the new one. Reviews stay as they are; nothing else changes.

    Exit status: 0 done, 2 the call is wrong or nothing was written.
    """
    from rungbook.filling.front import CannotEdit
    from rungbook.pipeline.renaming import NotRenamed, rename
    from rungbook.pipeline.together import NotWritten
    from rungbook.reading.read import read_library

    try:
        done = rename(read_library(library), old, new)
    except NotRenamed as error:
        raise click.UsageError(str(error)) from None
    except (CannotEdit, NotWritten) as error:
        click.echo(f"Error: {error}", err=True)
        raise click.exceptions.Exit(2) from None
    click.echo(f"{done.old} is now {done.new}")
    for file in done.changed:
        click.echo(f"changed {file}")
