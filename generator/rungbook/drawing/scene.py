"""What a figure shows of an exercise: the view, what works, what moves, how it is laid out."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property, lru_cache
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from rungbook.drawing.applied import applied_things
from rungbook.drawing.arc import Movement, Turn, leading_movement, leading_turn
from rungbook.drawing.furniture import Thing, furnish
from rungbook.drawing.limbs import CIRCLES, ENDS, LAYER, PARTS, POINTS, RADII_M, circles_m
from rungbook.drawing.projection import View, choose_view
from rungbook.load.result import Applied, ExerciseLoad
from rungbook.model.exercise import Exercise

Array = NDArray[np.float64]

START, END = 0, -1
_LEG, _ARM = ("thigh", "shank", "foot"), ("upper arm", "forearm", "hand")
_WORKING_PARTS = {
    "hip": _LEG, "knee": _LEG, "ankle": ("shank", "foot"), "toes": ("shank", "foot"),
    "shoulder": _ARM, "elbow": _ARM, "forearm": ("forearm", "hand"), "wrist": ("forearm", "hand"),
}  # fmt: skip

_WORKING = [i for i, name in enumerate(POINTS) if name.startswith("working ")]
_OTHER = [POINTS.index(POINTS[i].replace("working", "other")) for i in _WORKING]
_SEGMENTS = [tuple(map(POINTS.index, ends)) for ends in ENDS.values() if len(ends) == 2]
_SEGMENT_STARTS, _SEGMENT_ENDS = (list(ends) for ends in zip(*_SEGMENTS, strict=True))

# Where it lies, its parts in plain ink, and those that work.
Layer = tuple[str, tuple[str, ...], tuple[str, ...]]


@dataclass(frozen=True)
class Scene:
    """Everything about a figure that depends neither on its side nor on where its panels lie."""

    exercise: Exercise
    load: ExerciseLoad
    points: Mapping[str, Array]  # (11, 3) each, metres in the room
    circles: Array  # (c, 11, 3)
    radii: Array  # (c,) metres
    view: View
    facing: Array  # (2, 3): at the start, at the end
    working: frozenset[str]  # parts to emphasise
    moved: frozenset[str]  # parts that come apart from where they started
    things: tuple[Thing, ...]  # furniture
    applied: tuple[Applied, ...]  # loads and help, each with a label
    plan: Literal["hold", "overlay", "panels"]
    movement: Movement | None

    @cached_property
    def turn(self) -> Turn | None:
        """What the arc follows, where something moves."""
        return leading_turn(self.movement, self.points) if self.movement else None

    def layers(self, outline: bool) -> tuple[Layer, ...]:
        """The parts from back to front; only what moves where it leaves but an outline."""
        return _layers(self.plan == "overlay", outline, self.working, self.moved)


@lru_cache(maxsize=256)
def _layers(
    overlay: bool, outline: bool, working: frozenset[str], moved: frozenset[str]
) -> tuple[Layer, ...]:
    def place_of(part: str) -> str:
        stays = overlay and LAYER[part] == "near" and part not in moved | working
        return "still" if stays else LAYER[part]

    shown = [part for part in PARTS if not outline or part in moved]
    found = []
    for place in ("other", "trunk", "still", "near"):
        names = [part for part in shown if place_of(part) == place]
        plain = tuple(part for part in names if part not in working)
        found.append((place, plain, tuple(part for part in names if part in working)))
    return tuple(found)


def make_scene(exercise: Exercise, load: ExerciseLoad) -> Scene:
    """The view, what works, what moves, and how to lay it out."""
    assert load.skeleton is not None
    points = load.skeleton.points_m
    stacked = np.stack([points[name] for name in POINTS])
    working = _working(exercise)
    distances = np.sqrt(((stacked[:, END] - stacked[:, START]) ** 2).sum(1)).tolist()
    apart = dict(zip(POINTS, distances, strict=True))
    moved = frozenset(part for part in PARTS if max(apart[end] for end in ENDS[part]) > 0.09)
    facing = np.array([_facing(points, START), _facing(points, END)])
    segments = stacked[_SEGMENT_ENDS] - stacked[_SEGMENT_STARTS]
    view = choose_view(
        (stacked[:, 1:] - stacked[:, :-1]).reshape(-1, 3),
        np.concatenate([segments[:, START], segments[:, END]]),
        (stacked[_WORKING] - stacked[_OTHER]).mean((0, 1)),
        facing[0],
    )
    return Scene(
        exercise, load, points, circles_m(stacked), _radii(load.person.stature_m, working),
        view, facing, working, moved,
        furnish(load.skeleton.surfaces, points, facing[0]),
        applied_things(exercise, load.skeleton), _plan(apart),
        leading_movement(exercise),
    )  # fmt: skip


def _plan(apart: Mapping[str, float]) -> Literal["hold", "overlay", "panels"]:
    most = max(apart.values())
    trunk = max(apart["pelvis"], apart["chest"])
    if most < 0.012:
        return "hold"
    return "panels" if trunk > 0.10 or most < 0.22 else "overlay"


def _working(exercise: Exercise) -> frozenset[str]:
    parts: set[str] = set()
    for action in exercise.works:
        sides = (
            ("working", "other")
            if exercise.sides == "both"
            else (("other",) if action.other_side else ("working",))
        )
        limb = _WORKING_PARTS.get(action.joint, ())
        parts |= {f"{side} {part}" for side in sides for part in limb}
        if action.joint == "lumbar":
            parts.add("trunk")
        if action.joint == "neck":
            parts |= {"head", "neck"}
    return frozenset(parts)


@lru_cache(maxsize=256)
def _radii(stature_m: float, working: frozenset[str]) -> Array:
    """A working limb is thicker, the other side a little thinner."""
    limbs = {"leg": ("groin", "knee", "calf", "ankle"),
             "arm": ("deltoid", "elbow", "wrist", "knuckles", "fingertip")}  # fmt: skip
    radii = RADII_M * (stature_m / 1.70)
    for i, name in enumerate(CIRCLES):
        side, _, circle = name.partition(" ")
        limb = next((k for k, circles in limbs.items() if circle in circles), None)
        if limb is None:
            continue
        strong = f"{side} {'shank' if limb == 'leg' else 'forearm'}" in working
        radii[i] *= 1.12 if strong else 0.90 if side == "other" else 1.0
    return radii


def _facing(points: Mapping[str, Array], phase: int) -> tuple[float, float, float]:
    """Where the chest points, a unit vector."""
    left = points["other shoulder"][phase] - points["working shoulder"][phase]
    up = points["chest"][phase] - points["lumbar"][phase]
    (a, b, c), (d, e, f) = left.tolist(), up.tolist()
    x, y, z = b * f - c * e, c * d - a * f, a * e - b * d
    length = max(1e-9, math.sqrt(x * x + y * y + z * z))
    return x / length, y / length, z / length
