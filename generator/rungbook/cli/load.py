"""Show the load of exercises over their movement."""

from __future__ import annotations

import contextlib
import json
import pathlib
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

import click

from rungbook.cli import options

if TYPE_CHECKING:
    from rungbook.load.person import Person
    from rungbook.load.strength import Maximum
    from rungbook.model.library import Library
    from rungbook.model.movement import Action


@click.command(
    epilog="Example: rungbook load heel-raise-both-legs --mass 82 --stature 1.78 "
    "--capacity 'ankle plantarflexion=120 Nm'"
)
@click.argument("exercises", nargs=-1, metavar="[EXERCISE]...")
@options.library
@click.option(
    "--mass", metavar="MASS", help="Body mass in kg, or such as '180 lb' (the reference person's)."
)
@click.option("--stature", metavar="LENGTH", help="Stature in m, or such as '178 cm'.")
@click.option("--body", metavar="TABLE", help="Segment table: female, male or winter.")
@click.option(
    "--capacity",
    multiple=True,
    metavar="ACTION=MOMENT",
    help="A measured maximum, such as 'hip abduction=60 Nm', or with the angle it was measured at, "
    "'knee extension=90 Nm at 60 flexion'. May be given again.",
)
@click.option(
    "--age", type=float, metavar="YEARS", help="For the share of expected strength, such as 70."
)
@click.option(
    "--arc",
    metavar="FROM..TO",
    help="Only the part of the movement the patient can do, such as '10..40' degrees.",
)
@click.option(
    "--trace",
    is_flag=True,
    help="JSON for another program to compute the load again: places, axes, masses, forces.",
)
@options.output_format("text", "json", "csv")
def command(
    exercises: tuple[str, ...],
    library: pathlib.Path,
    mass: str | None,
    stature: str | None,
    body: str | None,
    capacity: tuple[str, ...],
    age: float | None,
    arc: str | None,
    trace: bool,
    output_format: str,
) -> None:
    """Show the moment that the muscles of each joint must produce, and what follows from it.

    Postures are those of the library's reference person; mass, stature and table change the
    forces. Furniture keeps its height: there postures are settled for several statures. These are
    net joint moments of an average build by statics: see the method page.
    """
    from rungbook.cli.known import known
    from rungbook.cli.progress import progress
    from rungbook.load.capacity import within_arc
    from rungbook.load.compute import compute_loads
    from rungbook.reading.read import NoLibrary, read_library
    from rungbook.reports.load_report import load_csv, load_json, load_text

    try:
        with progress() as say:
            say("reading")
            read = read_library(library)
            chosen = [known(id, read.exercises, "exercise") for id in exercises] or list(
                read.exercises
            )
            person = _person(read, mass, stature, body, age)
            measured = capacities(capacity)
            maxima = {action: maximum.nm for action, maximum in measured.items()}
            limits = _arc(arc)
            say("computing loads")
            if trace:
                click.echo(json.dumps(_trace(read, chosen, person), ensure_ascii=False))
                return
            loads = compute_loads([read.exercises[id] for id in chosen], read, person, maxima)
    except NoLibrary as error:
        raise click.UsageError(str(error)) from None
    shown = [loads[id] for id in dict.fromkeys(chosen)]
    if limits is not None:
        shown = [within_arc(read.exercises[load.id], load, limits, maxima) for load in shown]
    told = (person, shown, read.exercises, measured)
    match output_format:
        case "json":
            click.echo(json.dumps(load_json(*told), indent=2, ensure_ascii=False))
        case "csv":
            click.echo(load_csv(shown), nl=False)
        case _:
            click.echo(load_text(*told), nl=False)


def _person(
    library: Library,
    mass: str | None,
    stature: str | None,
    body: str | None,
    age: float | None,
) -> Person:
    from rungbook.body.segments import table_names
    from rungbook.load.person import Person, reference_person

    reference = reference_person(library.settings)
    table = body or reference.body
    if table not in table_names():
        raise click.BadParameter(
            f"there is no segment table '{table}': choose one of {', '.join(table_names())}",
            param_hint="--body",
        )
    try:
        return Person(
            _with_unit(mass, "kg", "--mass") if mass is not None else reference.mass_kg,
            _with_unit(stature, "m", "--stature") if stature is not None else reference.stature_m,
            table,
            age,
        )
    except ValueError as error:
        raise click.UsageError(str(error)) from None


def _trace(read: Library, chosen: list[str], person: Person) -> dict[str, Any]:
    from rungbook.load.compute import traced
    from rungbook.load.trace import trace_values

    exercises = {id: read.exercises[id] for id in dict.fromkeys(chosen)}
    ways = traced(exercises.values(), read, person)
    return trace_values(person, ways, {id: one.title for id, one in exercises.items()})


def _with_unit(text: str, unit: str, hint: str) -> float:
    """A quantity, whose unit may be left out."""
    with contextlib.suppress(ValueError):
        text = f"{float(text)} {unit}"
    return _quantity(text, unit, hint)


def _quantity(text: str, unit: str, hint: str) -> float:
    from pydantic_core import PydanticCustomError

    from rungbook.model.unit import magnitude

    try:
        return magnitude(text, unit)
    except PydanticCustomError as error:
        raise click.BadParameter(error.message(), param_hint=hint) from None


def capacities(written: tuple[str, ...]) -> Mapping[Action, Maximum]:
    """Measured maxima by action, from `hip abduction=60 Nm`, with `at 60` their angle.

    Raises:
        click.BadParameter: an unknown action, no maximum, or another unit.
    """
    from rungbook.cli.known import action
    from rungbook.load.strength import Maximum

    found: dict[Action, Maximum] = {}
    for text in written:
        name, equals, moment = text.partition("=")
        if not equals:
            message = f"'{text}' is not an action and its maximum, such as 'hip abduction=60 Nm'"
            raise click.BadParameter(message, param_hint="--capacity")
        try:
            worked = action(name.strip())
        except ValueError as error:
            raise click.BadParameter(str(error), param_hint="--capacity") from None
        size, _, angle = moment.partition(" at ")
        value = _quantity(size.strip(), "N*m", "--capacity")
        if value <= 0:
            raise click.BadParameter("a maximum is more than 0 Nm", param_hint="--capacity")
        found[worked] = Maximum(value, _measured_at(worked, angle.strip()) if angle else None)
    return found


def _measured_at(worked: Action, text: str) -> float:
    """`60`, `60°` or `60 flexion`: degrees toward the action; extension counts in flexion."""
    from rungbook.load.strength import MEASURED_IN_FLEXION
    from rungbook.model.movement import MOVEMENTS

    number, _, name = text.partition(" ")
    inward = f"{worked.joint} {worked.movement}" in MEASURED_IN_FLEXION
    usual = "flexion" if inward else worked.movement
    known = MOVEMENTS[worked.joint].get(name.strip() or usual)
    try:
        degrees = float(number.rstrip("°"))
    except ValueError:
        degrees = float("nan")
    if known is None or known[0] != worked.axis or not abs(degrees) <= 180:
        message = f"'{text}' is not an angle of the {worked.joint}, such as '60' or '60 flexion'"
        raise click.BadParameter(message, param_hint="--capacity")
    return degrees * known[1] * worked.sign


def _arc(text: str | None) -> tuple[float, float] | None:
    if text is None:
        return None
    start, dots, end = text.partition("..")
    try:
        low, high = float(start), float(end)
    except ValueError:
        low = high = float("nan")
    if not dots or not low < high:
        message = f"'{text}' is not a range of degrees from low to high, such as '10..40'"
        raise click.BadParameter(message, param_hint="--arc")
    return low, high
