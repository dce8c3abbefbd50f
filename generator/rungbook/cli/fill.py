"""Find the exercises that fill a step that is too large."""

from __future__ import annotations

import datetime
import json
import pathlib
import sys
from typing import TYPE_CHECKING

import click

from rungbook.cli import options

if TYPE_CHECKING:
    from rungbook.filling.solve import Filling
    from rungbook.filling.write import Written
    from rungbook.ladder.measured import MeasuredLibrary


@click.command(epilog="Example: rungbook fill standing-raise-stick standing-raise --write")
@click.argument("from_id", metavar="FROM")
@click.argument("to_id", metavar="TO")
@click.option(
    "--write",
    is_flag=True,
    help="Add the drafts to the library, in place of the direct progression.",
)
@options.library
@options.output_format("text", "json")
@options.today
def command(
    from_id: str,
    to_id: str,
    write: bool,
    library: pathlib.Path,
    output_format: str,
    today: datetime.date,
) -> None:
    """Propose exercises between FROM and TO, so that no step is larger than one step may be.

    Proposals are computed, not reviewed: they go on no patient's sheet before somebody has.

    Exit status: 0 a path was found, 1 there is none, 2 the call is wrong or nothing was written.
    """
    from rungbook.cli import known
    from rungbook.cli.progress import progress
    from rungbook.filling.plain import filling_values
    from rungbook.filling.solve import fill
    from rungbook.filling.write import CannotWrite, write_filling
    from rungbook.pipeline.analyse import analyse

    with progress() as say:
        measured = analyse(library, today, say).measured
        known.two(measured, from_id, to_id)
        say("computing candidates")
        found = fill(measured, from_id, to_id)
    written: Written | None = None
    if write and found.blocked_by is None:
        try:
            written = write_filling(measured, found)
        except CannotWrite as error:
            raise click.UsageError(f"{error}.") from None
    if output_format == "json":
        values = filling_values(found)
        if written is not None:
            values["written"] = {"added": written.added, "changed": written.changed}
        click.echo(json.dumps(values, indent=2, ensure_ascii=False))
    else:
        click.echo(_text(measured, found, written))
    if found.blocked_by is not None:
        sys.exit(1)


def _text(measured: MeasuredLibrary, found: Filling, written: Written | None) -> str:
    from rungbook.ladder.words import size_in_words, worst_in_words

    if found.step.axes:
        size = size_in_words(found.step)
        if found.step.missing:
            size = f"{size} ({worst_in_words(found.step)})"
        lines = [f"The step from {found.from_id} to {found.to_id} is {size}.", ""]
    else:
        lines = []
    if found.blocked_by is not None:
        lines.append(f"No exercises fill it. {_sentence(found.blocked_by.message)}")
        if found.capped:
            lines.append(_cap(found))
        return "\n".join(lines)
    lines += _rungs(measured, found)
    if found.proposals:
        lines += ["", "Computed, not reviewed: try them, correct them, review them before use."]
    if found.capped:
        lines.append(_cap(found))
    if written is not None:
        lines += ["", *(f"added {path}" for path in written.added)]
        lines += [f"changed {path}" for path in written.changed]
    elif found.proposals:
        lines.append(f"To add them: rungbook fill {found.from_id} {found.to_id} --write")
    return "\n".join(lines)


def _sentence(text: str) -> str:
    return text[:1].upper() + text[1:]


def _cap(found: Filling) -> str:
    return f"There are more combinations than are tried; {found.computed} were computed."


def _rungs(measured: MeasuredLibrary, found: Filling) -> list[str]:
    """The path, one rung a line, drafts marked."""
    from rungbook.ladder.words import steps_text

    drafts = {one.candidate.exercise.id: one for one in found.proposals}
    lines = []
    for id in found.rungs:
        if id in drafts:
            one = drafts[id]
            load = f"{one.load.demand_nm:.1f} N·m, {steps_text(one.step_size)}"
            lines.append(f"  + {one.candidate.exercise.title}\n      {id}: {load}")
        else:
            exercise = measured.library.exercises[id]
            lines.append(
                f"    {exercise.title}\n      {id}: {measured.loads[id].demand_nm:.1f} N·m"
            )
    if found.last_step_size is not None:
        lines.append(f"  The last one: {steps_text(found.last_step_size)}.")
    return lines
