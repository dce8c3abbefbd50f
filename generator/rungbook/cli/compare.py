"""Show what changed between two libraries or git revisions."""

from __future__ import annotations

import datetime
import pathlib
import sys
from collections.abc import Iterator
from contextlib import contextmanager

import click

from rungbook.cli import options
from rungbook.model.finding import Level


@contextmanager
def _opened(named: str, library: pathlib.Path) -> Iterator[pathlib.Path]:
    """A folder as it is, or a revision of the library in a temporary folder."""
    if pathlib.Path(named).is_dir():
        yield pathlib.Path(named)
        return
    from rungbook.pipeline.repository import NoRevision
    from rungbook.pipeline.revision import library_at

    try:
        with library_at(named, library) as folder:
            yield folder
    except NoRevision as error:
        raise click.UsageError(f"{error}.") from None


@click.command(epilog="Example: rungbook compare main --fail-on warning")
@click.argument("old")
@click.argument("new", required=False)
@options.library
@options.output_format("text", "json")
@options.fail_on
@options.today
def command(
    old: str,
    new: str | None,
    library: pathlib.Path,
    output_format: str,
    fail_on: Level,
    today: datetime.date,
) -> None:
    """Show what changed between OLD and NEW: exercises, loads, steps, routes, cautions, reviews.

    OLD and NEW are folders of libraries, or git revisions of the library that --library names;
    without NEW, the library as it is in its folder. The text is Markdown, fit for a comment on a
    pull request.

    Exit status: 1 where a change is as grave as --fail-on says. A step that became too large and a
    goal that can no longer be reached are errors; a lost caution and a longer route are warnings; a
    new finding has its own level.
    """
    from importlib import import_module

    from rungbook.cli.progress import progress
    from rungbook.pipeline.analyse import analyse
    from rungbook.pipeline.comparison import compare

    with progress() as say, _opened(old, library) as before:
        old_analysis = analyse(before, today, say)
        with _opened(new if new is not None else str(library), library) as after:
            new_analysis = analyse(after, today, say)
    comparison = compare(old_analysis, new_analysis, old, new if new is not None else str(library))
    report = import_module(f"rungbook.reports.comparison_{output_format}")
    click.echo(report.render(comparison), nl=False)
    if comparison.worst_at_least(fail_on):
        sys.exit(1)
