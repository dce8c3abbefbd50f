"""Options that several commands share."""

from __future__ import annotations

import datetime
import os
import pathlib
from collections.abc import Callable
from typing import Any, TextIO, TypeVar

import click

Function = TypeVar("Function", bound=Callable[..., Any])
Decorator = Callable[[Function], Function]


def _usual_library() -> pathlib.Path:
    """The folder `library` here, or this folder where it is a library itself."""
    here = pathlib.Path()
    inside = (here / "library.yml").is_file() and not (here / "library").is_dir()
    return here if inside else pathlib.Path("library")


def _name_bases(
    ctx: click.Context, param: click.Parameter, value: tuple[pathlib.Path, ...]
) -> None:
    from rungbook.reading.bases import name_bases

    name_bases(value)


def library(function: Function) -> Function:
    """`--library DIR`, passed as `library: pathlib.Path`; `--base DIR` beside it, which names what
    the library builds on."""
    function = click.option(
        "--base",
        type=click.Path(path_type=pathlib.Path, file_okay=False),
        multiple=True,
        callback=_name_bases,
        expose_value=False,
        metavar="DIR",
        help="Where a library that it extends lies, if not in the same repository.",
    )(function)
    return click.option(
        "--library",
        type=click.Path(path_type=pathlib.Path),
        default=_usual_library,
        show_default="library, or this folder",
        metavar="DIR",
        help="The library's folder.",
    )(function)


def ladder(function: Function) -> Function:
    """`--ladder LADDER`, passed as `ladder: str | None`."""
    return click.option(
        "--ladder",
        metavar="LADDER",
        help="By whose limits and scale to measure (default: the first that holds what is named).",
    )(function)


def output_format(*choices: str) -> Callable[[Function], Function]:
    """`--format`, passed as `output_format: str`; the first choice is the default."""
    return click.option(
        "--format",
        "output_format",
        type=click.Choice(choices),
        default=choices[0],
        show_default=True,
        help="How to print the result.",
    )


def _date(ctx: click.Context, param: click.Parameter, value: str | None) -> datetime.date:
    if value is None:
        return datetime.date.today()
    try:
        return datetime.date.fromisoformat(value)
    except ValueError:
        raise click.BadParameter(f"'{value}' is not a date such as 2026-05-01.") from None


def today(function: Function) -> Function:
    """`--today DATE`, passed as `today: datetime.date`."""
    return click.option(
        "--today",
        callback=_date,
        metavar="DATE",
        help="The day to judge reviews and acceptances by (default: today's date).",
    )(function)


def fail_on(function: Function) -> Function:
    """`--fail-on LEVEL`, passed as `fail_on: str`."""
    return click.option(
        "--fail-on",
        type=click.Choice(["error", "warning", "note"]),
        default="error",
        show_default=True,
        help="The least level that gives exit status 1.",
    )(function)


def tests(function: Function) -> Function:
    """`--test TEST=RESULT`, repeatable, passed as `tests: tuple[str, ...]`."""
    return click.option(
        "--test",
        "tests",
        multiple=True,
        metavar="TEST=RESULT",
        help="A test's result in its own unit: 'chair-stand-30s=12'.",
    )(function)


def document(default: str) -> Callable[[Function], Function]:
    """`--output FILE`, passed as `output: pathlib.Path`; `-` is standard output."""
    return click.option(
        "--output",
        type=click.Path(dir_okay=False, path_type=pathlib.Path),
        default=pathlib.Path(default),
        show_default=True,
        metavar="FILE",
        help="The file to write; - writes to standard output.",
    )


def put_out(text: str, output: pathlib.Path, told: str) -> None:
    """Writes a document where `document` says, then says so in `told`.

    Raises:
        click.UsageError: the file cannot be written.
    """
    from rungbook.reports.writing import write

    if str(output) == "-":
        click.echo(text, nl=False)
        return
    try:
        write(output, text)
    except OSError as error:
        raise click.UsageError(f"{output} cannot be written: {error.strerror}.") from None
    click.echo(told)


def colours(stream: TextIO) -> bool:
    """Whether to colour what goes to `stream`: a terminal, and NO_COLOR is not set."""
    return stream.isatty() and not os.environ.get("NO_COLOR") and os.environ.get("TERM") != "dumb"
