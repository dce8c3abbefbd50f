"""Furniture stands where it stands: its exercises are settled for people of several statures.

Everything else scales with the person. Only what carries and where changes with stature: the
coefficients of `scaling` are computed at `STATURES_M` and read between them. Where a posture does
not reach its furniture, there is no number between that stature and the next ones.
"""

from __future__ import annotations

from collections.abc import Sequence

from rungbook.body.posture import Fit, Posture, Settled
from rungbook.body.segments import SegmentTable
from rungbook.load.faults import posture_faults
from rungbook.load.forces import Forces
from rungbook.load.posture import Setup
from rungbook.load.result import STOPS
from rungbook.load.way_load import Person, WayLoad, way_loads

STATURES_M = (1.40, 1.55, 1.70, 1.85, 2.05)
AS_TALL_M = 0.005  # the reference person counts as one of these


def has_furniture(posture: Posture) -> bool:
    """Whether it rests on something at a height or distance of its own; what steadies is chosen."""
    return posture.seat_depth is not None or any(
        c.metric and not c.steadies for c in posture.contacts
    )


def fits_of(
    posture: Posture, table: str, others: Sequence[float], reference_m: float
) -> tuple[Fit, ...]:
    """The reference person's posture first; with furniture, those of people of other statures."""
    here = Fit(table)
    return (
        (here, *(Fit(table, reference_m / one) for one in others))
        if has_furniture(posture)
        else (here,)
    )


def other_statures(reference_m: float) -> tuple[float, ...]:
    """The statures that furniture is settled for besides the reference person's."""
    return tuple(one for one in STATURES_M if abs(one - reference_m) > AS_TALL_M)


def at_statures(
    ways: Sequence[tuple[Setup, Sequence[Settled], Forces]],
    tables: Sequence[SegmentTable],
    reference: Person,
) -> list[dict[float, WayLoad | None]]:
    """Each way for people of other statures, None where it does not fit; none without furniture.

    Args:
        ways: with the postures of `fits_of`, settled with the first table as those of the
            reference person are.
    """
    found: list[dict[float, WayLoad | None]] = [{} for _ in ways]
    placed = [
        (n, stature, (setup, settled[number], forces))
        for n, (setup, settled, forces) in enumerate(ways)
        for number, stature in enumerate(other_statures(reference.stature), start=1)
        if len(settled) > 1
    ]
    loads = way_loads([way for *_, way in placed], tables, reference, True)
    for (n, stature, _), load in zip(placed, loads, strict=True):
        fits = not any(fault.check in STOPS for fault in posture_faults([load]))
        found[n][stature] = load if fits else None
    return found
