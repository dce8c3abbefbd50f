"""Options for what a patient cannot or may not do today, shared by easier, route and within."""

from __future__ import annotations

import functools
import math
from collections.abc import Callable
from dataclasses import dataclass, fields
from typing import TYPE_CHECKING, Any

import click

from rungbook.cli.known import action, known
from rungbook.model.kind_of_work import KIND_WORDS, KindWord

if TYPE_CHECKING:
    from rungbook.ladder.filters import Filters
    from rungbook.ladder.measured import MeasuredLibrary

Texts = tuple[str, ...]


@dataclass(frozen=True)
class Asked:
    """The options as they were given."""

    without: Texts
    not_in: Texts
    avoid: Texts
    most: Texts
    bearing: str | None
    kind_of_work: Texts
    area: Texts
    restriction: Texts
    weeks: float | None
    lifted: Texts


def filters(function: Callable[..., None]) -> Callable[..., None]:
    """The options of `Asked`, passed together as `asked`."""

    @functools.wraps(function)
    def called(**given: Any) -> None:
        asked = Asked(**{field.name: given.pop(field.name) for field in fields(Asked)})
        function(asked=asked, **given)

    options = (
        click.option("--lifted", multiple=True, metavar="RESTRICTION",
                     help="The surgeon, or its criterion, has ended what only they end in it."),
        click.option("--weeks", type=click.FloatRange(0, 520), metavar="NUMBER",
                     help="Weeks since the operation; not said, the strictest rows hold."),
        click.option("--restriction", multiple=True, metavar="KEY",
                     help="An order in force, a key of vocabulary/restrictions.yml."),
        click.option("--area", multiple=True, metavar="AREA", help="Only this area of the body."),
        click.option("--kind-of-work", multiple=True, metavar="KIND",
                     help=f"Only this kind of work ({', '.join(KIND_WORDS)}), of what the exercise "
                     "works and of whatever works at a joint that --max limits."),
        click.option("--bearing", metavar="SHARE", help="The most body weight allowed: '50 %'."),
        click.option("--max", "most", multiple=True, metavar="ANGLE",
                     help="The furthest a joint may go: 'hip flexion=90'; extension of knee and "
                     "elbow in degrees of flexion."),
        click.option("--avoid", multiple=True, metavar="CAUTION", help="Leave out this caution."),
        click.option("--not-in", multiple=True, metavar="POSITION",
                     help="A position the patient cannot take."),
        click.option("--without", multiple=True, metavar="EQUIPMENT",
                     help="Equipment that is not at hand."),
    )  # fmt: skip
    return functools.reduce(lambda made, option: option(made), options, called)


def parsed(measured: MeasuredLibrary, asked: Asked) -> Filters:
    """The filters, every word checked.

    Raises:
        click.UsageError: an unknown word, angle or share; the message says what is expected.
    """
    from rungbook.ladder.filters import Filters, equipment_of
    from rungbook.model.position import POSITIONS

    library = measured.library
    vocabulary, exercises = library.vocabulary, library.exercises.values()
    used = {one for exercise in exercises for one in equipment_of(exercise)}
    carried = {one for exercise in exercises for one in exercise.cautions}
    areas = {one.area for one in exercises if one.area is not None}
    orders = vocabulary.restrictions
    return Filters(
        without=_words(asked.without, {*vocabulary.equipment, *used}, "equipment"),
        not_in=_words(asked.not_in, POSITIONS, "position"),
        avoid=_words(asked.avoid, {*vocabulary.cautions, *carried}, "caution"),
        never=tuple(_angle(one) for one in asked.most),
        bearing=None if asked.bearing is None else _share(asked.bearing),
        restrictions=tuple(
            (key, orders[key]) for key in sorted(_words(asked.restriction, orders, "restriction"))
        ),
        kinds=_kinds(asked.kind_of_work),
        areas=_words(asked.area, {*vocabulary.areas, *areas}, "area"),
        weeks=asked.weeks,
        lifted=_words(asked.lifted, orders, "restriction"),
    )


def _words(given: Texts, ids: Any, what: str) -> frozenset[str]:
    return frozenset(known(one, ids, what) for one in given)


def _kinds(given: Texts) -> frozenset[KindWord]:
    """Kinds of work, several in one option parted by commas."""
    words = [word.strip() for text in given for word in text.split(",")]
    for word in words:
        if word not in KIND_WORDS:
            message = f"'{word}' is not one of {', '.join(KIND_WORDS)}."
            raise click.BadParameter(message, param_hint="--kind-of-work")
    return frozenset(word for word in KIND_WORDS if word in words)


def _angle(text: str) -> Any:
    from rungbook.model.quantity import AngleLimit
    from rungbook.model.restriction import COUNTED_IN_FLEXION

    words, _, written = text.partition("=")
    try:
        degrees = float(written.strip().rstrip("°"))
    except ValueError:
        degrees = math.nan
    if not abs(degrees) <= 360:
        raise click.UsageError(f"--max '{text}' is not an angle such as 'hip flexion=90'")
    try:
        limited = action(words.strip())
    except ValueError as error:
        raise click.UsageError(f"--max '{text}': {error}") from None
    if str(limited) in COUNTED_IN_FLEXION:
        return {limited.joint: {"flexion": AngleLimit("under", degrees)}}
    return {limited.joint: {limited.movement: AngleLimit("over", degrees)}}


def _share(text: str) -> float:
    number = text.strip().removesuffix("%").strip()
    try:
        share = float(number) / 100
    except ValueError:
        share = -1.0
    if not text.strip().endswith("%") or not 0 <= share <= 1:
        raise click.UsageError(f"--bearing '{text}' is not a share such as '50 %'")
    return share
