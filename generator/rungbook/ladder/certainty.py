"""Whether two exercises of a library differ in load by more than is not sure of their difference.

What two exercises share cancels: a heavier weight in the same hand is heavier for every build.
Angles and heights are never quite as written, so that loads are good to two figures at best.
"""

from __future__ import annotations

from collections.abc import Sequence

from rungbook.ladder.measured import MeasuredLibrary
from rungbook.load.compute import compute_loads
from rungbook.load.result import Demand, ExerciseLoad
from rungbook.load.sureness import difference_reach
from rungbook.model.movement import Action

ABOUT_THE_SAME = 0.98  # of a load: what lies between is no difference


def differ(measured: MeasuredLibrary, action: Action | str, one: str, other: str) -> bool:
    """Whether it is sure which of two exercises asks more of an action's muscles.

    Published figures say so themselves; where one has no number, nothing is sure.
    """
    known = _demands(measured, action, one, other)
    return known is not None and abs(known[0].peak_nm - known[1].peak_nm) > _unsure_nm(*known)


def unsure_nm(
    measured: MeasuredLibrary, action: Action | str, one: str, other: str
) -> float | None:
    """By how much the difference of two loads may be otherwise, N·m; None without a number."""
    known = _demands(measured, action, one, other)
    return None if known is None else _unsure_nm(*known)


def _unsure_nm(one: Demand, other: Demand) -> float:
    good_to = (1 - ABOUT_THE_SAME) * max(one.peak_nm, other.peak_nm)
    return max(difference_reach(one, other), good_to)


def _demands(
    measured: MeasuredLibrary, action: Action | str, one: str, other: str
) -> tuple[Demand, Demand] | None:
    first, second = (
        load.demands.get(str(action)) if load else None
        for load in _with_spans(measured, (one, other))
    )
    return (first, second) if first and second else None


def _with_spans(measured: MeasuredLibrary, ids: Sequence[str]) -> list[ExerciseLoad | None]:
    """Loads that say how sure they are: a check may have been given bare numbers."""
    loads = [measured.loads.get(id) for id in ids]
    bare = [
        measured.library.exercises[load.id]
        for load in loads
        if load and any(demand.low_nm is None for demand in load.demands.values())
    ]
    again = compute_loads(bare, measured.library) if bare else {}
    return [again.get(id, load) for id, load in zip(ids, loads, strict=True)]
