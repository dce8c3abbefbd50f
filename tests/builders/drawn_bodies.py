"""What a drawn body may not do, measured on the room: hands off their surface, limbs through walls.

Lengths in metres, angles in degrees. Nothing is taken from the drawing code but the shapes that it
draws: circles, boxes and where they lie.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from rungbook.drawing.body_shapes import CIRCLES, INDEX
from rungbook.drawing.boxes import Cuboid
from rungbook.drawing.posing import is_round
from rungbook.drawing.scene import Scene
from rungbook.load.result import PHASES, Surface

Array = NDArray[np.float64]

OFF_M, OFF_DEG, THROUGH_M = 0.010, 10.0, 0.010
_SOLES = {
    "foot": ("heel", "ball", "toe"), "forefoot": ("ball", "toe"), "heel": ("heel",),
    "knee": ("knee",),
}  # fmt: skip
_SEATS = {
    "seat": ("seat", "loin"), "pelvis": ("seat", "loin", "groin"),
}  # fmt: skip


def off_surface(scene: Scene) -> Iterator[str]:
    """Hands, feet, knees and seats that do not lie on what carries them."""
    for surface in scene.skeleton.surfaces:
        bare = surface.at.removeprefix("other-")
        side = "other" if bare != surface.at else "working"
        there = np.array(surface.phases)
        if bare == "hand":
            found = _hand_off(scene, surface, side)
        elif bare in _SOLES:
            gaps = _gaps(scene, surface, [f"{side} {name}" for name in _SOLES[bare]])
            found = {"off": np.abs(gaps).max(0)}
            if bare == "foot":
                found["turned"] = _turned(scene, surface, f"{side} heel", f"{side} toe")
        elif bare in _SEATS:
            names = [f"{s} {name}" for s in ("working", "other") for name in _SEATS[bare]]
            names += ["belly"] * (bare == "pelvis")  # of who lies on the front
            found = {"off": np.abs(_gaps(scene, surface, names).min(0))}
        else:
            continue
        for what, values in found.items():
            most = float(values[there].max(initial=0.0))
            if most > (OFF_DEG if what == "turned" else OFF_M) + 1e-6:
                yield f"{surface.at} {what} {surface.kind}: {most:.3f}"


def _gaps(scene: Scene, surface: Surface, names: list[str]) -> Array:
    """How far above the surface the lowest points of circles lie, (n, 11)."""
    rows = [INDEX[name] for name in names]
    height = (scene.circles[rows] - np.array(surface.origin_m)) @ np.array(surface.normal)
    return np.asarray(height - scene.radii[rows][:, None])


def _turned(scene: Scene, surface: Surface, first: str, last: str) -> Array:
    """Between the underside of two circles and the surface, degrees (11,)."""
    low, high = _gaps(scene, surface, [first, last])
    apart = scene.circles[INDEX[last]] - scene.circles[INDEX[first]]
    return np.degrees(np.arcsin(np.clip((high - low) / np.linalg.norm(apart, axis=-1), -1, 1)))


def _hand_off(scene: Scene, surface: Surface, side: str) -> dict[str, Array]:
    if is_round(surface.kind) or side in scene.pose.closed:  # it lies round what it holds
        height = _gaps(scene, surface, [f"{side} wrist", f"{side} knuckles"])
        return {"off": np.maximum(np.abs(height).min(0) - 0.04, 0.0)}
    gaps = _gaps(scene, surface, [f"{side} wrist", f"{side} fingertip"])
    turned = _turned(scene, surface, f"{side} wrist", f"{side} fingertip")
    return {"off": np.abs(gaps).max(0), "turned": np.abs(turned)}


def through(scene: Scene) -> Iterator[str]:
    """Parts of the body deeper than 1 cm in the floor, in a wall or in furniture."""
    planes = {(s.kind, s.normal): s for s in scene.skeleton.surfaces if s.kind in ("floor", "wall")}
    ground = min(0.0, scene.ground_m + 0.02)  # beneath a couch; a mat is thinner than that
    level = Surface("floor", "", (0.0, 0.0, ground), (0.0, 0.0, 1.0))
    if not any(s.kind == "floor" and s.normal[2] < 0.9999 for s in planes.values()):
        planes["floor", (0.0, 0.0, 1.0)] = level
    for surface in planes.values():
        gaps = _gaps(scene, surface, list(CIRCLES))
        for name, depth in zip(CIRCLES, -gaps.min(1), strict=True):
            if depth > THROUGH_M + 1e-6:
                yield f"{name} in {surface.kind}: {depth:.3f}"
    for thing in scene.furniture:
        for box in thing.shapes:
            if isinstance(box, Cuboid):
                for name, depth in zip(CIRCLES, _sunk(scene, box), strict=True):
                    if depth > THROUGH_M + 1e-6:
                        yield f"{name} in {thing.kind}: {depth:.3f}"


def _sunk(scene: Scene, box: Cuboid) -> Array:
    """How deep each circle, as a ball, is in a box at most over the movement, (c,)."""
    inside = np.abs((scene.circles - box.middle) @ box.axes.T) - box.half  # (c, 11, 3)
    outside = np.linalg.norm(np.maximum(inside, 0.0), axis=-1)
    distance = outside + np.minimum(inside.max(-1), 0.0)
    depth: Array = (scene.radii[:, None] - distance).max(1)
    assert inside.shape[1] == PHASES
    return depth
