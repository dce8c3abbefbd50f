"""Find what to give instead of an exercise that is not tolerated."""

from __future__ import annotations

import datetime
import json
import pathlib
from typing import TYPE_CHECKING

import click

from rungbook.cli import options
from rungbook.cli.filtering import Asked, filters

if TYPE_CHECKING:
    from rungbook.ladder.easier import Easier, Option
    from rungbook.model.ladder import Irritability

REASONS = (
    "load", "range", "lengthening", "bearing", "position", "speed", "volume", "impact", "lifting",
    "lowering", "holding", "next day",
)  # fmt: skip
KIND_WORDS = {
    "same": "The same exercise with less",
    "neighbour": "One rung down",
    "library": "Others of the library with the same action",
    "solved": "Computed, not reviewed",
}


@click.command(epilog="Example: rungbook easier heel-raise-one-leg --because load --without step")
@click.argument("exercise", metavar="EXERCISE")
@click.option(
    "--because",
    multiple=True,
    type=click.Choice(REASONS),
    default=("load",),
    show_default=True,
    help="What is not tolerated; may be given several times.",
)
@click.option(
    "--irritability",
    type=click.Choice(["high", "moderate", "low"]),
    default="moderate",
    show_default=True,
    help="How easily the patient is provoked: how much may be taken at once.",
)
@filters
@options.ladder
@options.library
@options.output_format("text", "json")
@options.today
def command(
    exercise: str,
    because: tuple[str, ...],
    irritability: Irritability,
    asked: Asked,
    ladder: str | None,
    library: pathlib.Path,
    output_format: str,
    today: datetime.date,
) -> None:
    """Find what asks less than EXERCISE: the same with less, one rung down, others, computed ones.

    Nearest first. Shows and computes; whether an option suits the patient is for the clinician.
    """
    from rungbook.cli import known
    from rungbook.cli.filtering import parsed
    from rungbook.cli.progress import progress
    from rungbook.filling.series import relief_of
    from rungbook.ladder.easier import easier
    from rungbook.ladder.plain import easier_values
    from rungbook.pipeline.analyse import analyse

    with progress() as say:
        measured = analyse(library, today, say).measured
        known.exercise(measured, exercise)
        known.ladder(measured, ladder, exercise)
        chosen = parsed(measured, asked)
        say("computing variations")
        relief = relief_of(measured, [exercise])[exercise]
    found = easier(measured, exercise, because, chosen, relief, irritability, ladder)
    if output_format == "json":
        click.echo(json.dumps(easier_values(found), indent=2, ensure_ascii=False))
    else:
        click.echo(_text(found))


def _text(found: Easier) -> str:
    from rungbook.ladder.words import instead_in_words

    lines = [f"Less than {found.exercise}, because of {', '.join(found.because)}:"]
    if found.ladder is not None:
        lines.append(f"Steps are measured on the ladder {found.ladder.ladder.title}.")
    kind = ""
    for option in found.options:
        if option.kind != kind:
            kind = option.kind
            lines.append(f"\n{KIND_WORDS[kind]}")
        lines.append(_line(option))
        if option.instead is not None:
            lines.append(f"      {instead_in_words(option.instead)}")
        if option.rises:
            lines.append(f"      but more {', '.join(option.rises)}")
    if not found.options:
        lines.append("  Nothing in the library or computed from it asks less.")
    if found.left_out:
        lines.append("\nLeft out")
        lines += [f"  {id}: {why}" for id, why in sorted(found.left_out.items())]
    return "\n".join(lines)


def _line(option: Option) -> str:
    load = "load not known"
    if option.demand_nm is not None:
        load = f"{option.demand_nm:.1f} N·m"
        if option.ratio is not None:
            load = f"{100 * option.ratio:.0f} % of the load, {load}"
    changed = "".join(f"; {what}" for what in option.changes.values())
    shown = (
        option.exercise.title
        if option.kind in ("same", "solved")
        else (f"{option.exercise.title} ({option.exercise.id}){changed}")
    )
    return f"  {shown}: {load}"
