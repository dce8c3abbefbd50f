"""Things on corners without muscles: only what balances them, and how the forces are spread."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from rungbook.body.reactions import Problem, Reactions, least_effort

SPREAD = 0.001


def on_corners(
    places: Sequence[Sequence[float]],
    load: Sequence[float],
    friction: float = 0.0,
    grips: bool = False,
) -> Reactions:
    """Forces (1, C, 3) along z, x and y of a thing on level corners.

    `load`: force and torque about the room's origin of all else.
    """
    place = np.array(places, dtype=float)
    directions = np.array([[0, 0, 1.0], [1.0, 0, 0], [0, 1.0, 0]])
    gives = np.concatenate(
        [
            np.concatenate([direction, np.cross(point, direction)])[:, None]
            for point in place
            for direction in directions
        ],
        axis=1,
    )[None]
    count = len(place)
    return least_effort(
        Problem(
            gives,
            np.array(load, dtype=float)[None],
            np.ones((1, 0)),
            np.full((1, count), friction),
            np.full((1, count), grips),
            6,
            SPREAD,
        )
    )
