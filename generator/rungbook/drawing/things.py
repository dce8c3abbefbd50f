"""What loads, helps or is held: weights, bands, straps, sticks, slings, pulleys, a helper's hand.

Each is placed by points of the drawn posture, so that it lies in the hand that holds it.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from rungbook.drawing.arms import by_own_hand, contact_path
from rungbook.drawing.body_shapes import facing
from rungbook.drawing.posing import Pose
from rungbook.drawing.wording import share_words
from rungbook.load.result import Applied, Skeleton
from rungbook.model.acting import Assistance
from rungbook.model.exercise import Exercise

Array = NDArray[np.float64]
Shape = Literal[
    "dumbbell", "cuff", "box", "rucksack", "bar", "plate", "band", "strap", "stick", "sling",
    "pulley", "helper", "wall", "push", "press", "turn", "ball",
]  # fmt: skip
_HOOK_M = 0.36  # how far above the limb's highest place a hook is drawn
_LEAST_SHARE = 0.10  # of body weight: less is a touch
_BEHIND = frozenset({"sling", "pulley", "rucksack", "wall", "bar"})


@dataclass(frozen=True, eq=False)
class Thing:
    """One object over the movement.

    `at` (11, 3) where it acts; `to` (11, 3) where it is anchored, for what runs from one point
    to another; `size_m` its size, from its mass where it has one; `label` what is written beside.
    """

    shape: Shape
    at: Array
    to: Array
    size_m: float
    label: str = ""

    @property
    def behind(self) -> bool:
        """Whether the body hides it."""
        return self.shape in _BEHIND

    @property
    def held(self) -> bool:
        """Whether a hand or a limb carries it: it is where that limb is."""
        return self.shape in ("dumbbell", "box", "cuff", "plate")


def things_of(exercise: Exercise, skeleton: Skeleton, pose: Pose) -> tuple[Thing, ...]:
    """Every weight, band, strap, stick and helper that is written."""
    found = [
        *(
            _loaded(exercise, skeleton, item, pose)
            for item in skeleton.applied
            if item.kind != "assistance"
        ),
        *_efforts(exercise, pose),
        *_pressed(exercise, skeleton, pose),
        *_helps(exercise, skeleton, pose),
        *_tasks(exercise, pose),
    ]
    kept = [thing for thing in found if thing is not None]
    boxes = [thing for thing in kept if thing.shape == "box"]
    return tuple(thing for thing in kept if thing not in boxes[1:])  # one, in both hands


def _hand(pose: Pose, side: str) -> Array:
    """The middle of a hand, (11, 3)."""
    return np.asarray(0.5 * (pose.points[f"{side} wrist"] + pose.points[f"{side} fingertip"]))


def _between_hands(pose: Pose) -> Array:
    return np.asarray(0.5 * (_hand(pose, "working") + _hand(pose, "other")))


def _loaded(exercise: Exercise, skeleton: Skeleton, item: Applied, pose: Pose) -> Thing | None:
    at = contact_path(item.at, pose.points)
    if item.kind == "weight":
        held = sum(one.kind == "weight" and "hand" in one.at for one in skeleton.applied)
        return _weight(exercise, item, at, pose, both_hands=held == 2)
    force = item.force_n
    size = np.maximum(np.linalg.norm(force, axis=-1, keepdims=True), 1e-9)
    if item.kind == "band":
        return Thing("band", at, _anchor(item.at, at, force / size, pose), 0.0)
    if "hand" in item.at and not by_own_hand(exercise, item.at):
        return Thing("wall", at, at - force / size, 0.0)
    return Thing("push", at - force / size * 0.4, at - force / size * 0.07, 0.0)


def _weight(exercise: Exercise, item: Applied, at: Array, pose: Pose, *, both_hands: bool) -> Thing:
    mass = abs(float(item.force_n[0][2])) / 9.81
    ahead = facing(pose.points)
    across = pose.points["other shoulder"] - pose.points["working shoulder"]
    size = 0.035 + 0.022 * math.sqrt(max(mass, 0.25))
    if "hand" in item.at:
        if "box" in exercise.equipment:
            below = np.array([0, 0, 0.10])
            if not both_hands:
                return Thing("box", at - below, across, 0.17, item.label)
            return Thing("box", _between_hands(pose) - below, across, 0.17, _kilograms(2 * mass))
        return Thing("dumbbell", at, across, size, item.label)
    if item.at in ("upper-back", "shoulder", "shoulders"):
        if "rucksack" in exercise.equipment:
            middle = 0.55 * pose.points["chest"] + 0.45 * pose.points["lumbar"]
            back = middle - ahead * (0.09 + 0.8 * size)
            top = back + pose.points["chest"] - pose.points["lumbar"]
            return Thing("rucksack", back, top, size + 0.05, item.label)
        return Thing("bar", pose.points["chest"] - 0.06 * ahead, across, size + 0.06, item.label)
    if item.at.removeprefix("other-") in ("ankle", "wrist"):
        joint = item.at.removeprefix("other-")
        side = "other" if item.at.startswith("other-") else "working"
        near = pose.points[f"{side} {'knee' if joint == 'ankle' else 'elbow'}"]
        along = pose.points[f"{side} {joint}"]
        return Thing("cuff", along + 0.14 * (near - along), near, 0.05 + 0.4 * size, item.label)
    return Thing("plate", at + np.array([0, 0, 0.05 + 0.8 * size]), across, size, item.label)


def _anchor(name: str, at: Array, pull: Array, pose: Pose) -> Array:
    """Where a band is fixed: in the hands, at the floor, or a piece away on a hook."""
    if "foot" in name or "forefoot" in name:
        return _between_hands(pose)
    if float(pull[0][2]) < -0.9:
        return np.asarray(at * np.array([1.0, 1.0, 0.0]))
    return np.asarray(at[:1] + 0.55 * pull[:1] + 0.0 * at)


def _efforts(exercise: Exercise, pose: Pose) -> Iterator[Thing]:
    """An effort against a strap: a share of a maximum that only the patient's measurement gives."""
    directions = {"backward": (-1, 0, 0), "forward": (1, 0, 0), "up": (0, 0, 1), "down": (0, 0, -1),
                  "inward": (0, 1, 0), "outward": (0, -1, 0)}  # fmt: skip
    for item in exercise.resistance:
        if item.effort is not None and item.at is not None and item.pulls in directions:
            at = contact_path(item.at, pose.points)
            pull = np.array(directions[item.pulls], float)
            yield Thing("strap", at, at + 0.34 * pull, 0.0)


def _kilograms(mass: float) -> str:
    return f"{mass:.3g} kg"


def _pressed(exercise: Exercise, skeleton: Skeleton, pose: Pose) -> Iterator[Thing]:
    """How much rests on the hands, as an arrow into what carries them.

    Of a trunk that is to rest with a share, the feet carry the more: an arrow into what they press.
    """
    for item in exercise.contacts:
        if item.share is None or item.share < _LEAST_SHARE:
            continue
        pressing, share = item.at, item.share
        if item.at in ("pelvis", "upper-back", "seat"):
            feet = [c.at for c in exercise.contacts if "heel" in c.at or c.at[0] == "f"]
            pressing, share = (feet or [""])[0], 1 - item.share
        elif "hand" not in item.at:
            continue
        at = contact_path(pressing, pose.points)
        if not np.isfinite(at).all():
            continue
        normals = [s.normal for s in skeleton.surfaces if s.at in pressing]
        up = np.array(normals[0] if normals else (0.0, 0.0, 1.0))
        label = share_words(share) if pressing == item.at else ""
        yield Thing("press", at + (0.21 + 0.3 * share) * up, at + 0.07 * up, 0.0, label)


def _tasks(exercise: Exercise, pose: Pose) -> Iterator[Thing]:
    """What makes standing harder and can be seen: a head that turns, a ball to catch."""
    words = {word for key in exercise.balance for word in key.split("-")}
    ahead, head = facing(pose.points), pose.points["head"]
    if "head" in words:
        yield Thing("turn", head + np.array([0, 0, 0.18]), head, 0.2)
    if words & {"catch", "catching", "ball", "throwing"}:
        hands = 0.5 * (head + pose.points["chest"]) + 0.75 * ahead
        yield Thing("ball", hands, hands, 0.10)


def _helps(exercise: Exercise, skeleton: Skeleton, pose: Pose) -> Iterator[Thing | None]:
    for item in exercise.assist:
        if item.during in ("up", "down") and skeleton.way not in ("both", item.during):
            continue
        at = contact_path(item.at, pose.points)
        above = np.tile(np.append(at[:, :2].mean(0), at[:, 2].max() + _HOOK_M), (len(at), 1))
        label = share_words(item.share) if item.share is not None else ""
        if item.weight is not None:
            label = _kilograms(item.weight)
        yield _help(item, at, above, label, pose)


def _help(item: Assistance, at: Array, above: Array, label: str, pose: Pose) -> Thing | None:
    by = (item.by or "pulley").split("-")
    if "stick" in by:
        return Thing("stick", _hand(pose, "working"), _hand(pose, "other"), 0.0, label)
    if "arm" in by or "hands" in by or "leg" in by:
        return None  # the body's own other limb, drawn by the pose
    if "therapist" in by:
        return Thing("helper", at, at, 0.0, label)
    if "pulley" in by:
        return Thing("pulley", at, above, 0.0, label)
    if "strap" in by or "towel" in by:
        return Thing("strap", at, _between_hands(pose), 0.0, label)
    return Thing("sling", at, above, 0.0, label)


def ends(thing: Thing, phase: int) -> Array:
    """Points (n, 3) that the thing reaches at a phase."""
    at, reach = thing.at[phase], thing.size_m
    if thing.shape in ("dumbbell", "box", "rucksack", "bar", "cuff", "plate", "ball", "turn"):
        box = np.array([[x, y, z] for x in (-1.0, 1.0) for y in (-1, 1) for z in (-1, 1)])
        box *= reach * (1.7 if thing.shape == "dumbbell" else 1.0)
        return np.asarray(at + box)
    if thing.shape == "wall":
        return np.stack([at + np.array([0, 0, 0.3]), at - np.array([0, 0, 0.3])])
    return np.stack([at, thing.to[phase]])
