"""What is drawn as loading or helping: what the engine applied, with words for its share."""

from __future__ import annotations

import dataclasses

import numpy as np
from numpy.typing import NDArray

from rungbook.drawing.furniture import contact_points
from rungbook.load.result import PHASES, Applied, Skeleton
from rungbook.model.exercise import Exercise, Resistance

Array = NDArray[np.float64]

_DIRECTIONS: dict[str, tuple[float, float, float]] = {
    "up": (0, 0, 1), "down": (0, 0, -1), "forward": (1, 0, 0), "backward": (-1, 0, 0),
    "inward": (0, 1, 0), "outward": (0, -1, 0),
}  # fmt: skip


def applied_things(exercise: Exercise, skeleton: Skeleton) -> tuple[Applied, ...]:
    """The skeleton's applied things, labelled, and the efforts, which have no force of their own.

    An effort is a share of a maximum that only the patient's own measurement gives.
    """
    shares = {
        item.at: share_words(item.share) + (f" {item.by.replace('-', ' ')}" if item.by else "")
        for item in exercise.assist
        if item.share is not None
    }
    known = [
        dataclasses.replace(item, label=shares.get(item.at, "")) if not item.label else item
        for item in skeleton.applied
    ]
    pushed = {item.at for item in known if item.kind == "push"}
    efforts = [
        _effort(item, item.at, item.effort, skeleton)
        for item in exercise.resistance
        if item.effort is not None and item.at is not None and item.at not in pushed
    ]
    return (*known, *(effort for effort in efforts if effort is not None))


def share_words(share: float) -> str:
    """`50 %`, the sign after a thin space that does not break."""
    return f"{100 * share:.0f}\N{NARROW NO-BREAK SPACE}%"


def _effort(item: Resistance, at: str, effort: float, skeleton: Skeleton) -> Applied | None:
    direction = _DIRECTIONS.get(item.pulls or "")
    places = [contact_points(at, skeleton.points_m, phase) for phase in range(PHASES)]
    if direction is None or not len(places[0]):
        return None
    point = np.stack([place.mean(0) for place in places])
    return Applied("push", at, share_words(effort), point, np.tile(direction, (PHASES, 1)))
