"""Numbers as data files have them: twelve significant figures."""

from __future__ import annotations

from typing import Any

from rungbook.ladder.limits import Limits


def short(value: float) -> float | int:
    """Twelve significant figures; whole numbers without a point."""
    if value == 0:  # most are: no text need be made of it
        return 0
    rounded = float(f"{value:.12g}")
    return int(rounded) if rounded.is_integer() and abs(rounded) < 1e15 else rounded


_EXACT = 1e6  # below it, a number of six decimals has no more than twelve figures


def brief(value: float) -> float | int:
    """As `short`, for a number that has been rounded to six decimals or fewer."""
    if -_EXACT < value < _EXACT:
        return int(value) if value == int(value) else value
    return short(value)


def limits_record(limits: Limits) -> dict[str, Any]:
    """Limits in force, those of the arm and of small joints apart."""
    return {
        "wide": [[axis, limit] for axis, limit in limits.wide.items()],
        "narrow": [[axis, limit] for axis, limit in limits.narrow.items()],
    }
