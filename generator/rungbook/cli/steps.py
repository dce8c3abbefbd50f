"""Show how large each step of a ladder is, and what makes it so."""

from __future__ import annotations

import datetime
import json
import pathlib
from typing import TYPE_CHECKING

import click

from rungbook.cli import options

if TYPE_CHECKING:
    from rungbook.ladder.measured import MeasuredLadder, MeasuredLibrary


@click.command(epilog="Example: rungbook steps calf-loading")
@click.argument("ladders", nargs=-1, metavar="[LADDER]...")
@options.library
@options.output_format("text", "json")
@options.today
def command(
    ladders: tuple[str, ...], library: pathlib.Path, output_format: str, today: datetime.date
) -> None:
    """Show each step of the ladders: its size, what rises from what to what, what is missing.

    Sizes are in steps: one step may add half the load it starts from, at least a quarter of the
    ladder's standard exercise's. Without LADDER, every ladder is shown.
    """
    from rungbook.cli.known import known
    from rungbook.cli.progress import progress
    from rungbook.ladder.plain import ladder_values
    from rungbook.pipeline.analyse import analyse

    with progress() as say:
        measured = analyse(library, today, say).measured
    chosen = [known(id, measured.ladders, "ladder") for id in ladders] or list(measured.ladders)
    if output_format == "json":
        values = {
            "ladders": [ladder_values(measured, measured.ladders[id]) for id in chosen],
            "not_judged": list(measured.not_judged),
        }
        click.echo(json.dumps(values, indent=2, ensure_ascii=False))
        return
    if not chosen:
        click.echo("The library has no ladders.")
    for number, id in enumerate(chosen):
        click.echo(("\n" if number else "") + _table(measured, measured.ladders[id]))
    for line in measured.not_judged:
        click.echo(f"\n{line[:1].upper()}{line[1:]}")


def _table(measured: MeasuredLibrary, one: MeasuredLadder) -> str:
    from rungbook.ladder.question import put_between
    from rungbook.ladder.steps import BESIDE_THE_SIZE, TOLERANCE
    from rungbook.ladder.words import axis_in_words, counted, size_in_words

    lines = [f"{one.ladder.title} ({one.ladder.id}): {counted(len(one.rungs), 'rung')}"]
    if not one.rungs:
        lines.append("  No entry leads to the goal: see rungbook check.")
    for step in one.steps:
        lines.append(f"\n  {step.from_id} → {step.to_id}")
        lines.append(f"    {size_in_words(step)}")
        shown = sorted(step.axes.items(), key=lambda item: -item[1].size)
        for axis, size in shown:
            if axis not in BESIDE_THE_SIZE and (size.size >= 0.05 or axis == "demand"):
                mark = "!" if size.size > 1 + TOLERANCE else " "
                lines.append(f"    {mark} {size.size:4.2f}  {axis_in_words(axis, size)}")
        if step.elsewhere and step.axes.get("elsewhere") and step.axes["elsewhere"].size >= 0.5:
            words = axis_in_words("elsewhere", step.axes["elsewhere"], step.elsewhere)
            lines.append(f"      beside it: {words}")
        if step.missing:
            advice, command = put_between(measured, step, one.ladder.id)
            lines.append(f"    fill it: {command}" if command else f"    {advice}")
    return "\n".join(lines)
