"""Ids on the command line: known ones, or a usage error that names the nearest."""

from __future__ import annotations

from collections.abc import Collection
from difflib import get_close_matches
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from rungbook.ladder.measured import MeasuredLibrary
    from rungbook.model.library import Library
    from rungbook.model.movement import Action


def known(id: str, ids: Collection[str], what: str) -> str:
    """`id` if it is among `ids`.

    Raises:
        click.UsageError: it is not; the message names the nearest id.
    """
    if id in ids:
        return id
    near = get_close_matches(id, sorted(ids), n=1, cutoff=0.5)
    hint = f" Did you mean '{near[0]}'?" if near else ""
    raise click.UsageError(f"there is no {what} '{id}' in the library.{hint}")


def action(text: str) -> Action:
    """An action such as `hip flexion`.

    Raises:
        ValueError: it is none; the message says what is expected, and the nearest where one is.
    """
    from pydantic_core import PydanticCustomError

    from rungbook.model.quantity import ACTION_WORDS, parse_action

    try:
        return parse_action(text)
    except PydanticCustomError as error:
        near = get_close_matches(text, ACTION_WORDS, n=1, cutoff=0.7)
        hint = f". Did you mean '{near[0]}'?" if near else ""
        raise ValueError(f"{error.message()}{hint}") from None


def exercise(measured: MeasuredLibrary, id: str) -> str:
    """A known exercise that could be read."""
    return exercise_of(measured.library, id)


def exercise_of(library: Library, id: str) -> str:
    """A known exercise of a library that could be read."""
    for finding in library.findings:
        if finding.check == "unusable-base":
            raise click.UsageError(f"{finding.place}: {finding.message}")
    if id in library.withheld:
        raise click.UsageError(f"'{id}' has faults and is left out: see rungbook check")
    return known(id, library.exercises, "exercise")


def two(measured: MeasuredLibrary, from_id: str, to_id: str) -> None:
    """Two known exercises that are not the same."""
    if exercise(measured, from_id) == exercise(measured, to_id):
        raise click.UsageError(f"FROM and TO are the same exercise, '{from_id}'.")


def ladder(measured: MeasuredLibrary, id: str | None, *exercises: str) -> None:
    """A ladder asked for by `--ladder`, if any: known, and with all of the exercises on it."""
    if id is None:
        return
    rungs = measured.ladders[known(id, measured.ladders, "ladder")].rungs
    missing = [one for one in exercises if one not in rungs]
    if missing:
        from rungbook.ladder.question import ladders_of

        on = ", ".join(one.ladder.id for one in ladders_of(measured, *exercises)) or "none"
        are = "is" if len(missing) == 1 else "are"
        what = f"{' and '.join(missing)} {are} not on the ladder '{id}'"
        raise click.UsageError(f"{what}. On a ladder with all that is named: {on}.")
