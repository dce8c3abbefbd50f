"""Show where to start on a ladder, by irritability, a test, a measured strength."""

from __future__ import annotations

import datetime
import json
import pathlib
from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

import click

from rungbook.cli import options

if TYPE_CHECKING:
    from rungbook.ladder.start import Start
    from rungbook.model.ladder import Irritability

NOTICE = "The lightest decides. This shows where the rules lead; the clinician starts the patient."


@click.command(
    epilog="Example: rungbook start sit-to-one-leg --irritability low --test chair-stand-30s=9 "
    "--age 72"
)
@click.argument("ladder", metavar="LADDER")
@click.option(
    "--irritability",
    type=click.Choice(["high", "moderate", "low"]),
    help="How easily the patient is provoked.",
)
@options.tests
@click.option(
    "--capacity",
    multiple=True,
    metavar="MAXIMUM",
    help="A strength measured on the patient: 'knee extension=100 Nm'.",
)
@click.option("--age", type=click.FloatRange(0, 120), help="To compare with published values.")
@click.option("--body", type=click.Choice(["female", "male"]), default="female", show_default=True)
@click.option("--restriction", multiple=True, metavar="KEY", help="An order beside the ladder's.")
@click.option("--weeks", type=click.FloatRange(0, 520), help="Weeks since the operation.")
@options.library
@options.output_format("text", "json")
@options.today
def command(
    ladder: str,
    irritability: Irritability | None,
    tests: tuple[str, ...],
    capacity: tuple[str, ...],
    age: float | None,
    body: str,
    restriction: tuple[str, ...],
    weeks: float | None,
    library: pathlib.Path,
    output_format: str,
    today: datetime.date,
) -> None:
    """Show where to start on LADDER: restrictions first, then the lightest of what is told.

    Irritability names an entry, a test a rung by the ladder's own mapping, a strength measured on
    the patient the hardest rung within a share of it. All that were given are shown.
    """
    from rungbook.cli import known
    from rungbook.cli.load import capacities
    from rungbook.cli.progress import progress
    from rungbook.cli.testing import test_results
    from rungbook.ladder.filters import Filters
    from rungbook.ladder.start import Told, start
    from rungbook.pipeline.analyse import analyse

    results = test_results(tests)
    maxima = {action: one.nm for action, one in capacities(capacity).items()}
    with progress() as say:
        measured = analyse(library, today, say).measured
    known.known(ladder, measured.ladders, "ladder")
    orders = measured.library.vocabulary.restrictions
    keys = {known.known(one, orders, "restriction") for one in restriction}
    filters = Filters(restrictions=tuple((key, orders[key]) for key in sorted(keys)), weeks=weeks)
    told = Told(irritability, results, maxima, age, body == "male")
    found = start(measured, ladder, told, filters)
    if output_format == "json":
        click.echo(json.dumps(start_values(found), indent=2, ensure_ascii=False))
        return
    titles = {id: one.title for id, one in measured.library.exercises.items()}
    click.echo("\n".join(_text(found, titles)))


def start_values(found: Start) -> dict[str, Any]:
    """`{"ladder","start","suggestions","gates","norms","left_out","may_be_too_little"}`."""
    return {
        "ladder": found.ladder,
        "start": found.rung,
        "suggestions": [
            {"by": one.by, "says": one.says, "rung": one.rung} for one in found.suggestions
        ],
        "gates": [
            {"test": one.test, "before": one.before, "says": one.says, "met": one.met}
            for one in found.gates
        ],
        "norms": [
            {"test": one.test, "says": one.says, "source": one.source} for one in found.norms
        ],
        "left_out": dict(found.left_out),
        "may_be_too_little": found.may_be_too_little,
    }


def _text(found: Start, titles: dict[str, str]) -> Iterator[str]:
    def named(rung: str | None) -> str:
        return "no rung" if rung is None else f"{titles[rung]} ({rung})"

    if found.rung is not None:
        yield f"Start with {named(found.rung)}."
    elif found.suggestions:
        yield "No rung of the ladder fits all of this."
    else:
        yield "Nothing that was told says where to start: --irritability, --test, --capacity."
    if found.may_be_too_little:
        yield "It may be too little: the measured strength allows far more."
    for one in found.suggestions:
        yield f"  by {one.by}, {one.says}: {named(one.rung)}"
    for shown in found.norms:
        yield f"  {shown.says} ({shown.source})"
    words = {True: "passed", False: "not passed", None: "not tested"}
    for gate in found.gates:
        yield f"  before {named(gate.before)}: {gate.says} ({words[gate.met]})"
    if found.left_out:
        yield "Left out"
        yield from (f"  {id}: {why}" for id, why in found.left_out.items())
    yield NOTICE
