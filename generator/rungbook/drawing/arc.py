"""The movement as an arc with an arrow head, and its angles.

The arc follows what turns most in the room: the far segment of the leading joint, or the near
one where the far one stands still (a squat turns the thigh over the knee).
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from rungbook.drawing import svg
from rungbook.drawing.paper import Extent, Paper
from rungbook.drawing.projection import View
from rungbook.model.exercise import Exercise
from rungbook.model.movement import MIDLINE_JOINTS, MOVEMENTS, ROOM_ANGLES, split_side

Array = NDArray[np.float64]

# joint -> (centre, far point, near point, radius in m); "~" stands for the side.
_TURNS = {
    "hip": ("~ hip", "~ knee", "chest", 0.46),
    "knee": ("~ knee", "~ ankle", "~ hip", 0.36),
    "ankle": ("~ ankle", "~ toe", "~ knee", 0.25),
    "toes": ("~ ball", "~ toe", "~ heel", 0.16),
    "lumbar": ("lumbar", "chest", "pelvis", 0.44),
    "neck": ("neck", "head", "chest", 0.30),
    "shoulder": ("~ shoulder", "~ elbow", "chest", 0.42),
    "elbow": ("~ elbow", "~ wrist", "~ shoulder", 0.32),
    "forearm": ("~ wrist", "~ fingertip", "~ elbow", 0.20),
    "wrist": ("~ wrist", "~ fingertip", "~ elbow", 0.20),
    "trunk": ("pelvis", "chest", "~ knee", 0.60),
    "pelvis": ("~ hip", "! hip", "chest", 0.30),
}
# Turning about the long axis shows in the next segment.
_ABOUT_ITSELF = {
    "hip": ("~ knee", "~ ankle", "~ hip", 0.36),
    "shoulder": ("~ elbow", "~ wrist", "~ shoulder", 0.32),
    "knee": ("~ ankle", "~ toe", "~ knee", 0.25),
}
_TURN = np.radians(np.linspace(-60, 240, 25))[:, None]
_EVENLY = np.linspace(0, 1, 13)
# Standing on the ball of the foot, the heel turns about it.
_HEEL = ("~ ball", "~ heel", "~ toe", 0.30)


@dataclass(frozen=True)
class Movement:
    """The leading joint's movement as written: degrees from and to."""

    joint: str  # without its side
    movement: str
    start_deg: float
    end_deg: float
    other_side: bool = False

    @property
    def about_itself(self) -> bool:
        """Whether the segment turns about its own long axis."""
        if self.joint in ROOM_ANGLES:
            return False
        return MOVEMENTS[self.joint][self.movement][0] in (
            "external-rotation",
            "pronation",
            "rotation",
        )


def leading_movement(exercise: Exercise) -> Movement | None:
    """The first item of `movement`, or None where the exercise is a hold."""
    for item in exercise.movement:
        for name, angles in item.items():
            joint, other = split_side(name)
            for movement, (start, end) in angles.items():
                if joint in _TURNS:
                    return Movement(joint, movement, start, end, other)
    return None


@dataclass(frozen=True)
class Turn:
    """What turns in the room: about `centre` (3,), along `line` (11, 3), from `near` (3,)."""

    centre: Array
    line: Array
    near: Array
    about_itself: bool
    written: bool  # whether the degrees tell of a movement, seen or not


def leading_turn(movement: Movement, points: Mapping[str, Array]) -> Turn:
    """What the arc of a movement follows, about the joint where it is at the end."""
    table = _ABOUT_ITSELF if movement.about_itself else _TURNS
    centre_of, far_of, near_of, radius = table.get(movement.joint, _TURNS[movement.joint])
    side, opposite = ("other", "working") if movement.other_side else ("working", "other")

    def point(name: str) -> Array:
        return points[name.replace("~", side).replace("!", opposite)]

    if movement.joint == "ankle" and not movement.about_itself and _heel_rises(point):
        centre_of, far_of, near_of, radius = _HEEL
    centre = point(centre_of)
    far, near = _units(point(far_of) - centre), _units(point(near_of) - centre)
    turning = far if _turned(far) + 1e-6 >= _turned(near) else near
    if movement.joint in MIDLINE_JOINTS or movement.joint == "trunk":
        turning = far
    if _turned(turning) < np.radians(3):
        turning = far
    written = abs(movement.end_deg - movement.start_deg) >= 3
    line = centre[-1] + radius * turning
    return Turn(centre[-1], line, point(near_of)[-1], movement.about_itself, written)


@dataclass(frozen=True)
class Arc:
    """The arc on paper, pixels: where it turns about, its line (n, 2), the ring if it is one."""

    centre: Array
    line: Array
    ring: bool


@dataclass(frozen=True)
class SeenTurn:
    """A turn as a view shows it: in metres of paper."""

    turn: Turn
    centre: Array
    line: Array
    ring: Array | None  # where it is about a long axis
    length: float

    def arc(self, paper: Paper) -> Arc | None:
        """The arc; None where nothing turns."""
        middle = paper.on(self.centre)
        if self.length * paper.px_per_m >= 8:
            return Arc(middle, paper.on(self.line), ring=False)
        if not self.turn.written:
            return None
        # Words alone where the turn cannot be seen.
        ring = np.stack([middle, middle]) if self.ring is None else paper.on(self.ring)
        return Arc(middle, ring, ring=True)

    def extent(self, px_per_m: float) -> Extent | None:
        """The room that the arc and its words need."""
        if self.length * px_per_m >= 8:
            return self._around
        if not self.turn.written:
            return None
        seen = self.centre if self.ring is None else self.ring
        return Extent.around(seen, (8.0, 8.0), (96.0, 8.0))

    @cached_property
    def _around(self) -> Extent:
        return Extent.around(self.line, (26.0, 20.0), (26.0, 16.0))


def seen_turn(turn: Turn, view: View) -> SeenTurn:
    """The turn on paper."""
    centre, line = view.project(turn.centre), view.project(turn.line)
    ring = _ring(centre, view.project(turn.near)) if turn.about_itself else None
    return SeenTurn(turn, centre, line, ring, _length(line))


def draw_arc(arc: Arc, movement: Movement, *, start_line: bool, clear_px: float) -> list[str]:
    """The arc with its arrow head at the end, stopping short of the limb, and the degrees."""
    words = svg.degrees(movement.end_deg)
    if arc.ring:
        return _draw_ring(arc, f"{svg.degrees(movement.start_deg)} \N{RIGHTWARDS ARROW} {words}")
    out = []
    if start_line:
        ray = np.stack([arc.centre, arc.line[0] + 0.06 * (arc.line[0] - arc.centre)])
        out.append(svg.path(svg.polyline(ray), "fig-start-line"))
    line = _shortened(arc.line, clear_px)
    drawn, length = svg.polyline(line), _length(line)
    out += [
        svg.path(drawn, "fig-arc-halo"),
        svg.path(drawn[: drawn.rindex(" ")], "fig-arc"),  # the last point is the arrow's
        svg.path(svg.arrow_head(line[-1], line[-1] - line[-3], 10), "fig-arc-head"),
        _degrees(arc, line, -3 if length > 45 else -1, words, "fig-angle"),
    ]
    if length > 75:
        first = svg.degrees(movement.start_deg)
        out.append(_degrees(arc, arc.line, 0, first, "fig-angle fig-from"))
    return out


def _draw_ring(arc: Arc, words: str) -> list[str]:
    """A ring about a long axis, or the words alone where the turn cannot be seen."""
    at = float(arc.line[:, 0].max()) + 12, float(arc.line[:, 1].mean()) + 4
    said = svg.text(*at, words, "fig-angle")
    if len(arc.line) < 4:
        return [said]
    tip, tail = arc.line[-1], arc.line[0]
    heads = svg.arrow_head(tip, tip - arc.line[-3]) + svg.arrow_head(tail, tail - arc.line[2])
    drawn = svg.polyline(arc.line)
    strokes = ((drawn, "fig-arc-halo"), (drawn, "fig-arc"), (heads, "fig-arc-head"))
    return [*(svg.path(*stroke) for stroke in strokes), said]


def _heel_rises(point: Callable[[str], Array]) -> bool:
    ball, heel = (float(np.linalg.norm(point(n)[-1] - point(n)[0])) for n in ("~ ball", "~ heel"))
    return heel > 0.02 and heel > 3 * ball


def _degrees(arc: Arc, line: Array, index: int, words: str, css: str) -> str:
    (x, y), (from_x, from_y) = line[index].tolist(), arc.centre.tolist()
    length = max(1e-6, math.hypot(x - from_x, y - from_y))
    out_x, out_y = (x - from_x) / length, (y - from_y) / length
    anchor = "start" if out_x > 0.35 else "end" if out_x < -0.35 else "middle"
    return svg.text(x + out_x * 13, y + out_y * 13 + 4.5, words, css, anchor)


def _shortened(line: Array, clear_px: float) -> Array:
    """The line without its last `clear_px`, but at least 0.7 of it, resampled evenly."""
    along = np.append(0.0, np.cumsum(_steps(line)))
    spots = _EVENLY * max(along[-1] - clear_px, along[-1] * 0.7)
    return np.stack([np.interp(spots, along, line[:, axis]) for axis in (0, 1)], 1)


def _ring(centre: Array, near: Array) -> Array:
    """Most of a ring around the axis from `near` to `centre`, in metres of paper."""
    along = centre - near
    size = float(np.hypot(*along))
    along = along / size if size > 0.007 else np.array([0.0, 1.0])
    across = np.array([-along[1], along[0]])
    return np.asarray(centre + 0.10 * (np.cos(_TURN) * across + 0.4 * np.sin(_TURN) * along))


def _units(vectors: Array) -> Array:
    lengths = np.maximum(np.linalg.norm(vectors, axis=-1, keepdims=True), 1e-9)
    return np.asarray(vectors / lengths)


def _turned(units: Array) -> float:
    steps = np.clip((units[1:] * units[:-1]).sum(-1), -1, 1)
    return float(np.arccos(steps).sum())


def _length(line: Array) -> float:
    return float(_steps(line).sum())


def _steps(line: Array) -> Array:
    """The lengths of the line's pieces."""
    spans = line[1:] - line[:-1]
    return np.hypot(spans[:, 0], spans[:, 1])
