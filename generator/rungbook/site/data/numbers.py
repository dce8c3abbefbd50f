"""Numbers as data files have them: nine significant figures, those of profiles six decimals."""

from __future__ import annotations

from typing import Any

from rungbook.ladder.limits import Limits
from rungbook.model.digits import DIGITS


def short(value: float) -> float | int:
    """Nine significant figures; whole numbers without a point."""
    if value == 0:  # most are: no text need be made of it
        return 0
    rounded = float(f"{value:.{DIGITS}g}")
    return int(rounded) if rounded.is_integer() and abs(rounded) < 1e15 else rounded


def brief(value: float) -> float | int:
    """A number of a profile, which has been rounded to six decimals: comparisons count on these."""
    return int(value) if value == int(value) else value


def limits_record(limits: Limits) -> dict[str, Any]:
    """Limits in force, those of the arm and of small joints apart."""
    return {
        "wide": [[axis, limit] for axis, limit in limits.wide.items()],
        "narrow": [[axis, limit] for axis, limit in limits.narrow.items()],
    }
