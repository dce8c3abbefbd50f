"""Mark exercises as reviewed as they stand, or list what waits for a review."""

from __future__ import annotations

import datetime
import json
import pathlib
from collections.abc import Iterable
from itertools import groupby
from typing import TYPE_CHECKING

import click

from rungbook.cli import options

if TYPE_CHECKING:
    from rungbook.model.library import Library
    from rungbook.pipeline.reviewing import Waiting

LONGEST_ROLE = 100


def _role(ctx: click.Context, param: click.Parameter, value: str | None) -> str | None:
    if value is None:
        return None
    plain = value.strip()
    if not plain or len(plain) > LONGEST_ROLE or not plain.isprintable() or set(plain) & set("<>"):
        raise click.BadParameter(
            f"a role in plain words is expected, {LONGEST_ROLE} letters at most, "
            "such as 'Senior physiotherapist'."
        )
    return plain


@click.command(
    epilog="Example: rungbook review heel-raise-one-leg --by 'Senior physiotherapist'",
)
@click.argument("exercises", nargs=-1, metavar="[EXERCISE]...")
@click.option(
    "--by", callback=_role, metavar="ROLE",
    help="Who reviewed it: a role, no name. With --queue, only what that role reviewed last.",
)  # fmt: skip
@click.option("--queue", is_flag=True, help="List what waits for a review, by role and date.")
@options.library
@options.output_format("text", "json")
@options.today
def command(
    exercises: tuple[str, ...],
    by: str | None,
    queue: bool,
    library: pathlib.Path,
    output_format: str,
    today: datetime.date,
) -> None:
    """Mark each EXERCISE as reviewed: writes the date, the role and a seal into its file.

    The seal is a sum of all it says, inherited parts and pictures included. Once any of that
    changes, the exercise is "changed since review" on its page, on sheets, in check and compare.
    Read what you review: the command only notes that somebody did.

    Exit status: 0 done, 2 the call is wrong or nothing was written.
    """
    from rungbook.pipeline import reviewing
    from rungbook.reading.read import read_library

    if queue == bool(exercises):
        raise click.UsageError("name the exercises to mark, or ask for --queue.")
    read = read_library(library)
    if queue:
        waiting = [one for one in reviewing.queue(read, today) if by is None or one.role == by]
        click.echo(_values(waiting) if output_format == "json" else _listed(waiting))
        return
    if by is None:
        raise click.UsageError("--by ROLE is missing: say who reviewed it.")
    _mark(read, exercises, by, today, output_format)


def _mark(
    read: Library, exercises: tuple[str, ...], by: str, today: datetime.date, output_format: str
) -> None:
    from rungbook.cli.known import exercise_of
    from rungbook.filling.front import CannotEdit
    from rungbook.pipeline.reviewing import mark_reviewed
    from rungbook.pipeline.together import NotWritten
    from rungbook.reading.bases import list_whole

    ids = [exercise_of(read, id) for id in dict.fromkeys(exercises)]
    try:
        files = mark_reviewed(read, ids, by, today, list_whole(read.root).pictures)
    except (CannotEdit, NotWritten) as error:
        raise click.UsageError(f"{error}.") from None
    if output_format == "json":
        done = [{"id": id, "file": file} for id, file in zip(ids, files, strict=True)]
        click.echo(json.dumps({"reviewed": done}, indent=2))
        return
    for id, file in zip(ids, files, strict=True):
        found = read.exercises[id]
        of = f", with what it takes from {found.variation_of}" if found.variation_of else ""
        click.echo(f"{id}: reviewed as it stands{of} ({file})")
        if found.borrowed:
            click.echo(
                f"  but {found.kept_off_sheets}: see rungbook check --explain words-inherited"
            )


def _values(waiting: Iterable[Waiting]) -> str:
    rows = [
        {
            "id": one.id,
            "title": one.title,
            "why": one.why,
            "by": one.role or None,
            "date": one.date.isoformat() if one.date else None,
        }
        for one in waiting
    ]
    return json.dumps({"waiting": rows}, indent=2, ensure_ascii=False)


def _listed(waiting: list[Waiting]) -> str:
    if not waiting:
        return "Nothing waits for a review."
    lines = []
    for role, ones in groupby(waiting, key=lambda one: one.role):
        lines.append(f"{role or 'Nobody yet'}:")
        for one in ones:
            lines.append(f"  {one.date or '          '}  {one.id}: {one.why}")
    return "\n".join(lines)
