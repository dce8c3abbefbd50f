"""Rows of an order in words, for pages, findings and the command line."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from rungbook.model.restriction import COUNTED_IN_FLEXION, Restriction, RestrictionRow

EXAMPLE = (
    "An example until the order for this patient is confirmed: the surgeon's own order comes first."
)
_ENDS = {
    "date": "It ends by date.",
    "surgeon": "It holds until the surgeon ends it.",
    "criterion": "It holds until its criterion is met, whatever the date.",
}


def shown_angle(row: RestrictionRow, toward_deg: float) -> str:
    """An angle toward the row's action as orders count it: knees and elbows in flexion."""
    flexion = str(row.action) in COUNTED_IN_FLEXION
    return f"{(-toward_deg if flexion else toward_deg) + 0.0:.0f}°{' of flexion' * flexion}"


def _arc(row: RestrictionRow) -> str:
    flexion = " of flexion" if str(row.action) in COUNTED_IN_FLEXION else ""
    if row.between is not None:
        low, high = sorted(row.between)
        return f"between {low:g}° and {high:g}°{flexion}"
    if row.from_ is not None and row.up_to is not None:
        return f"from {row.from_:g}° to {row.up_to:g}°{flexion}"
    if row.from_ is not None:
        return f"from {row.from_:g}°{flexion} on"
    return f"up to {row.up_to:g}°{flexion}" if row.up_to is not None else ""


def arc_in_words(rows: Sequence[RestrictionRow]) -> str:
    """`only up to 90°`, of alternatives joined by or."""
    return "only " + " or ".join(dict.fromkeys(_arc(row) for row in rows))


def allowed_kinds(rows: Sequence[RestrictionRow]) -> str:
    """`passive or assisted` of rows that are alternatives."""
    return _either(list(dict.fromkeys(kind for row in rows for kind in row.kinds)))


def _either(words: list[str]) -> str:
    return " or ".join(([", ".join(words[:-1])] if words[:-1] else []) + words[-1:])


def row_in_words(row: RestrictionRow) -> str:
    """A row as a clinician would say it, in one or two sentences."""
    parts = []
    if row.action is not None:
        kinds = f" only {_either(list(row.kinds))}" if row.kinds else ""
        parts.append(str(row.action).replace("-", " ") + kinds)
        parts += [part for part in (_arc(row), row.ceiling and f"at most {row.ceiling}") if part]
    if row.bearing is not None:
        parts.append(f"weight bearing {row.bearing}")
    if row.brace is not None:
        parts.append(f"brace {row.brace}")
    if row.weeks is not None:
        start, end = row.weeks
        parts.append(f"from week {start:g} on" if end is None else f"weeks {start:g} to {end:g}")
    told = ", ".join(parts)
    ends = f" {_ENDS[row.ends]}" if row.ends else ""
    return f"{told[:1].upper()}{told[1:]}.{ends}{' ' + row.text if row.text else ''}"


def order_in_words(restriction: Restriction) -> Iterator[str]:
    """Everything a restriction orders, a sentence each."""
    yield from map(row_in_words, restriction.rows)
    for limits in restriction.never:
        told = " with ".join(
            f"{joint} {movement} {bound}°"
            for joint, movements in limits.items()
            for movement, bound in movements.items()
        )
        yield f"Never {told.replace('-', ' ')}."
