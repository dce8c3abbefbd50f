"""The base the body stands on: where its centre of mass has to be."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from rungbook.body.contacts import FEET, PHASES, TIMES

if TYPE_CHECKING:
    from rungbook.body.posture import Posture

Array = NDArray[np.float64]
LEAST_PRESSING = 0.01  # of body weight: who hangs in a harness still stands somewhere


@dataclass(frozen=True)
class Base:
    """The hull of what carries the body, in the horizontal plane, fractions of stature.

    `points` (P, 2): corners that carry. `centred`: the body stands over the middle (`middle`),
    as on feet. `fixed_share` and `fixed_moment`: what contacts with a written share carry, and
    that share times their place.
    """

    points: Array
    centred: bool
    middle: tuple[float, float]
    fixed_share: float
    fixed_moment: tuple[float, float]

    @cached_property
    def edges(self) -> Array:
        """(E, 3): inward normal x, y and offset; a point is inside where n·p >= offset."""
        return hull_edges(self.points)

    @cached_property
    def depth(self) -> float:
        """How far inside the hull its middle lies; 0 where it has no edges."""
        middle = np.array(self.middle)[:, None]
        return float(self._inside(middle)[0]) if len(self.edges) else 0.0

    def _inside(self, points: Array) -> Array:
        """How far inside the nearest edge points (2, P) lie."""
        inside: Array = np.min(self.edges[:, :2] @ points - self.edges[:, 2:], axis=0)
        return inside

    def margins(self, moments: Array, weights: Array) -> Array:
        """How far inside the hull the pressure lies; < 0 outside.

        Args:
            moments: (2, P) weights times their places, over body weight and stature, of the body
                and what it carries; weights: (P,) their sum over body weight, 1 of a bare body.
        """
        moment, middle = np.array(self.fixed_moment), np.array(self.middle)
        pressing = np.maximum(weights - self.fixed_share, LEAST_PRESSING)
        pressure = (moments - moment[:, None]) / pressing
        if not len(self.edges):
            beside: Array = np.hypot(*(pressure - middle[:, None]))
            return -beside
        return self._inside(pressure)

    def margin(self, moment: Array, weight: float = 1.0) -> float:
        """The same for one moment (2,); of a bare body, its centre of mass."""
        return float(self.margins(moment[:, None], np.array([weight]))[0])


def bases_of(posture: Posture, corners: list[Array]) -> tuple[Base | None, ...]:
    """The base at all times; times with the same contacts share one.

    Args:
        corners: per contact its corners' places on the surface, (corners, 3).
    """
    if not posture.balanced:
        return (None,) * TIMES
    known: dict[tuple[bool, ...], Base | None] = {}
    for bearing in zip(*(contact.bears for contact in posture.contacts), strict=True):
        if bearing not in known:
            known[bearing] = base_of(posture, corners, np.flatnonzero(bearing).tolist())
    found = [known[bearing] for bearing in zip(*(c.bears for c in posture.contacts), strict=True)]
    anywhere = [None if base is None else replace(base, centred=False) for base in found[PHASES:]]
    return (*found[:PHASES], *anywhere) if found else (None,) * TIMES


def base_of(posture: Posture, corners: list[Array], active: list[int]) -> Base | None:
    """What a body stands on by some of its contacts, or None where balance is not asked for."""
    carrying = [n for n in active if posture.contacts[n].carries]
    if not carrying:
        return None
    if any(posture.contacts[n].grip or not posture.contacts[n].level for n in carrying):
        return None
    patches = [corners[n][posture.contacts[n].firm, :2] for n in carrying]
    centred = all(posture.contacts[n].point in FEET for n in carrying)
    if not centred and _is_thin(patches):  # both knees alone: then the insteps count
        patches = [corners[n][:, :2] for n in carrying]
    middles = [0.5 * (patch.min(axis=0) + patch.max(axis=0)) for patch in patches if len(patch)]
    fixed = [(n, share) for n in active if (share := posture.contacts[n].share) is not None]
    moment = sum((share * corners[n][:, :2].mean(axis=0) for n, share in fixed), np.zeros(2))
    middle = sum(middles) / len(middles)
    return Base(
        np.concatenate(patches),
        centred,
        (float(middle[0]), float(middle[1])),
        float(sum(share for _, share in fixed)),
        (float(moment[0]), float(moment[1])),
    )


def _is_thin(patches: list[Array]) -> bool:
    return not len(hull_edges(np.concatenate(patches)))


def hull_edges(points: Array) -> Array:
    """Edges of the hull of points (P, 2) as inward half-planes (E, 3); none if it is thin."""
    ordered = sorted({(x, y) for x, y in np.round(points, 9).tolist()})
    if len(ordered) < 3:
        return np.empty((0, 3))
    hull = _half_hull(ordered)[:-1] + _half_hull(ordered[::-1])[:-1]
    if len(hull) < 3:
        return np.empty((0, 3))
    start = np.array(hull)
    along = np.concatenate([start[1:], start[:1]]) - start
    length = np.hypot(along[:, 0], along[:, 1])
    edges = np.empty((len(hull), 3))
    edges[:, 0], edges[:, 1] = -along[:, 1] / length, along[:, 0] / length
    edges[:, 2] = edges[:, 0] * start[:, 0] + edges[:, 1] * start[:, 1]
    return edges


def _half_hull(points: list[tuple[float, float]]) -> list[tuple[float, float]]:
    hull: list[tuple[float, float]] = []
    for point in points:
        while len(hull) >= 2 and _turn(hull[-2], hull[-1], point) <= 1e-12:
            hull.pop()
        hull.append(point)
    return hull


def _turn(a: tuple[float, float], b: tuple[float, float], c: tuple[float, float]) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
