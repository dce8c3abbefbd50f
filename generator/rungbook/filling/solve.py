"""What fills the step between two exercises: the fewest rungs that leave no step too large.

A search on a finite grid, so that it always ends. Rows are the two exercises, the library's others
with the same action, and candidates: variations of either exercise with up to three levers set.
Candidates come in stages, the fewest levers and the coarsest settings first. The search ends with
the first stage whose path has no more rungs than are missing at least; else with the first level
of settings that has a path at all, after a look at two levers for a shorter one. Every stage is
computed in one batch.
"""

from __future__ import annotations

from rungbook.filling.grid import MOST_CANDIDATES, MOST_FOR_A_SHORTER, MOST_LEVERS, Compute
from rungbook.filling.result import Block, Filling, Proposal
from rungbook.filling.search import Search
from rungbook.filling.setting import COARSEST, LAST_RESORT
from rungbook.ladder.measured import MeasuredLibrary

__all__ = ["Block", "Filling", "Proposal", "fill"]


def fill(
    measured: MeasuredLibrary, from_id: str, to_id: str, compute: Compute | None = None
) -> Filling:
    """What fills the step between two known exercises that both have a load.

    `compute` computes loads in one batch; the library's own person by default.
    """
    search = Search.between(measured, from_id, to_id, compute)
    if isinstance(search, Filling):
        return search
    found: Filling | None = None
    for level in range(COARSEST, LAST_RESORT + 1):
        for levers in range(0 if level == COARSEST else 1, MOST_LEVERS + 1):
            if found is not None and levers == MOST_LEVERS:
                break
            most = MOST_CANDIDATES if found is None else MOST_FOR_A_SHORTER
            if levers and not search.extend(level, levers, most):
                continue
            better = search.path()
            if better is not None and (found is None or len(better.rungs) < len(found.rungs)):
                found = better
            if found is not None and len(found.rungs) - 2 <= search.step.missing:
                return found
        if found is not None:
            return found
    return search.blocked()
