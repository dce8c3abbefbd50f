"""Rows of a restriction that say nothing, or contradict themselves."""

from __future__ import annotations

import re
from collections.abc import Iterator

from rungbook.model.place import Path
from rungbook.model.restriction import Restriction, RestrictionRow
from rungbook.reading.shape import Problem
from rungbook.reading.wording import shown


def order_problems(restriction: Restriction) -> Iterator[Problem]:
    """What is wrong with the rows of a restriction."""
    for number, row in enumerate(restriction.rows):
        path = ("rows", number)
        yield from _says(row, path)
        yield from _arc(row, path)
        if row.action is not None and row.action.other_side:
            message = f"'{row.action}': an order holds for whichever side works: leave out 'other-'"
            yield Problem("wrong-value", (*path, "action"), message)
        if row.ends == "date" and (row.weeks is None or row.weeks[1] is None):
            message = "'ends' is 'date', but no week ends it: write weeks such as [0, 6]"
            yield Problem("wrong-value", (*path, "ends"), message)
        bearing = row.bearing or ""
        share = re.search(r"-?\d+(?:\.\d+)?(?=\s*%)", bearing)
        if share and not 0 <= float(share[0]) <= 100:
            message = f"'bearing' is '{shown(bearing)}', not a share from 0 to 100 %: correct it"
            yield Problem("wrong-value", (*path, "bearing"), message)


def _says(row: RestrictionRow, path: Path) -> Iterator[Problem]:
    low, high = row.arc
    limits = bool(row.kinds) or low is not None or high is not None or row.ceiling is not None
    if limits and row.action is None:
        message = "kinds, arc and ceiling are of an action: add one, such as 'shoulder flexion'"
        yield Problem("missing-field", path, message)
    elif row.action is not None and not limits and row.bearing is None:
        message = (
            "the row allows nothing and forbids nothing: add kinds, up-to, from, between or ceiling"
        )
        yield Problem("missing-field", path, message)
    elif row.action is None and row.bearing is None and row.brace is None:
        message = "the row says nothing: add an action with what is allowed, bearing, or a brace"
        yield Problem("missing-field", path, message)


def _arc(row: RestrictionRow, path: Path) -> Iterator[Problem]:
    if row.between is not None and (row.up_to is not None or row.from_ is not None):
        message = "'between' says both ends already: leave out 'up-to' and 'from'"
        yield Problem("wrong-value", (*path, "between"), message)
        return
    low, high = row.arc
    if low is not None and high is not None and low > high:
        message = f"nothing lies from {row.from_:g}° up to {row.up_to:g}°: correct one of them"
        yield Problem("wrong-value", (*path, "up-to"), message)
