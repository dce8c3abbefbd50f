"""From the room to the paper: an orthographic view, chosen so that the movement is seen."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

THREE_QUARTER_DEG = 62.0


@dataclass(frozen=True)
class View:
    """A direction of looking. `toward` (3,) points from the body to the eye.

    `matrix` (2, 3) turns room metres into paper metres, x to the right and y *down*.
    """

    azimuth_deg: float
    elevation_deg: float
    mirrored: bool = False

    @cached_property
    def toward(self) -> Array:
        a, e = np.radians(self.azimuth_deg), np.radians(self.elevation_deg)
        return np.array([np.cos(e) * np.cos(a), np.cos(e) * np.sin(a), np.sin(e)])

    @cached_property
    def matrix(self) -> Array:
        a, e = np.radians(self.azimuth_deg), np.radians(self.elevation_deg)
        right = np.array([-np.sin(a), np.cos(a), 0.0])
        up = np.array([-np.sin(e) * np.cos(a), -np.sin(e) * np.sin(a), np.cos(e)])
        return np.stack([-right if self.mirrored else right, -up])

    @property
    def level(self) -> bool:
        """Whether the floor is seen as a line."""
        return self.elevation_deg == 0

    def project(self, points: Array) -> Array:
        """Room points (..., 3) in metres to paper points (..., 2) in metres."""
        return points @ self.matrix.T

    def turned(self) -> View:
        """A side view turned a little to the front of the body; others stay."""
        if self.elevation_deg or abs(self.azimuth_deg) != 90:
            return self
        azimuth = self.azimuth_deg * THREE_QUARTER_DEG / 90
        return View(azimuth, 0, self.mirrored)

    def mirror(self) -> View:
        """The mirror image of this view."""
        turned = View(self.azimuth_deg, self.elevation_deg, not self.mirrored)
        return _MIRRORED.get(self, turned)


# Azimuth 0 looks at the front of a body that faces x, -90 at its right side.
_CANDIDATES = tuple(
    [View(a, 0) for a in (-90, 0, 90, 180)] + [View(a, 90) for a in (-90, 0, 90, 180)]
)
_MIRRORED = {view: View(view.azimuth_deg, view.elevation_deg, True) for view in _CANDIDATES}
_TOWARD = np.stack([view.toward for view in _CANDIDATES])
# A plain view is easier to read than one from above; the first of equals wins.
_PENALTY = np.array([0.0, 0.25, 0.04, 0.35] + [0.6] * 4)
_ALONG_BODY = 0.55  # a body seen along its length is a heap


def choose_view(
    motion: Array, body: Array, to_working: Array, facing: Array, length: Array
) -> View:
    """The view that shows most of the movement and a body one recognises.

    `motion` (n, 3): displacements of body points over the movement; `body` (m, 3): segments;
    `to_working` (3,): from the other to the working side; `facing` (3,): where the chest points;
    `length` (3,): from the pelvis to the head. From above only where a body lies.
    """
    lying = abs(float(_unit(length)[2])) < 0.5
    above = np.array([view.elevation_deg > 0 for view in _CANDIDATES])
    score = (
        2.4 * _visible(motion)
        + 1.2 * _visible(body)
        + 0.30 * (_TOWARD @ _unit(to_working))
        + 0.10 * (_TOWARD @ _unit(facing))
        - _PENALTY
        - 9.0 * (np.abs(_TOWARD @ _unit(length)) > _ALONG_BODY)
        - 9.0 * (above if not lying else False)
    )
    return _CANDIDATES[int(np.argmax(np.round(score, 6)))]


def _visible(vectors: Array) -> Array:
    """Share of the vectors' squared lengths that each candidate view shows."""
    spread = vectors.T @ vectors
    total = float(np.trace(spread))
    if total < 1e-9:
        return np.zeros(len(_CANDIDATES))
    hidden: Array = np.einsum("ci,ij,cj->c", _TOWARD, spread, _TOWARD)
    return 1.0 - hidden / total


def _unit(vector: Array) -> Array:
    length = float(np.linalg.norm(vector))
    return vector / length if length > 1e-9 else np.zeros(3)
