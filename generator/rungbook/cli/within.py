"""List every exercise that fits what is allowed, shortened where that makes it fit."""

from __future__ import annotations

import datetime
import json
import pathlib
from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

import click

from rungbook.cli import options
from rungbook.cli.filtering import Asked, filters
from rungbook.model.kind_of_work import KIND_WORDS

if TYPE_CHECKING:
    from rungbook.ladder.filters import Filters
    from rungbook.ladder.within import Fitting, Within

NOTICE = (
    "Orders here are examples until the order for this patient is confirmed. What fits them is\n"
    "computed; whether an exercise suits the patient is for the clinician."
)


@click.command(
    epilog="Example: rungbook within --max 'shoulder flexion=90' --kind-of-work passive,assisted"
)
@filters
@options.library
@options.output_format("text", "json")
@options.today
def command(asked: Asked, library: pathlib.Path, output_format: str, today: datetime.date) -> None:
    """List every exercise that fits the limits given, the least load first.

    An exercise that goes too far is cut where it first passes a limit, if enough of it is left.
    Kinds of work are judged at what an exercise is about and at every joint that --max limits. An
    exercise whose load is not known never fits.
    """
    from rungbook.cli.filtering import parsed
    from rungbook.cli.progress import progress
    from rungbook.ladder.plain import within_values
    from rungbook.ladder.within import within
    from rungbook.pipeline.analyse import analyse

    with progress() as say:
        measured = analyse(library, today, say).measured
        chosen = parsed(measured, asked)
        say("holding exercises against the limits")
        found = within(measured, chosen)
    if output_format == "json":
        values = {"limits": _limits(asked, chosen), **within_values(found)}
        click.echo(json.dumps(values, indent=2, ensure_ascii=False))
    else:
        click.echo("\n".join(_text(found, chosen)))


def _limits(asked: Asked, chosen: Filters) -> dict[str, Any]:
    angles = (text.partition("=") for text in asked.most)
    return {
        "restriction": [key for key, _ in chosen.restrictions],
        "weeks": asked.weeks,
        "lifted": sorted(chosen.lifted),
        "max": {name.strip(): float(angle.strip().rstrip("°")) for name, _, angle in angles},
        "kind_of_work": [word for word in KIND_WORDS if word in chosen.kinds],
        "area": sorted(chosen.areas),
        "bearing": chosen.bearing,
        "without": sorted(chosen.without),
        "not_in": sorted(chosen.not_in),
        "avoid": sorted(chosen.avoid),
    }


def _text(found: Within, chosen: Filters) -> Iterator[str]:
    from rungbook.ladder.order_words import order_in_words

    for key, restriction in chosen.restrictions:
        yield f"{restriction.title} ({key})"
        yield from (f"  {line}" for line in order_in_words(restriction))
        if restriction.asks_for_weeks and chosen.weeks is None:
            yield "  Weeks since the operation are not said (--weeks): all rows hold."
        elif restriction.asks_for_weeks:
            yield f"  Week {chosen.weeks:g}: a date opens a phase, criteria decide who passes it."
    many = len(found.fitting)
    yield f"{many} exercise{'' if many == 1 else 's'} fit{'s' if many == 1 else ''}:"
    yield from map(_line, found.fitting)
    if not many:
        yield from _nothing(found)
    if found.left_out:
        yield "\nLeft out, by the limit that leaves least of them"
        yield from (f"  {title}: {number}" for title, number in found.left_out.items())
    yield f"\n{NOTICE}"


def _line(one: Fitting) -> str:
    from rungbook.ladder.words import instead_in_words

    load = "load not known" if one.demand_nm is None else f"{one.demand_nm:.1f} N·m"
    kind = one.kind.in_words if one.kind else "kind of work not known"
    cut = ""
    if one.shortened is not None:
        short = one.shortened
        name = short.movement.replace("-", " ")
        cut = f", only to {short.to_deg:.0f}° of {name} instead of {short.instead_of_deg:.0f}°"
    draft = "" if one.exercise.may_go_on_a_sheet else " (draft, not reviewed)"
    instead = f"; {instead_in_words(one.instead)}" if one.instead else ""
    return f"  {load:>12}  {one.exercise.title} ({one.exercise.id}){cut}: {kind}{instead}{draft}"


def _advice(title: str) -> str:
    if title.startswith("restriction "):
        return "An order is changed by who gave it."
    return "See what fits without it."


def _nothing(found: Within) -> Iterator[str]:
    yield "  Nothing fits all of these limits at once."
    if found.leaves_most_out is not None:
        title, number = found.leaves_most_out
        yield f"  Most is left out by '{title}': {number} by it alone. {_advice(title)}"
