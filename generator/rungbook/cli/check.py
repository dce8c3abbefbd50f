"""Check the library: every fault with its file, line and what to do."""

from __future__ import annotations

import datetime
import pathlib
import sys

import click

from rungbook.cli import options
from rungbook.cli.known import known
from rungbook.model.finding import Level

FORMATS = ("text", "json", "sarif", "junit", "github")


def _known(ctx: click.Context, param: click.Parameter, names: tuple[str, ...]) -> tuple[str, ...]:
    if not names:
        return names
    from rungbook.checks.registry import all_checks

    for name in names:
        if name not in all_checks():
            raise click.BadParameter(f"there is no check '{name}'.{_nearest(name)}")
    return names


def _nearest(name: str) -> str:
    from difflib import get_close_matches

    from rungbook.checks.registry import all_checks

    near = get_close_matches(name, list(all_checks()), n=1)
    return f" Did you mean '{near[0]}'?" if near else " `--explain all` lists them."


def _explained(name: str) -> str:
    from rungbook.checks.registry import all_checks
    from rungbook.reports.explained import explained, listed

    checks = all_checks()
    if name == "all":
        return listed(checks.values())
    if name not in checks:
        raise click.BadParameter(f"there is no check '{name}'.{_nearest(name)}")
    return explained(checks[name])


@click.command(epilog="Example: rungbook check --library clinic --fail-on warning")
@options.library
@options.output_format(*FORMATS)
@click.option(
    "--output",
    type=click.Path(path_type=pathlib.Path, dir_okay=False),
    metavar="FILE",
    help="Write the report to a file; nothing is left half-written.",
)
@options.fail_on
@click.option(
    "--level",
    type=click.Choice(["error", "warning", "note"]),
    default="note",
    help="Show only findings of this level or worse.",
)
@click.option(
    "--for", "about", metavar="EXERCISE", help="Show only what is about this exercise or ladder."
)
@click.option(
    "--only", multiple=True, metavar="CHECK", callback=_known, help="Run only this check."
)
@click.option(
    "--skip", multiple=True, metavar="CHECK", callback=_known, help="Leave this check out."
)
@click.option("--explain", metavar="CHECK", help="Say what a check is for; `all` lists them.")
@click.option(
    "--no-cache", is_flag=True, help="Check everything anew, whatever an earlier run kept."
)
@options.today
def command(
    library: pathlib.Path,
    output_format: str,
    output: pathlib.Path | None,
    fail_on: Level,
    level: Level,
    about: str | None,
    only: tuple[str, ...],
    skip: tuple[str, ...],
    explain: str | None,
    no_cache: bool,
    today: datetime.date,
) -> None:
    """Check the library and report what is wrong, where, and what to do about it.

    Exit status: 0 nothing at or above the failing level, 1 findings, 2 the library cannot be
    read or the call is wrong.
    """
    if explain is not None:
        click.echo(_explained(explain), nl=False)
        return
    import gc
    from importlib import import_module

    from rungbook.cli.progress import progress
    from rungbook.pipeline.check import check_library
    from rungbook.reports.report import Report
    from rungbook.reports.writing import write

    gc.disable()  # the process ends soon, and hardly anything it makes is a loop
    with progress() as say:
        checked = check_library(library, today, say, only, skip, cached=not no_cache)
    if about is not None:
        known(about, [pathlib.PurePath(file).stem for file in checked.files], "exercise or ladder")
    colour = output is None and options.colours(sys.stdout)
    text = import_module(f"rungbook.reports.{output_format}").render(
        Report(checked, library, today, fail_on, colour, level, about)
    )
    if output is None:
        click.echo(text, nl=False, color=True if colour else None)
    else:
        write(output, text)
    if checked.worst_at_least(fail_on):
        sys.exit(1)
