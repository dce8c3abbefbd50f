"""Everything about an exercise's figure that depends neither on its side nor on the paper."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from rungbook.drawing.body_shapes import POINTS, RADII_M, circles_m, facing
from rungbook.drawing.furniture import Body, Furniture, furnish
from rungbook.drawing.panels import STILL_M, Moment, both_ways, moments
from rungbook.drawing.posing import Pose, on_its_couch, one_wall, pose
from rungbook.drawing.projection import View, choose_view
from rungbook.drawing.things import Thing, things_of
from rungbook.load.result import ExerciseLoad, Skeleton
from rungbook.model.exercise import Exercise

Array = NDArray[np.float64]
Way = Literal["up", "down"]

_LEG, _ARM = ("thigh", "shank", "foot"), ("upper arm", "forearm", "hand")
_WORKING_PARTS = {
    "hip": _LEG, "knee": _LEG, "ankle": ("shank", "foot"), "toes": ("shank", "foot"),
    "shoulder": _ARM, "elbow": _ARM, "forearm": ("forearm", "hand"), "wrist": ("forearm", "hand"),
}  # fmt: skip
_RISES_M = 0.02
_SLIDING = {"heel": "working ankle", "foot": "working ankle", "forefoot": "working ankle",
            "feet": "working ankle",
            "forearm": "working wrist", "hand": "working wrist"}  # fmt: skip
_SIDEWAYS = frozenset({"side-bend", "abduction", "adduction"})
BOTH_HANDS = frozenset({"stick", "arm", "hands"})
_SEGMENTS = (
    ("pelvis", "chest"), ("chest", "head"),
    *((f"{s} {a}", f"{s} {b}") for s in ("working", "other") for a, b in (
        ("hip", "knee"), ("knee", "ankle"), ("heel", "toe"), ("shoulder", "elbow"),
        ("elbow", "wrist"))),
)  # fmt: skip


# Joints of a limb, its parts, and what of the trunk it lies before or behind.
_LIMBS = (
    (("hip", "knee", "ankle"), _LEG, ("pelvis", "lumbar")),
    (("shoulder", "elbow", "wrist"), _ARM, ("chest", "lumbar")),
)


@dataclass(frozen=True)
class Limb:
    """How much nearer to the eye it lies than the trunk, its parts, whether it is the far one."""

    depth_m: float
    parts: tuple[str, ...]
    far: bool


@dataclass(frozen=True, eq=False)
class Scene:
    """The body over one way of the movement, what is around it, and from where it is seen."""

    exercise: Exercise
    load: ExerciseLoad
    skeleton: Skeleton
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
    def eyes_closed(self) -> bool:
        """Whether a task of balance says so."""
        return _closes_eyes(self.exercise)

    @cached_property
    def ground_m(self) -> float:
        """Where the floor is drawn: below 0 under a couch or a mat that lies at 0."""
        return min((one.bottom_m for one in self.furniture), default=0.0)

    @cached_property
    def limbs(self) -> tuple[Limb, ...]:
        """From back to front, in one order and one shade all the way; mirrored it is the same."""
        depths = {name: place @ self.view.toward for name, place in self.pose.points.items()}
        sideways = abs(float((depths["other hip"] - depths["working hip"])[0])) > 0.05
        found = []
        for side in ("working", "other"):
            for joints, parts, trunk in _LIMBS:
                own = sum(depths[f"{side} {joint}"].mean() for joint in joints) / len(joints)
                depth = float(own - sum(depths[name].mean() for name in trunk) / len(trunk))
                names = tuple(f"{side} {part}" for part in parts)
                found.append(Limb(depth, names, sideways and depth < 0))
        return tuple(sorted(found, key=lambda limb: limb.depth_m))

    @cached_property
    def moving_point(self) -> str:
        """The point whose way the arrow follows: the trunk where it travels, else a limb's end."""
        travel = {
            name: float(np.linalg.norm(place[-1] - place[0]))
            for name, place in self.pose.points.items()
            if name.split(" ")[-1] not in ("heel", "ball")
        }
        if {joint for item in self.exercise.movement for joint in item} <= {"ankle", "toes"}:
            standing = travel["pelvis"] > 0.02
            return "working heel" if standing or travel["working ankle"] > 0.02 else "working toe"
        for contact in self.exercise.contacts:
            if contact.slides and contact.at.removesuffix("s") in _SLIDING:
                return _SLIDING[contact.at.removesuffix("s")]
        trunk = max(("head", "chest", "pelvis"), key=travel.__getitem__)
        rise = {name: abs(float(np.ptp(self.pose.points[name][[0, -1], 2]))) for name in travel}
        sinks = rise["pelvis"] > max(1.2 * rise["head"], 0.04)  # more than the head nods
        if sinks and travel["head"] > 0.5 * travel[trunk]:
            return "pelvis"
        if travel["head"] > 0.5 * travel[trunk]:
            trunk = "head"  # which nothing hides
        limb = max(
            (name for name in travel if " " in name and "fingertip" not in name),
            key=travel.__getitem__,
        )
        ends = [f"working {name}" for name in ("knee", "ankle", "toe", "elbow", "wrist")]
        if travel[trunk] > 0.04 and travel[trunk] > 0.45 * max(travel[name] for name in ends):
            return trunk
        own = max(ends, key=travel.__getitem__)
        if max(travel[own], travel[limb], travel[trunk]) < 0.04:
            small = [f"{side} fingertip" for side in ("working", "other")]
            return max(("head", *small), key=travel.__getitem__)
        if travel[trunk] > max(travel[own], travel[limb]):
            return trunk
        return own if travel[own] > 0.5 * travel[limb] else limb


def scenes_of(exercise: Exercise, load: ExerciseLoad) -> tuple[tuple[Scene, Moment], ...]:
    """What a figure shows: the scene and the moment of each panel."""
    shown = make_scene(exercise, load)
    if not load.other_skeletons or len(shown.moments) != 3:
        return tuple((shown, moment) for moment in shown.moments)
    if all(_alike(shown.skeleton, other) for other in load.other_skeletons):
        return tuple((shown, moment) for moment in shown.moments)
    ways = {one.way: one for one in (shown.skeleton, *load.other_skeletons)}
    names: tuple[Way, Way] = ("up", "down") if _rises(shown) else ("down", "up")
    return tuple(
        (make_scene(exercise, load, ways[name], shown.view), moment)
        for name, its in zip(names, both_ways(*names), strict=True)
        for moment in its
    )


def _rises(scene: Scene) -> bool:
    """Whether the way there is the way up: as one sees it, else as its muscles shorten."""
    points = scene.pose.points
    rise = float(sum(points[name][-1, 2] - points[name][0, 2] for name in ("pelvis", "chest"))) / 2
    if abs(rise) > _RISES_M:
        return rise > 0
    return bool(getattr(scene.load.coefficients.get("tempo"), "up_first", True))


def _alike(one: Skeleton, other: Skeleton) -> bool:
    """Whether two ways look the same: where the body is, what it rests on and what loads it."""
    near = all(
        float(np.abs(place - other.points_m[name]).max()) < 0.02
        for name, place in one.points_m.items()
    )
    rests, others = ({(s.at, s.kind, s.phases) for s in each.surfaces} for each in (one, other))
    loads, other_loads = ([(a.kind, a.at, a.label) for a in each.applied] for each in (one, other))
    return near and rests == others and loads == other_loads


def make_scene(
    exercise: Exercise, load: ExerciseLoad, skeleton: Skeleton | None = None,
    view: View | None = None,
) -> Scene:  # fmt: skip
    """The pose, the view, furniture and things of one exercise, on one way of its movement."""
    skeleton = skeleton or load.skeleton
    assert skeleton is not None
    surfaces = on_its_couch(one_wall(skeleton.surfaces), exercise.equipment)
    skeleton = replace(skeleton, surfaces=surfaces)
    drawn = pose(exercise, skeleton.points_m, skeleton.surfaces)
    points = drawn.points
    ahead = facing(points)
    circles, radii = circles_m(points, ahead), _radii(load.person.stature_m)
    return Scene(
        exercise, load, skeleton, drawn, circles, radii, ahead,
        view or _view(exercise, points, ahead),
        _working(exercise),
        furnish(skeleton.surfaces, Body(points, circles, radii, ahead[0])),
        things_of(exercise, skeleton, drawn),
        tuple(moments(exercise, load, points)),
    )  # fmt: skip


def _view(exercise: Exercise, points: Mapping[str, Array], ahead: Array) -> View:
    stacked = np.stack([points[name] for name in POINTS])
    segments = np.concatenate([points[b][[0, -1]] - points[a][[0, -1]] for a, b in _SEGMENTS])
    view = choose_view(
        (stacked[:, 1:] - stacked[:, :-1]).reshape(-1, 3),
        segments,
        points["working hip"][0] - points["other hip"][0],
        ahead[0],
        points["head"][0] - points["pelvis"][0],
    )
    still = float(np.abs(stacked - stacked[:, :1]).max()) < STILL_M
    upright = points["head"][0, 2] - points["pelvis"][0, 2] > 0.4
    if still and upright and not exercise.contacts and _closes_eyes(exercise):
        return _from_front(ahead[0])
    worked = {action.movement for action in exercise.works}
    if still and upright and worked and worked <= _SIDEWAYS:
        return _from_front(ahead[0])
    pushes = [
        item for item in exercise.resistance if item.push is not None and "hand" in (item.at or "")
    ]
    if still and upright and any(item.pulls in ("inward", "outward") for item in pushes):
        return _from_front(ahead[0])
    on_side = abs(float(ahead[0, 2])) < 0.5 and not upright
    if not on_side and any(
        item.by and set(item.by.split("-")) & BOTH_HANDS for item in exercise.assist
    ):
        return view.turned()  # both hands show where one would hide the other
    return view


def _closes_eyes(exercise: Exercise) -> bool:
    return any({"eyes", "closed"} <= set(key.split("-")) for key in exercise.balance)


def _from_front(facing: Array) -> View:
    """The view that looks into the face of somebody upright."""
    return View(90 * round(float(np.degrees(np.arctan2(facing[1], facing[0]))) / 90), 0)


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
