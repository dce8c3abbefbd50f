"""The opposite muscles, where an exercise asks nothing of those that were provoked.

Gravity that turned round is no relief for the whole joint: a share of 0 % says nothing of the
muscles across it, so they are named.
"""

from __future__ import annotations

from collections.abc import Iterable

from rungbook.ladder.profile import Profile
from rungbook.load.others import opposite_of
from rungbook.model.movement import Action

NOTHING_NM = 1e-6  # to which profiles are rounded
LEAST_NM = 1.0  # a smaller moment is not worth naming; common practice, no source


def works_instead(there: Profile, works: Iterable[Action]) -> tuple[Action, float] | None:
    """The greatest opposite moment, N·m, where none of some actions has to act; None elsewhere."""
    wanted = tuple(works)
    peaks = [there.moment(action) for action in wanted]
    if not peaks or any(peak is None or peak > NOTHING_NM for peak in peaks):
        return None
    opposites = [one for action in wanted if (one := opposite_of(action)) is not None]
    found = [(one, there.moment(one) or 0.0) for one in opposites]
    action, peak = max(found, key=lambda one: one[1], default=(wanted[0], 0.0))
    return (action, peak) if peak >= LEAST_NM else None
