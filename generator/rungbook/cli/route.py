"""Find the way from one exercise to another with the smallest steps."""

from __future__ import annotations

import datetime
import json
import pathlib
import sys
from typing import TYPE_CHECKING

import click

from rungbook.cli import options
from rungbook.cli.filtering import Asked, filters

if TYPE_CHECKING:
    from rungbook.ladder.flare_up import WayBack
    from rungbook.ladder.measured import MeasuredLibrary
    from rungbook.ladder.routes import NoRoute, Route
    from rungbook.ladder.step import Step


def _lasted(ctx: click.Context, param: click.Parameter, value: str | None) -> str | None:
    from rungbook.ladder.flare_up import parse_time

    if value is not None:
        try:
            parse_time(value)
        except ValueError as error:
            raise click.BadParameter(f"{error}.") from None
    return value


@click.command(
    epilog="Example: rungbook route heel-raise-seated heel-raise-one-leg --back-after '2 days'"
)
@click.argument("from_id", metavar="FROM")
@click.argument("to_id", metavar="TO")
@filters
@click.option(
    "--back-after",
    callback=_lasted,
    metavar="TIME",
    help="FROM flared up for so long: where to go back to, and the way up again.",
)
@options.ladder
@options.library
@options.output_format("text", "json")
@options.today
def command(
    from_id: str,
    to_id: str,
    asked: Asked,
    back_after: str | None,
    ladder: str | None,
    library: pathlib.Path,
    output_format: str,
    today: datetime.date,
) -> None:
    """Find the route from FROM up to TO whose largest step is smallest, then the shortest.

    Exit status: 0 a route was found, 1 there is none, 2 the call is wrong.
    """
    from rungbook.cli import known
    from rungbook.cli.filtering import parsed
    from rungbook.cli.progress import progress
    from rungbook.ladder.flare_up import parse_time, way_back
    from rungbook.ladder.plain import no_route_values, route_values, way_back_values
    from rungbook.ladder.routes import NoRoute, route
    from rungbook.pipeline.analyse import analyse

    with progress() as say:
        measured = analyse(library, today, say).measured
    known.two(measured, from_id, to_id)
    known.ladder(measured, ladder, from_id, to_id)
    chosen = parsed(measured, asked)
    if back_after is not None:
        back = way_back(measured, from_id, to_id, parse_time(back_after), chosen, ladder)
        up, values = back.up, way_back_values(measured, from_id, back_after, back)
        text = _back(from_id, back_after, back) + "\n\n" + _text(measured, up)
    else:
        up = route(measured, from_id, to_id, chosen, ladder)
        values = no_route_values(up) if isinstance(up, NoRoute) else route_values(measured, up)
        text = _text(measured, up)
    click.echo(
        json.dumps(values, indent=2, ensure_ascii=False) if output_format == "json" else text
    )
    if isinstance(up, NoRoute):
        sys.exit(1)


NOTHING_EASIER = "Nothing easier leads to it: do less of it, then call."


def _back(from_id: str, lasted: str, back: WayBack) -> str:
    where = f"Back to {back.back_to}."
    if back.back_to == from_id:
        where = f"Stay on {from_id}."
        if back.rule.back in ("one rung", "entry"):
            where = f"{NOTHING_EASIER} Stay on {from_id}."
    source = f" (source: {back.rule.source})" if back.rule.source else ""
    return (
        f"A flare-up of {lasted} on {from_id} falls under the rule '{back.rule.lasts}'{source}.\n"
        f"{back.rule.do}\n{where}"
    )


def _text(measured: MeasuredLibrary, found: Route | NoRoute) -> str:
    from rungbook.ladder.question import apart
    from rungbook.ladder.routes import NoRoute
    from rungbook.ladder.words import counted

    between = apart(measured, found.from_id, found.to_id)
    if isinstance(found, NoRoute):
        hidden = [f"  {id}: {why}" for id, why in sorted(found.left_out.items())]
        said = f"No route: {found.message}"
        return "\n".join([said, *([between] if between else []), *hidden])
    days = counted(found.least_days, "day")
    time = f"not before {days}" if found.least_days else "no least time is written"
    lines = [f"From {found.from_id} to {found.to_id}: {counted(len(found.rungs), 'rung')}, {time}."]
    if found.steps and found.ladder is not None:
        lines.append(f"Measured on the ladder {found.ladder.ladder.title}.")
    elif found.steps:
        lines.append(f"{between} Steps are measured by what {found.to_id} itself demands.")
    for number, rung in enumerate(found.rungs):
        title = measured.library.exercises[rung].title
        lines.append(f"\n{number + 1}. {title} ({rung})")
        if number < len(found.steps):
            lines += _onward(measured, found.steps[number])
    return "\n".join(lines)


def _onward(measured: MeasuredLibrary, step: Step) -> list[str]:
    """When to go on from a rung, and how large the step is."""
    from rungbook.ladder.routes import days_on
    from rungbook.ladder.words import size_in_words, worst_in_words

    over = f" ({worst_in_words(step)})" if step.missing else ""
    index = measured.graph[step.from_id][step.to_id]["index"]
    progression = measured.library.exercises[step.from_id].progressions[index]
    days = days_on(measured, step.from_id, step.to_id)
    return [
        *(f"   go on when: {criterion}" for criterion in progression.when),
        f"   least time: {days:.0f} days" if days else "   least time: none is written",
        f"   the step: {size_in_words(step)}{over}",
    ]
