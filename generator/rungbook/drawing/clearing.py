"""Free limbs kept above the ground: feet of a body lying on its front, an arm about to be lifted.

The engine bends no joint that nobody wrote; where that leaves a free hand or foot below the
ground, the drawing turns foot, shank or arm just so far that it lies on it.
"""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
from numpy.typing import NDArray

from rungbook.drawing.body_shapes import RADII, SIDES, units
from rungbook.load.result import PHASES, Surface

Array = NDArray[np.float64]
Points = dict[str, Array]
Phases = NDArray[np.bool_]

_TURNS_DEG = sorted(range(-120, 121, 3), key=abs)
_SUNK_M = 0.003  # what nobody sees
# What turns about what, from the limb's end on; what rests on something stays where it is.
_TURNED = (
    ("ankle", ("heel", "ball", "toe"), ("foot", "forefoot", "heel")),
    ("knee", ("ankle", "heel", "ball", "toe"), ("foot", "forefoot", "heel", "ankle", "shank")),
    ("wrist", ("fingertip",), ("hand",)),
    ("elbow", ("wrist", "fingertip"), ("hand", "wrist", "forearm")),
    ("shoulder", ("elbow", "wrist", "fingertip"), ("hand", "wrist", "forearm", "elbow")),
)


def clear_of_ground(points: Points, surfaces: Iterable[Surface]) -> None:
    """Turn free ends of limbs, in place, until they are above z = 0."""
    resting = {surface.at: np.array(surface.phases) for surface in surfaces}
    lateral = units(points["working hip"] - points["other hip"])
    for side in SIDES:
        prefix = "other-" if side == "other" else ""
        for about, names, rests in _TURNED:
            low = _lowest(points, side, names) < -_SUNK_M
            for at in rests:
                low &= ~resting.get(prefix + at, np.zeros(PHASES, bool))
            if low.any():
                _turn_up(points, side, about, names, lateral, low)


def _lowest(points: Points, side: str, names: tuple[str, ...]) -> Array:
    """How far above the ground the lowest of these reaches, (11,)."""
    return np.asarray(
        np.min([points[f"{side} {name}"][:, 2] - RADII[name] for name in names], axis=0)
    )


def _turn_up(
    points: Points, side: str, about: str, names: tuple[str, ...], axis: Array, low: Phases
) -> None:
    """By the smallest turn about the body's sideways axis that frees them; none if none does."""
    centre = points[f"{side} {about}"]
    open_phases = low.copy()
    for degrees in _TURNS_DEG:
        turned = {n: centre + _turned(points[f"{side} {n}"] - centre, axis, degrees) for n in names}
        free = np.min([turned[n][:, 2] - RADII[n] for n in names], axis=0) >= -_SUNK_M
        now = open_phases & free
        for name in names:
            key = f"{side} {name}"
            points[key] = np.where(now[:, None], turned[name], points[key])
        open_phases &= ~now
        if not open_phases.any():
            return


def _turned(vectors: Array, axis: Array, degrees: float) -> Array:
    """Vectors (p, 3) turned about unit axes (p, 3), after Rodrigues."""
    cos, sin = np.cos(np.radians(degrees)), np.sin(np.radians(degrees))
    along = (vectors * axis).sum(-1, keepdims=True) * axis
    return np.asarray(vectors * cos + np.cross(axis, vectors) * sin + along * (1 - cos))
