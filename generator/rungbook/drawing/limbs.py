"""The body as shapes: tapered limbs with round joints, a trunk with thickness, wedges.

Every shape is the outline around two or more circles. The circles' centres are fixed linear
mixtures of the skeleton's points (`CENTRES`), so that a body in any posture is one matrix
product. Radii are metres for a stature of 1.70 m, rounded from common body breadths; they are
looks, not anthropometry: no load depends on them.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

import numpy as np
from numpy.typing import NDArray

from rungbook.drawing import svg

Array = NDArray[np.float64]

SIDES = ("working", "other")
MIDLINE = ("pelvis", "lumbar", "chest", "neck", "head")
SIDED = ("hip", "knee", "ankle", "heel", "ball", "toe", "shoulder", "elbow", "wrist", "fingertip")
POINTS = MIDLINE + tuple(f"{side} {point}" for side in SIDES for point in SIDED)

# circle -> (radius, {point: weight}); "~" stands for the side.
_MIDDLE: dict[str, tuple[float, dict[str, float]]] = {
    "head": (0.102, {"head": 1}),
    "nape": (0.050, {"chest": 1}),
    "skull": (0.048, {"head": 1}),
    "collar": (0.062, {"chest": 0.93, "lumbar": 0.07}),
}
_SIDED: dict[str, tuple[float, dict[str, float]]] = {
    "hip": (0.084, {"~ hip": 1}),
    "waist": (0.096, {"lumbar": 1, "~ hip": 0.27, "! hip": -0.27}),
    "ribs": (0.108, {"lumbar": 0.42, "chest": 0.58, "~ shoulder": 0.11, "! shoulder": -0.11}),
    "shoulder": (0.058, {"~ shoulder": 1}),
    "groin": (0.080, {"~ hip": 1}),
    "knee": (0.053, {"~ knee": 1}),
    "calf": (0.051, {"~ knee": 0.75, "~ ankle": 0.25}),
    "ankle": (0.034, {"~ ankle": 1}),
    "heel": (0.026, {"~ heel": 0.6, "~ ankle": 0.4}),
    "ball": (0.019, {"~ ball": 1, "~ ankle": 0.29, "~ heel": -0.29}),
    "toe": (0.011, {"~ toe": 1, "~ ankle": 0.17, "~ heel": -0.17}),
    "deltoid": (0.052, {"~ shoulder": 1}),
    "elbow": (0.039, {"~ elbow": 1}),
    "wrist": (0.026, {"~ wrist": 1}),
    "knuckles": (0.031, {"~ wrist": 0.55, "~ fingertip": 0.45}),
    "fingertip": (0.012, {"~ fingertip": 1}),
}
_CAPSULES = {
    "thigh": ("groin", "knee"),
    "shank": ("knee", "ankle"),
    "upper arm": ("deltoid", "elbow"),
    "forearm": ("elbow", "wrist"),
}
_WEDGES = {
    "calf": ("knee", "calf", "ankle"),
    "foot": ("ankle", "heel", "ball", "toe"),
    "hand": ("wrist", "knuckles", "fingertip"),
}


def _layout() -> tuple[tuple[str, ...], Array, Array]:
    names: list[str] = []
    radii: list[float] = []
    rows: list[Array] = []
    both = [(name, *_MIDDLE[name]) for name in _MIDDLE]
    for side, opposite in (SIDES, SIDES[::-1]):
        for name, (radius, mixture) in _SIDED.items():
            swap = {
                point.replace("~", side).replace("!", opposite): weight
                for point, weight in mixture.items()
            }
            both.append((f"{side} {name}", radius, swap))
    for name, radius, mixture in both:
        row = np.zeros(len(POINTS))
        for point, weight in mixture.items():
            row[POINTS.index(point)] += weight
        names.append(name)
        radii.append(radius)
        rows.append(row)
    return tuple(names), np.array(radii), np.stack(rows)


CIRCLES, RADII_M, CENTRES = _layout()
_INDEX = {name: i for i, name in enumerate(CIRCLES)}
HEAD = _INDEX["head"]

PARTS = (
    "trunk",
    "head",
    "neck",
    *(f"{side} {part}" for side in SIDES for part in (*_CAPSULES, "foot", "hand")),
)
LAYER = {
    part: {"working": "near", "other": "other"}.get(part.split(" ")[0], "trunk") for part in PARTS
}
# The skeleton points at a part's ends: where they move, the part moves.
ENDS: dict[str, tuple[str, ...]] = {
    "trunk": ("pelvis", "chest"),
    "head": ("head",),
    "neck": ("neck", "head"),
    **{
        f"{side} {part}": tuple(f"{side} {end}" for end in ends)
        for side in SIDES
        for part, ends in {
            "thigh": ("hip", "knee"),
            "shank": ("knee", "ankle"),
            "foot": ("heel", "toe"),
            "upper arm": ("shoulder", "elbow"),
            "forearm": ("elbow", "wrist"),
            "hand": ("wrist", "fingertip"),
        }.items()
    },
}

_CAPSULE_PARTS = [
    (f"{side} {part}", _INDEX[f"{side} {first}"], _INDEX[f"{side} {last}"])
    for side in SIDES
    for part, (first, last) in _CAPSULES.items()
] + [("neck", _INDEX["nape"], _INDEX["skull"])]
_FIRST = np.array([first for _, first, _ in _CAPSULE_PARTS])
_LAST = np.array([last for _, _, last in _CAPSULE_PARTS])

_WEDGE_PARTS = [
    (f"{side} {'shank' if part == 'calf' else part}", [f"{side} {name}" for name in circles])
    for side in SIDES
    for part, circles in _WEDGES.items()
] + [
    ("trunk", [f"{side} {name}" for side in SIDES for name in ("hip", "waist")]),
    (
        "trunk",
        [f"{s} {name}" for s in SIDES for name in ("waist", "ribs", "shoulder")] + ["collar"],
    ),
]
_WIDEST = max(len(circles) for _, circles in _WEDGE_PARTS)
_MEMBERS = np.array(
    [[_INDEX[c] for c in (cs + cs[-1:] * _WIDEST)[:_WIDEST]] for _, cs in _WEDGE_PARTS]
)
_ANGLES = -np.arange(30) * (2 * np.pi / 30)  # the same turn as the capsules' paths
_AROUND = np.stack([np.cos(_ANGLES), np.sin(_ANGLES)])  # (2, 30)
_CAPSULE = "M%s,%sL%s,%sA%s,%s 0 0 0 %s,%sL%s,%sA%s,%s 0 1 0 %s,%sZ"
_WEDGE = "M" + "%s,%s " * (len(_ANGLES) - 1) + "%s,%sZ"
_NOSE = "M%s,%s %s,%s %s,%s %s,%sZ"
_CIRCLE = "M%s,%sa%s,%s 0 1 0 %s,0a%s,%s 0 1 0 %s,0Z"
# One format for all of a body, and the part that each of its shapes belongs to.
_SHAPES = (
    [(part, _CAPSULE) for part, _, _ in _CAPSULE_PARTS]
    + [(part, _WEDGE) for part, _ in _WEDGE_PARTS]
    + [("head", _CIRCLE)]
)
_BODY = "|".join(form for _, form in _SHAPES)


def circles_m(points_m: Array) -> Array:
    """Centres (c, 11, 3) from the skeleton's stacked points (n, 11, 3)."""
    return np.tensordot(CENTRES, points_m, axes=1)


def part_paths(centres: Array, radii: Array) -> list[dict[str, str]]:
    """The outlines of the parts of postures: centres (p, c, 2) and radii (p, c) in pixels."""
    numbers = np.concatenate(
        [_capsules(centres, radii), _wedges(centres, radii), _heads(centres, radii)], axis=1
    )
    flat, size = svg.texts(numbers), numbers.shape[1]
    found = []
    for first in range(0, len(flat), size):
        drawn = dict.fromkeys(PARTS, "")
        shapes = (_BODY % tuple(flat[first : first + size])).split("|")
        for (part, _), outline in zip(_SHAPES, shapes, strict=True):
            drawn[part] += outline
        found.append(drawn)
    return found


def nose_paths(centres: Array, facing: Array, radii: Array) -> list[str]:
    """Small bumps on heads at `centres` (p, 2) where `facing` (p, 2), shortened units, point."""
    reach = facing * radii[:, None]
    across = np.stack([-facing[:, 1], facing[:, 0]], 1) * radii[:, None] * 0.30
    tip, base = centres + reach * 1.16, centres + reach * 0.80
    rows = [base + across, tip + across * 0.5, tip - across * 0.2, base - across]
    flat = svg.texts(np.stack(rows, 1))
    return [_NOSE % tuple(flat[first : first + 8]) for first in range(0, len(flat), 8)]


def layer(paths: Mapping[str, str], parts: Iterable[str]) -> str:
    """One path of several parts: drawn with paint-order stroke they show one outline."""
    return "".join(paths[part] for part in parts)


def _capsules(centres: Array, radii: Array) -> Array:
    """Numbers (p, n) of all capsules of each posture."""
    first, last = centres[:, _FIRST], centres[:, _LAST]
    r0, r1 = radii[:, _FIRST], radii[:, _LAST]
    span = last - first
    length = np.maximum(np.hypot(span[..., 0], span[..., 1]), 1e-6)
    along = span / length[..., None]
    across = np.stack([-along[..., 1], along[..., 0]], -1)
    cos = np.clip((r0 - r1) / length, -0.95, 0.95)[..., None]
    sin = np.sqrt(1 - cos**2)
    plus, minus = along * cos + across * sin, along * cos - across * sin
    a, b = r0[..., None], r1[..., None]
    start = first + a * plus
    rows = [start, last + b * plus, b, b, last + b * minus, first + a * minus, a, a, start]
    return np.concatenate(rows, -1).reshape(len(centres), -1)


def _wedges(centres: Array, radii: Array) -> Array:
    """For each direction around, the outermost point of the circles: their common outline."""
    centre, radius = centres[:, _MEMBERS], radii[:, _MEMBERS]  # (p, w, m, 2), (p, w, m)
    reach = centre @ _AROUND + radius[..., None]  # (p, w, m, 30)
    best = reach.argmax(2)  # (p, w, 30)
    postures = np.arange(len(centres))[:, None, None]
    rows = np.arange(len(_MEMBERS))[:, None]
    outline = centre[postures, rows, best] + radius[postures, rows, best][..., None] * _AROUND.T
    return np.asarray(outline.reshape(len(centres), -1))


def _heads(centres: Array, radii: Array) -> Array:
    """Numbers (p, 8) of the circle around the head: its left end, then two half turns."""
    middles, r = np.round(centres[:, HEAD], 1), np.round(radii[:, HEAD], 1)
    left = middles[:, 0] - r
    return np.stack([left, middles[:, 1], r, r, 2 * r, r, r, -2 * r], axis=1)
