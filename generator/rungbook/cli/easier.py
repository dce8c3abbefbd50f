"""Find what to give instead of an exercise that is not tolerated."""

from __future__ import annotations

import datetime
import json
import pathlib
from collections.abc import Iterator
from typing import TYPE_CHECKING

import click

from rungbook.cli import options
from rungbook.cli.filtering import Asked, filters

if TYPE_CHECKING:
    from rungbook.ladder.option import Easier, Option
    from rungbook.model.ladder import Irritability

REASONS = (
    "load", "range", "lengthening", "bearing", "position", "speed", "volume", "impact", "lifting",
    "lowering", "holding", "next day",
)  # fmt: skip
SLOTS = {"a little less": "A little less", "about half": "About half", "gentlest": "Gentlest"}
KIND_WORDS = {
    "same": "",
    "neighbour": "of its ladder",
    "library": "elsewhere in the library",
    "solved": "computed, not reviewed",
}
MOST_RISES = 2


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
    help="How easily the patient is provoked: in which order, and how much at once.",
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
    """Find what asks less than EXERCISE: of its ladder, the same with less, others, computed ones.

    Three first: a little less, about half, the gentlest, at high irritability about half before
    the others. Each is shortened to the limits where that makes it fit. Shows and computes; whether
    an option suits the patient is for the clinician.
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
    from rungbook.ladder.words import NOTHING_FIRST
    from rungbook.model.ladder import IRRITABILITY_MEANS, IRRITABILITY_SOURCE

    means = (
        f"{found.irritability}: {IRRITABILITY_MEANS[found.irritability]} ({IRRITABILITY_SOURCE})"
    )
    lines = [f"Instead of {found.exercise}, because of {', '.join(found.because)}"]
    lines.append(f"Irritability {means}.")
    if found.ladder is not None:
        lines.append(f"Steps are measured on the ladder {found.ladder.ladder.title}.")
    if found.nothing is not None:
        lines.append(f"\n{NOTHING_FIRST[found.nothing]}")
    for option in found.options:
        if option.slot:
            lines += [f"\n{SLOTS[option.slot]}", *_lines(option)]
    rest = [option for option in found.options if not option.slot]
    if rest:
        lines += ["\nAlso less", *(line for option in rest for line in _lines(option))]
    if found.left_out:
        lines.append("\nLeft out")
        lines += [f"  {id}: {why}" for id, why in sorted(found.left_out.items())]
    return "\n".join(lines)


def _lines(option: Option) -> Iterator[str]:
    from rungbook.ladder.words import instead_in_words

    yield _line(option)
    facts = "; ".join(_facts(option))
    if facts:
        yield f"      {facts}"
    if option.instead is not None:
        yield f"      {instead_in_words(option.instead)}"
    if option.rises:
        more = len(option.rises) - MOST_RISES
        named = ", ".join(option.rises[:MOST_RISES])
        yield f"      but more {named}" + (f", and {more} more" if more > 0 else "")


def _facts(option: Option) -> Iterator[str]:
    from rungbook.ladder.certainty import ABOUT_THE_SAME
    from rungbook.ladder.words import counted, left_in_words

    if option.share is not None and option.share > ABOUT_THE_SAME:
        yield "about the same"
    for reason, one in option.eased.items():
        if words := left_in_words(reason, one.before, one.now):
            yield words
    if option.shortened is not None:
        cut = option.shortened
        movement = cut.movement.replace("-", " ")
        yield f"only to {cut.to_deg:.0f}° of {movement} instead of {cut.instead_of_deg:.0f}°"
    yield f"{option.kind_of_work or 'kind of work not known'}".replace("none", "nothing has to act")
    if option.kind in ("neighbour", "library"):
        yield from option.changes.values()
    if option.back_up:
        yield f"back up in {counted(option.back_up, 'rung')}"
    if KIND_WORDS[option.kind]:
        yield KIND_WORDS[option.kind]


def _line(option: Option) -> str:
    load = "load not known"
    if option.demand_nm is not None:
        load = f"{option.demand_nm:.1f} N·m"
        if option.ratio is not None:
            load = f"{100 * option.ratio:.0f} % of the load, {load}"
    in_library = option.kind in ("neighbour", "library")
    return f"  {option.exercise.title}{f' ({option.exercise.id})' if in_library else ''}: {load}"
