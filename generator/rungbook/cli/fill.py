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
    from rungbook.filling.result import Filling
    from rungbook.ladder.measured import MeasuredLibrary
    from rungbook.pipeline.adding import Added


@click.command(epilog="Example: rungbook fill standing-raise-stick standing-raise --write")
@click.argument("from_id", metavar="FROM")
@click.argument("to_id", metavar="TO")
@click.option(
    "--write",
    is_flag=True,
    help="Add the drafts to the library, and draft progressions to them; what is there stays.",
)
@options.ladder
@options.library
@options.output_format("text", "json")
@options.today
def command(
    from_id: str,
    to_id: str,
    write: bool,
    ladder: str | None,
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
    from rungbook.filling.result import filling_values
    from rungbook.filling.search import fill, leads_back
    from rungbook.pipeline.adding import add
    from rungbook.pipeline.analyse import analyse
    from rungbook.pipeline.together import NotWritten

    added: Added | None = None
    with progress() as say:
        analysis = analyse(library, today, say)
        measured = analysis.measured
        known.two(measured, from_id, to_id)
        known.ladder(measured, ladder, from_id, to_id)
        if why := leads_back(measured, from_id, to_id):
            raise click.UsageError(f"{why} Did you mean: rungbook fill {to_id} {from_id}")
        found = fill(measured, from_id, to_id, ladder=ladder, say=say)
        if write and found.proposals:
            say("checking the library with them")
            try:
                added = add(analysis, found, today)
            except NotWritten as error:
                raise click.UsageError(f"{error}") from None
    if output_format == "json":
        values = filling_values(found)
        if added is not None:
            values["written"] = {"added": added.added, "changed": added.changed}
        click.echo(json.dumps(values, indent=2, ensure_ascii=False))
    else:
        click.echo(_text(measured, found, added))
    if found.blocked_by is not None:
        sys.exit(1)


def _text(measured: MeasuredLibrary, found: Filling, added: Added | None) -> str:
    from rungbook.ladder.words import size_in_words, worst_in_words

    lines = []
    if found.step.axes:
        size = size_in_words(found.step)
        if found.step.missing:
            size = f"{size} ({worst_in_words(found.step)})"
        by = f", on the scale of {found.ladder}" if found.ladder else ""
        lines = [f"The step from {found.from_id} to {found.to_id} is {size}{by}.", ""]
    if found.blocked_by is not None:
        block = found.blocked_by
        lines += [f"No exercises fill it. {block.message[:1].upper()}{block.message[1:]}"]
        lines += [block.add] * bool(block.add) + _left_out(found)
        return "\n".join(lines)
    lines += _rungs(measured, found)
    if found.proposals:
        lines += ["", "Computed, not reviewed: try them, correct them, review them before use."]
    lines += _left_out(found)
    if added is not None:
        lines += _added(found, added)
    elif found.proposals:
        lines.append(f"To add them: rungbook fill {found.from_id} {found.to_id} --write")
    return "\n".join(lines)


def _left_out(found: Filling) -> list[str]:
    if not found.left_out:
        return []
    return [
        f"There are more combinations than are tried: {found.computed} were computed, "
        f"{found.left_out} of the less usual ones were not."
    ]


def _rungs(measured: MeasuredLibrary, found: Filling) -> list[str]:
    """The path, one rung a line, drafts marked."""
    from rungbook.ladder.words import steps_text

    drafts = {one.candidate.exercise.id: one for one in found.proposals}
    lines = []
    for id in found.rungs:
        one = drafts.get(id)
        exercise = one.candidate.exercise if one else measured.library.exercises[id]
        load = one.load if one else measured.loads[id]
        mark = "+" if one else " "
        note = "" if one or exercise.draft is None else " (a draft)"
        size = f", {steps_text(found.sizes[id])}" if id in found.sizes else ""
        lines.append(f"  {mark} {exercise.title}{note}\n      {id}: {load.demand_nm:.1f} N·m{size}")
        if one is not None and one.opposite is not None:
            muscles, moment = one.opposite
            lines.append(f"      the {muscles} work the other way there: {moment:.1f} N·m")
    return lines


def _added(found: Filling, added: Added) -> list[str]:
    """What was written, what is left to do, and how to undo it."""
    drafts = ", ".join(one.candidate.exercise.id for one in found.proposals)
    undo = f"To undo it, delete {'the added file' if len(added.added) == 1 else 'the added files'}"
    if added.changed:
        undo += f" and the progressions with `draft: true` to {drafts} in the changed one"
    return [
        "",
        *(f"added {path}" for path in added.added),
        *(f"changed {path}" for path in added.changed),
        "Until their criteria (`when`) are written and they are reviewed, the way there is as it "
        "was.",
        f"{undo}.",
    ]
