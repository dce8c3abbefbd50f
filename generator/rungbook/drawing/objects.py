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

from rungbook.drawing import svg
from rungbook.drawing.body_shapes import facing
from rungbook.drawing.paper import Paper
from rungbook.drawing.posing import Pose, contact_path
from rungbook.load.result import Applied, Skeleton
from rungbook.model.exercise import Assistance, Exercise

Array = NDArray[np.float64]
Shape = Literal[
    "dumbbell", "cuff", "box", "rucksack", "bar", "plate", "band", "strap", "stick", "sling",
    "pulley", "helper", "wall", "push",
]  # fmt: skip
_HOOK_M = 0.55  # how far above the limb a sling's hook is drawn
_BEHIND = frozenset({"sling", "pulley", "rucksack", "wall"})


@dataclass(frozen=True)
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


def things_of(exercise: Exercise, skeleton: Skeleton, pose: Pose) -> tuple[Thing, ...]:
    """Every weight, band, strap, stick and helper that is written."""
    found = [
        *(_loaded(exercise, item, pose) for item in skeleton.applied if item.kind != "assistance"),
        *_efforts(exercise, pose),
        *_helps(exercise, skeleton, pose),
    ]
    return tuple(thing for thing in found if thing is not None)


def _hand(pose: Pose, side: str) -> Array:
    """The middle of a hand, (11, 3)."""
    return np.asarray(0.5 * (pose.points[f"{side} wrist"] + pose.points[f"{side} fingertip"]))


def _between_hands(pose: Pose) -> Array:
    return np.asarray(0.5 * (_hand(pose, "working") + _hand(pose, "other")))


def _loaded(exercise: Exercise, item: Applied, pose: Pose) -> Thing | None:
    at = contact_path(item.at, pose.points)
    if item.kind == "weight":
        return _weight(exercise, item, at, pose)
    force = item.force_n
    size = np.maximum(np.linalg.norm(force, axis=-1, keepdims=True), 1e-9)
    if item.kind == "band":
        return Thing("band", at, _anchor(item.at, at, force / size, pose), 0.0)
    if "hand" in item.at:
        return Thing("wall", at, at - force / size, 0.0)
    return Thing("push", at - force / size * 0.4, at - force / size * 0.07, 0.0)


def _weight(exercise: Exercise, item: Applied, at: Array, pose: Pose) -> Thing:
    mass = abs(float(item.force_n[0][2])) / 9.81
    ahead = facing(pose.points)
    across = pose.points["other shoulder"] - pose.points["working shoulder"]
    size = 0.035 + 0.022 * math.sqrt(max(mass, 0.25))
    if "hand" in item.at:
        if "box" in exercise.equipment:
            return Thing("box", at - np.array([0, 0, 0.10]), across, 0.17, item.label)
        return Thing("dumbbell", at, across, size, item.label)
    if item.at in ("upper-back", "shoulder", "shoulders"):
        if "rucksack" in exercise.equipment:
            middle = 0.55 * pose.points["chest"] + 0.45 * pose.points["lumbar"]
            return Thing(
                "rucksack",
                middle - ahead * (0.10 + size),
                pose.points["chest"],
                size + 0.05,
                item.label,
            )
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


def _helps(exercise: Exercise, skeleton: Skeleton, pose: Pose) -> Iterator[Thing | None]:
    for item in exercise.assist:
        at = contact_path(item.at, pose.points)
        above = at + np.array([0.0, 0.0, _HOOK_M])
        label = ""
        if item.weight is not None:
            label = f"{item.weight:g}\N{NARROW NO-BREAK SPACE}kg"
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
    if thing.shape in ("dumbbell", "box", "rucksack", "bar", "cuff", "plate"):
        box = np.array([[x, y, z] for x in (-1.0, 1.0) for y in (-1, 1) for z in (-1, 1)])
        box *= reach * (1.7 if thing.shape == "dumbbell" else 1.0)
        return np.asarray(at + box)
    if thing.shape == "wall":
        return np.stack([at + np.array([0, 0, 0.3]), at - np.array([0, 0, 0.3])])
    return np.stack([at, thing.to[phase]])


def draw_thing(thing: Thing, paper: Paper, phase: int) -> str:
    """One object at one phase; its label is placed by the panel."""
    at, to = paper.at(thing.at[phase]), paper.at(thing.to[phase])
    size = thing.size_m * paper.px_per_m
    match thing.shape:
        case "dumbbell":
            return _dumbbell(at, size)
        case "cuff":
            return _cuff(at, to, size)
        case "box":
            return _rectangle(at, size, size * 0.8, "fig-load", 0)
        case "rucksack":
            return _rucksack(at, to, size)
        case "bar" | "plate":
            return _plate(at, size)
        case "band" | "strap":
            return _line(at, to, f"fig-{thing.shape}")
        case "stick":
            return _stick(at, to)
        case "sling":
            return _sling(at, to, 0.08 * paper.px_per_m)
        case "pulley":
            return _pulley(at, to)
        case "helper":
            return _helper(at, paper.px_per_m)
        case "wall":
            return _wall(at, to, paper.px_per_m)
    return _push(at, to)


def _circle(at: Array, r: float, css: str) -> str:
    x, y = (svg.number(float(v)) for v in at)
    return f'<circle class="{css}" cx="{x}" cy="{y}" r="{svg.number(r)}"/>'


def _dumbbell(at: Array, size: float) -> str:
    half = max(size * 1.15, 6.0)
    handle = svg.polyline(np.stack([at - np.array([half, 0]), at + np.array([half, 0])]))
    discs = "".join(
        _rectangle(at + np.array([s * half, 0]), size * 0.42, size, "fig-load", 1.5)
        for s in (-1, 1)
    )
    return svg.path(handle, "fig-handle") + discs


def _rectangle(at: Array, half_x: float, half_y: float, css: str, r: float) -> str:
    x, y = (svg.number(float(v)) for v in at - np.array([half_x, half_y]))
    return (
        f'<rect class="{css}" x="{x}" y="{y}" width="{svg.number(2 * half_x)}" '
        f'height="{svg.number(2 * half_y)}" rx="{svg.number(r)}"/>'
    )


def _cuff(at: Array, near: Array, size: float) -> str:
    along = near - at
    along = along / max(1e-6, float(np.hypot(*along)))
    across = np.array([-along[1], along[0]])
    corners = [
        at + a * along * size * 0.75 + b * across * size * 0.8
        for a, b in ((-1, -1), (1, -1), (1, 1), (-1, 1))
    ]
    return svg.path(svg.polygon(np.array(corners)), "fig-load")


def _rucksack(at: Array, chest: Array, size: float) -> str:
    along = chest - at
    turn = math.degrees(math.atan2(along[0], -along[1])) * 0.0
    return _rectangle(at, size * 0.75, size * 1.15, "fig-load", size * 0.4 + turn)


def _plate(at: Array, size: float) -> str:
    return _circle(at, size, "fig-load") + _circle(at, max(2.0, size * 0.16), "fig-hub")


def _line(at: Array, to: Array, css: str) -> str:
    end = _circle(to, 3.0, "fig-hub")
    return svg.path(svg.polyline(np.stack([at, to])), css) + end


def _stick(at: Array, to: Array) -> str:
    along = to - at
    size = max(1e-6, float(np.hypot(*along)))
    beyond = along / size * 9 if size > 4 else np.array([9.0, 0.0])
    return svg.path(svg.polyline(np.stack([at - beyond, to + beyond])), "fig-stick")


def _sling(at: Array, hook: Array, width: float) -> str:
    loop = np.stack(
        [
            hook,
            at + np.array([-width, 2]),
            at + np.array([-width * 0.7, width * 0.55]),
            at + np.array([width * 0.7, width * 0.55]),
            at + np.array([width, 2]),
            hook,
        ]
    )
    top = svg.polyline(np.stack([hook - np.array([9, 0]), hook + np.array([9, 0])]))
    return svg.path(svg.polyline(loop), "fig-strap") + svg.path(top, "fig-hook")


def _pulley(at: Array, wheel: Array) -> str:
    r = 6.0
    rope = svg.polyline(np.stack([at, wheel + np.array([-r, 0])])) + svg.polyline(
        np.stack([wheel + np.array([r, 0]), wheel + np.array([r, 46])])
    )
    weight = _rectangle(wheel + np.array([r, 52]), 5, 7, "fig-load", 1)
    top = svg.polyline(np.stack([wheel - np.array([11, r + 3]), wheel + np.array([11, -r - 3])]))
    return (
        svg.path(rope, "fig-rope")
        + _circle(wheel, r, "fig-wheel")
        + weight
        + svg.path(top, "fig-hook")
    )


def _helper(at: Array, scale: float) -> str:
    """A hand under the limb, its forearm coming from below."""
    palm = at + np.array([0, 0.075]) * scale
    spots = np.array(
        [
            [-0.07, 0.0],
            [0.075, 0.0],
            [0.08, 0.028],
            [0.0, 0.045],
            [0.05, 0.27],
            [-0.02, 0.27],
            [-0.05, 0.05],
            [-0.085, 0.02],
        ]
    )
    return svg.path(svg.polygon(palm + spots * scale), "fig-helper")


def _wall(at: Array, to: Array, scale: float) -> str:
    """A piece of wall that the fist presses, square to the push."""
    way = to - at
    way = way / max(1e-6, float(np.hypot(*way)))
    across = np.array([-way[1], way[0]]) * 0.34 * scale
    middle = at + way * 0.045 * scale
    return svg.path(svg.polyline(np.stack([middle - across, middle + across])), "fig-wall-line")


def _push(at: Array, to: Array) -> str:
    along = to - at
    return svg.path(svg.polyline(np.stack([at, to - along * 0.2])), "fig-push") + svg.path(
        svg.arrow_head(to, along, 11), "fig-push-head"
    )
