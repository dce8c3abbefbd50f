"""Where a movement first passes a limit: curves between stored phases are straight lines.

A place in the movement is a number of phases from its start, 0 to `END`; what lies past a limit
from the start on is `NOWHERE`. Browser and command line find the same places (`scripts/limits.js`).
"""

from __future__ import annotations

from collections.abc import Iterable
from itertools import pairwise

import numpy as np

from rungbook.load.result import PHASES, Array

END = float(PHASES - 1)
NOWHERE = -1.0


def first_crossing(excesses: Iterable[Array], tolerance: float) -> float:
    """How far a movement may go until several curves are over a limit all at once.

    Args:
        excesses: (11,) each: by how much the limit is passed, negative inside.
        tolerance: what still counts as inside.

    Returns:
        the place of the last of them on its limit; `END` where that never comes.
    """
    curves = [np.asarray(one, dtype=float).tolist() for one in excesses]
    if not curves:
        return END
    least = [min(at) for at in zip(*curves, strict=True)]
    if least[0] > tolerance:
        return NOWHERE
    for phase, (_, after) in enumerate(pairwise(least)):
        if after > tolerance:
            return max(_on_limit(one[phase], one[phase + 1], phase) for one in curves)
    return END


def _on_limit(before: float, after: float, phase: int) -> float:
    """Where between two phases a curve reaches its limit; the first one where it is over."""
    if before >= 0 or after <= before:
        return float(phase)
    return phase + min(1.0, -before / (after - before))


def at_place(curve: Array, place: float) -> float:
    """The value of a curve (11,) at a place of the movement."""
    return float(np.interp(place, np.arange(PHASES), curve))


def greatest_until(curve: Array, place: float) -> tuple[float, float]:
    """The greatest value of a curve up to a place of the movement, and where it lies."""
    inside = [float(phase) for phase in range(int(place) + 1)]
    places = inside if place == int(place) else [*inside, place]
    values = [at_place(curve, one) for one in places]
    best = int(np.argmax(values))
    return values[best], places[best]
