"""Options for what a patient cannot do today, shared by easier and route."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import TYPE_CHECKING, Any, TypeVar

import click

from rungbook.cli.known import action, known
from rungbook.model.kind_of_work import KIND_WORDS, KindWord

if TYPE_CHECKING:
    from rungbook.ladder.filters import Filters
    from rungbook.ladder.measured import MeasuredLibrary

Function = TypeVar("Function", bound=Callable[..., Any])


def filters(function: Function) -> Function:
    """`--without --not-in --avoid --max --bearing --kind-of-work`, passed under those names."""
    for option in (
        click.option("--kind-of-work", multiple=True, type=click.Choice(KIND_WORDS),
                     help="Only these kinds of work, of what the exercise works and of whatever "
                     "works at a joint that --max limits."),
        click.option("--bearing", metavar="SHARE", help="The most body weight allowed: '50 %'."),
        click.option("--max", "most", multiple=True, metavar="ANGLE",
                     help="The furthest a joint may go: 'hip flexion=90'."),
        click.option("--avoid", multiple=True, metavar="CAUTION", help="Leave out this caution."),
        click.option("--not-in", multiple=True, metavar="POSITION",
                     help="A position the patient cannot take."),
        click.option("--without", multiple=True, metavar="EQUIPMENT",
                     help="Equipment that is not at hand."),
    ):  # fmt: skip
        function = option(function)
    return function


def parsed(
    measured: MeasuredLibrary,
    without: tuple[str, ...],
    not_in: tuple[str, ...],
    avoid: tuple[str, ...],
    most: tuple[str, ...],
    bearing: str | None,
    kind_of_work: tuple[KindWord, ...] = (),
) -> Filters:
    """The filters, every word checked.

    Raises:
        click.UsageError: an unknown word, angle or share; the message says what is expected.
    """
    from rungbook.ladder.filters import Filters, equipment_of
    from rungbook.model.position import POSITIONS

    library = measured.library
    used = {one for exercise in library.exercises.values() for one in equipment_of(exercise)}
    carried = {one for exercise in library.exercises.values() for one in exercise.cautions}
    return Filters(
        without=frozenset(
            known(one, {*library.vocabulary.equipment, *used}, "equipment") for one in without
        ),
        not_in=frozenset(known(one, POSITIONS, "position") for one in not_in),
        avoid=frozenset(
            known(one, {*library.vocabulary.cautions, *carried}, "caution") for one in avoid
        ),
        never=tuple(_angle(one) for one in most),
        bearing=None if bearing is None else _share(bearing),
        kinds=frozenset(kind_of_work),
    )


def _angle(text: str) -> Any:
    from rungbook.model.quantity import AngleLimit

    words, _, written = text.partition("=")
    try:
        degrees = float(written.strip().rstrip("°"))
    except ValueError:
        degrees = math.nan
    if not math.isfinite(degrees):
        raise click.UsageError(f"--max '{text}' is not an angle such as 'hip flexion=90'")
    try:
        limited = action(words.strip())
    except ValueError as error:
        raise click.UsageError(f"--max '{text}': {error}") from None
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
