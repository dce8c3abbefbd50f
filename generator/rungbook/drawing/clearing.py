"""Free limbs kept above the ground: feet of a body lying on its front, an arm about to be lifted.

The engine bends no joint that nobody wrote; where that leaves a free hand or foot below the
ground, the drawing turns foot, shank or arm just so far that it lies on it.
"""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
from numpy.typing import NDArray

from rungbook.drawing.body_shapes import RADII, SIDES, units
from rungbook.drawing.boxes import COUCH_HALF_M
from rungbook.load.result import PHASES, Surface

Array = NDArray[np.float64]
Points = dict[str, Array]
Phases = NDArray[np.bool_]

_TURNS_DEG = sorted(range(-120, 121, 3), key=abs)
_SHOULDER_M = 0.055
_THICK_M = {**RADII, "shoulder": _SHOULDER_M, "hip": 0.1, "pelvis": 0.1}
_TURNS = np.radians(_TURNS_DEG)[:, None, None]
_COS, _SIN = np.cos(_TURNS), np.sin(_TURNS)
_MOST_SUNK_M = 0.05
_SUNK_M = 0.003  # what nobody sees
# What turns about what, from the limb's end on; what rests on something stays where it is.
_TURNED = (
    ("ankle", ("heel", "ball", "toe"), ("foot", "forefoot", "heel")),
    ("knee", ("ankle", "heel", "ball", "toe"), ("foot", "forefoot", "heel", "ankle", "shank")),
    ("wrist", ("fingertip",), ("hand",)),
    ("elbow", ("wrist", "fingertip"), ("hand", "wrist", "forearm")),
    ("shoulder", ("elbow", "wrist", "fingertip"), ("hand", "wrist", "forearm", "elbow")),
)


def clear_of_ground(
    points: Points, surfaces: Iterable[Surface], ahead: Array, *, couch: bool
) -> None:
    """Turn free ends of limbs, in place, until they are above z = 0.

    From a `couch` an arm may hang.
    """
    if not _sinks(points):
        return
    _lift_pelvis(points, ahead)
    resting = {surface.at: np.array(surface.phases) for surface in surfaces}
    lateral = units(points["working hip"] - points["other hip"])
    for side in SIDES:
        prefix = "other-" if side == "other" else ""
        _lift_arm(points, side)
        for about, names, rests in _TURNED:
            low = _lowest(points, side, names) < -_SUNK_M
            if couch and about in ("wrist", "elbow", "shoulder"):
                elbow, middle = points[f"{side} elbow"], points["chest"]
                low &= np.abs(elbow[:, 1] - middle[:, 1]) < COUCH_HALF_M
            for at in rests:
                low &= ~resting.get(prefix + at, np.zeros(PHASES, bool))
            if low.any():
                _turn_up(points, side, about, names, lateral, low)


def _sinks(points: Points) -> bool:
    """Whether anything might be below the ground."""
    names = [name for name in points if name.split(" ")[-1] in _THICK_M]
    lowest = np.stack([points[name][:, 2] for name in names]).min(1)
    thick = np.array([_THICK_M[name.split(" ")[-1]] for name in names])
    return bool((lowest < thick).any())


def _lift_pelvis(points: Points, ahead: Array) -> None:
    """A pelvis that a written angle has sunk a little comes up to lie on the ground."""
    face = ahead[:, 2]
    hips = np.minimum(points["working hip"][:, 2], points["other hip"][:, 2])
    low = np.minimum(hips - 0.012 * face - 0.086, points["pelvis"][:, 2] - 0.090)
    sunk = np.clip(-low, 0.0, _MOST_SUNK_M)
    if sunk.any():
        for name in ("pelvis", "lumbar", "working hip", "other hip"):
            points[name] = points[name] + sunk[:, None] * [0.0, 0.0, 1.0]


def _lift_arm(points: Points, side: str) -> None:
    """The arm whose shoulder is lain on comes up to lie on the ground, not in it."""
    sunk = np.maximum(_SHOULDER_M - points[f"{side} shoulder"][:, 2], 0.0)
    if sunk.any():
        for name in ("shoulder", "elbow", "wrist", "fingertip"):
            points[f"{side} {name}"] = points[f"{side} {name}"] + sunk[:, None] * [0.0, 0.0, 1.0]


def _lowest(points: Points, side: str, names: tuple[str, ...]) -> Array:
    """How far above the ground the lowest of these reaches, (11,)."""
    return np.asarray(
        np.min([points[f"{side} {name}"][:, 2] - RADII[name] for name in names], axis=0)
    )


def _turn_up(
    points: Points, side: str, about: str, names: tuple[str, ...], axis: Array, low: Phases
) -> None:
    """By the smallest turn up that frees them; none if none does. `axis` points sideways."""
    centre = points[f"{side} {about}"]
    away = units(points[f"{side} {names[-1]}"] - centre)
    level = np.cross(away, [0.0, 0.0, 1.0])
    steep = np.linalg.norm(level, axis=-1, keepdims=True) < 0.5
    axis = np.where(steep, axis, units(level))  # straight up, but a foot that hangs
    arms = np.stack([points[f"{side} {name}"] - centre for name in names])  # (n, 11, 3)
    square = np.cross(axis, arms)
    along = (arms * axis).sum(-1, keepdims=True) * axis
    lifts = (  # (turns, n, 11): heights after each turn, after Rodrigues
        arms[..., 2] * _COS + square[..., 2] * _SIN + along[..., 2] * (1 - _COS)
    )
    deep = np.array([RADII[name] for name in names])[:, None] - centre[:, 2]
    free = (lifts - deep).min(1) >= -_SUNK_M  # (turns, 11)
    first = free.argmax(0)
    cos, sin = _COS[first, 0, 0, None], _SIN[first, 0, 0, None]
    turned = centre + arms * cos + square * sin + along * (1 - cos)
    now = (low & free.any(0))[:, None]
    for name, place in zip(names, turned, strict=True):
        points[f"{side} {name}"] = np.where(now, place, points[f"{side} {name}"])
