"""Everything about an exercise's figure that depends neither on its side nor on the paper."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from rungbook.drawing.body_shapes import POINTS, RADII_M, circles_m, facing
from rungbook.drawing.furniture import Furniture, furnish
from rungbook.drawing.objects import Thing, things_of
from rungbook.drawing.panels import Moment, moments
from rungbook.drawing.posing import Pose, pose
from rungbook.drawing.projection import View, choose_view
from rungbook.load.result import ExerciseLoad
from rungbook.model.exercise import Exercise

Array = NDArray[np.float64]

_LEG, _ARM = ("thigh", "shank", "foot"), ("upper arm", "forearm", "hand")
_WORKING_PARTS = {
    "hip": _LEG, "knee": _LEG, "ankle": ("shank", "foot"), "toes": ("shank", "foot"),
    "shoulder": _ARM, "elbow": _ARM, "forearm": ("forearm", "hand"), "wrist": ("forearm", "hand"),
}  # fmt: skip
BOTH_HANDS = frozenset({"stick", "arm", "hands"})
_SEGMENTS = (
    ("pelvis", "chest"), ("chest", "head"),
    *((f"{s} {a}", f"{s} {b}") for s in ("working", "other") for a, b in (
        ("hip", "knee"), ("knee", "ankle"), ("heel", "toe"), ("shoulder", "elbow"),
        ("elbow", "wrist"))),
)  # fmt: skip


@dataclass(frozen=True, eq=False)
class Scene:
    """The body over the movement, what is around it, and from where it is seen."""

    exercise: Exercise
    load: ExerciseLoad
    pose: Pose
    circles: Array  # (c, 11, 3) metres in the room
    radii: Array  # (c,) metres
    facing: Array  # (11, 3)
    view: View
    working: frozenset[str]
    furniture: tuple[Furniture, ...]
    things: tuple[Thing, ...]
    moments: tuple[Moment, ...]

    @cached_property
    def moving_point(self) -> str:
        """The point whose way the arrow follows: the trunk where it travels, else a limb's end."""
        travel = {
            name: float(np.linalg.norm(place[-1] - place[0]))
            for name, place in self.pose.points.items()
            if name.split(" ")[-1] not in ("heel", "fingertip", "ball")
        }
        trunk = max(("head", "chest", "pelvis"), key=travel.__getitem__)
        limb = max((name for name in travel if name not in trunk), key=travel.__getitem__)
        working = [name for name in travel if name.startswith("working")]
        if travel[trunk] > 0.10 and travel[trunk] > 0.45 * max(travel[name] for name in working):
            return trunk
        own = max(working, key=travel.__getitem__)
        return own if travel[own] > 0.5 * travel[limb] else limb


def make_scene(exercise: Exercise, load: ExerciseLoad) -> Scene:
    """The pose, the view, furniture and objects of one exercise."""
    assert load.skeleton is not None
    drawn = pose(exercise, load.skeleton.points_m, load.skeleton.surfaces)
    points = drawn.points
    stacked = np.stack([points[name] for name in POINTS])
    ahead = facing(points)
    segments = np.concatenate([points[b][[0, -1]] - points[a][[0, -1]] for a, b in _SEGMENTS])
    view = choose_view(
        (stacked[:, 1:] - stacked[:, :-1]).reshape(-1, 3),
        segments,
        points["working hip"][0] - points["other hip"][0],
        ahead[0],
        points["head"][0] - points["pelvis"][0],
    )
    if any(item.by and set(item.by.split("-")) & BOTH_HANDS for item in exercise.assist):
        view = view.turned()  # both hands show where one would hide the other
    return Scene(
        exercise, load, drawn, circles_m(points), _radii(load.person.stature_m), ahead, view,
        _working(exercise),
        furnish(load.skeleton.surfaces, points, ahead[0]),
        things_of(exercise, load.skeleton, drawn),
        tuple(moments(exercise, load, points)),
    )  # fmt: skip


def _working(exercise: Exercise) -> frozenset[str]:
    parts: set[str] = set()
    for action in exercise.works:
        sides = (
            ("working", "other")
            if exercise.sides == "both"
            else (("other",) if action.other_side else ("working",))
        )
        parts |= {f"{s} {part}" for s in sides for part in _WORKING_PARTS.get(action.joint, ())}
        if action.joint == "lumbar":
            parts.add("trunk")
        if action.joint == "neck":
            parts.add("head")
    return frozenset(parts)


def _radii(stature_m: float) -> Array:
    return np.asarray(RADII_M * (stature_m / 1.70))


def depths_of(points: Mapping[str, Array], names: tuple[str, ...], view: View) -> Array:
    """How near to the eye these points lie on average, metres, at every phase (11,)."""
    return np.asarray(np.mean([points[name] @ view.toward for name in names], axis=0))
