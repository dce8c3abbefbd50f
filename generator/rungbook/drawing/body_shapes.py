"""The body as shapes: swelling limbs, a chest and a pelvis, a head with hair and a nose.

Every part is the outline around circles, two and two, or around several of the trunk. Centres
are fixed linear mixtures of the skeleton's points, moved a little along the way a segment faces
(the calf lies behind the shank, the chest before the spine). Radii are metres for a stature of
1.70 m, rounded from common body breadths; they are looks, not anthropometry: no load depends on
them.
"""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

SIDES = ("working", "other")
MIDLINE = ("pelvis", "lumbar", "chest", "neck", "head")
SIDED = ("hip", "knee", "ankle", "heel", "ball", "toe", "shoulder", "elbow", "wrist", "fingertip")
POINTS = MIDLINE + tuple(f"{side} {point}" for side in SIDES for point in SIDED)

# circle -> (radius, {point: weight}, (what faces, metres along it) or None); "~" is the side,
# "!" the opposite one.
_Mixture = tuple[float, dict[str, float], tuple[str, float] | None]
_MIDDLE: dict[str, _Mixture] = {
    "belly": (0.098, {"lumbar": 0.75, "pelvis": 0.25}, ("trunk", 0.012)),
    "breast": (0.092, {"lumbar": 0.36, "chest": 0.64}, ("trunk", 0.020)),
    "back": (0.089, {"lumbar": 0.42, "chest": 0.58}, ("trunk", -0.022)),
    "collar": (0.060, {"chest": 0.95, "lumbar": 0.05}, None),
    "nape": (0.048, {"chest": 0.9, "head": 0.1}, None),
    "skull": (0.088, {"head": 1.1, "neck": -0.1}, None),
    "jaw": (0.056, {"head": 0.62, "neck": 0.38}, ("trunk", 0.028)),
}
_SIDED: dict[str, _Mixture] = {
    "loin": (0.090, {"pelvis": 0.5, "~ hip": 0.7, "! hip": -0.2}, None),
    "seat": (0.086, {"~ hip": 1}, ("trunk", -0.012)),
    "waist": (0.086, {"lumbar": 1, "~ hip": 0.24, "! hip": -0.24}, None),
    "ribs": (0.092, {"lumbar": 0.42, "chest": 0.58, "~ shoulder": 0.12, "! shoulder": -0.12}, None),
    "yoke": (0.056, {"~ shoulder": 1}, None),
    "groin": (0.082, {"~ hip": 1}, None),
    "thigh": (0.070, {"~ hip": 0.60, "~ knee": 0.40}, ("~ thigh", 0.010)),
    "knee": (0.050, {"~ knee": 1}, None),
    "calf": (0.050, {"~ knee": 0.72, "~ ankle": 0.28}, ("~ shank", -0.012)),
    "ankle": (0.030, {"~ ankle": 1}, None),
    "heel": (0.024, {"~ heel": 1}, None),
    "instep": (0.030, {"~ ankle": 0.34, "~ heel": 0.33, "~ ball": 0.33}, None),
    "ball": (0.020, {"~ ball": 1}, None),
    "toe": (0.013, {"~ toe": 1}, None),
    "deltoid": (0.054, {"~ shoulder": 1}, None),
    "biceps": (0.045, {"~ shoulder": 0.5, "~ elbow": 0.5}, None),
    "elbow": (0.036, {"~ elbow": 1}, None),
    "forearm": (0.039, {"~ elbow": 0.75, "~ wrist": 0.25}, None),
    "wrist": (0.024, {"~ wrist": 1}, None),
    "knuckles": (0.025, {"~ wrist": 0.52, "~ fingertip": 0.48}, None),
    "fingertip": (0.013, {"~ fingertip": 1}, None),
}
# Pairs of circles that make a part; a part of more than two in one row is their common outline.
_LIMBS = {
    "thigh": (("groin", "thigh"), ("thigh", "knee")),
    "shank": (("knee", "calf"), ("calf", "ankle")),
    "foot": (
        ("ankle", "instep"),
        ("ankle", "heel"),
        ("ankle", "ball"),
        ("heel", "ball"),
        ("ball", "toe"),
    ),
    "upper arm": (("deltoid", "biceps"), ("biceps", "elbow")),
    "forearm": (("elbow", "forearm"), ("forearm", "wrist")),
    "hand": (("wrist", "knuckles"), ("knuckles", "fingertip")),
}  # fmt: skip
_HULLS = {
    "pelvis": ("loin", "seat", "waist"),
    "chest": ("waist", "ribs", "yoke", "belly", "breast", "back", "collar"),
}
PARTS = (
    "trunk",
    "head",
    *(f"{side} {part}" for side in SIDES for part in _LIMBS),
)


def _layout() -> tuple[tuple[str, ...], Array, Array, list[tuple[str, float] | None]]:
    both = [(name, _MIDDLE[name]) for name in _MIDDLE]
    for side, opposite in (SIDES, SIDES[::-1]):
        for name, (radius, mixture, faces) in _SIDED.items():
            swapped = {
                point.replace("~", side).replace("!", opposite): weight
                for point, weight in mixture.items()
            }
            shift = (faces[0].replace("~", side), faces[1]) if faces else None
            both.append((f"{side} {name}", (radius, swapped, shift)))
    rows = np.zeros((len(both), len(POINTS)))
    for row, (_, (_, mixture, _)) in zip(rows, both, strict=True):
        for point, weight in mixture.items():
            row[POINTS.index(point)] += weight
    radii = np.array([radius for _, (radius, _, _) in both])
    return tuple(name for name, _ in both), radii, rows, [shift for _, (_, _, shift) in both]


CIRCLES, RADII_M, _CENTRES, _SHIFTS = _layout()
RADII = {name: _SIDED[name][0] for name in SIDED if name in _SIDED}  # at the points of limbs
INDEX = {name: i for i, name in enumerate(CIRCLES)}
PAIRS: tuple[tuple[str, int, int], ...] = (
    *tuple(
        (f"{side} {part}", INDEX[f"{side} {first}"], INDEX[f"{side} {last}"])
        for side in SIDES
        for part, pairs in _LIMBS.items()
        for first, last in pairs
    ),
    ("head", INDEX["nape"], INDEX["skull"]),
    ("head", INDEX["skull"], INDEX["jaw"]),
)


def _of_both(name: str) -> list[int]:
    """The rows of a circle in the middle, or of both sides."""
    return [INDEX[c] for c in ([name] if name in _MIDDLE else [f"{s} {name}" for s in SIDES])]


HULLS: tuple[tuple[str, tuple[int, ...]], ...] = tuple(
    ("trunk", tuple(row for name in names for row in _of_both(name))) for names in _HULLS.values()
)


def facing(points: Mapping[str, Array]) -> Array:
    """Where the chest points, unit vectors (p, 3)."""
    left = points["other shoulder"] - points["working shoulder"]
    return units(np.cross(left, points["chest"] - points["lumbar"]))


def circles_m(points: Mapping[str, Array], chest: Array) -> Array:
    """Centres (c, p, 3) of the circles for points (p, 3) each; `chest` (p, 3) is its `facing`."""
    stacked = np.stack([points[name] for name in POINTS])
    centres = np.tensordot(_CENTRES, stacked, axes=1)
    ahead = _ahead(points, chest)
    for i, shift in enumerate(_SHIFTS):
        if shift is not None:
            centres[i] += shift[1] * ahead[shift[0]]
    return centres


def _ahead(points: Mapping[str, Array], chest: Array) -> dict[str, Array]:
    """Which way the trunk, the thighs and the shanks face, (p, 3), square to their length."""
    found = {"trunk": chest}
    for side in SIDES:
        hip, knee, ankle = (points[f"{side} {name}"] for name in ("hip", "knee", "ankle"))
        thigh, shank = units(knee - hip), units(ankle - knee)
        found[f"{side} thigh"] = units(_across(0.3 * chest - shank, thigh))
        found[f"{side} shank"] = units(
            _across(points[f"{side} toe"] - points[f"{side} heel"], shank)
        )
    return found


def _across(vector: Array, along: Array) -> Array:
    return np.asarray(vector - (vector * along).sum(-1, keepdims=True) * along)


def units(vector: Array) -> Array:
    """The directions of vectors (..., 3)."""
    return np.asarray(vector / np.maximum(np.linalg.norm(vector, axis=-1, keepdims=True), 1e-9))
