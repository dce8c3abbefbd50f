"""Sample skeletons from a small forward kinematics of its own, for tests of drawings.

It shares nothing with the engine: segment lengths are rounded, angles are given one by one,
and the body is put down by its lowest point. Enough to draw and to test drawings with.
"""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from rungbook.load.person import Person
from rungbook.load.result import PHASES, Applied, Demand, ExerciseLoad, Skeleton, Surface
from rungbook.model.exercise import Exercise
from rungbook.model.movement import Action

Array = NDArray[np.float64]
Angle = float | tuple[float, float]
H = 1.70
THIGH, SHANK, UPPER_ARM, FOREARM, HAND = 0.42, 0.42, 0.31, 0.25, 0.18


def _turn(axis: int, degrees: Array) -> Array:
    """Rotation matrices (11, 3, 3) about x, y or z."""
    c, s = np.cos(np.radians(degrees)), np.sin(np.radians(degrees))
    out = np.zeros((PHASES, 3, 3))
    i, j = [(1, 2), (2, 0), (0, 1)][axis]
    out[:, axis, axis] = 1
    out[:, i, i] = out[:, j, j] = c
    out[:, i, j], out[:, j, i] = -s, s
    return out


def _over(angle: Angle) -> Array:
    first, last = angle if isinstance(angle, tuple) else (angle, angle)
    return np.linspace(first, last, PHASES)


def skeleton(
    angles: Mapping[str, Angle],
    *,
    pitch: Angle = 0,
    roll: Angle = 0,
    hold: str | None = None,
    ground: bool = True,
    surfaces: tuple[Surface, ...] = (),
    applied: tuple[Applied, ...] = (),
) -> Skeleton:
    """A body with `angles` like {"hip flexion": (0, 90), "other hip flexion": 0}.

    A plain name means both sides unless `other ` is written too. `pitch` leans the pelvis
    forward and `roll` tips it to its left (so that the right side comes up), in degrees; `hold`
    names a point that stays where it was at the start.
    """

    def get(side: str, name: str) -> Array:
        key = f"other {name}" if side == "other" and f"other {name}" in angles else name
        return _over(angles.get(key, 0.0))

    def at(origin: Array, frame: Array, x: float, y: float, z: float) -> Array:
        return origin + frame @ np.array([x, y, z])

    points: dict[str, Array] = {}
    pelvis = _turn(0, -_over(roll)) @ _turn(1, _over(pitch))
    points["pelvis"] = np.zeros((PHASES, 3))
    points["lumbar"] = at(points["pelvis"], pelvis, 0, 0, 0.10)
    thorax = pelvis @ _turn(1, get("", "lumbar flexion"))
    points["chest"] = at(points["lumbar"], thorax, 0, 0, 0.36)
    points["neck"] = at(points["chest"], thorax, 0, 0, 0.05)
    skull = thorax @ _turn(1, get("", "neck flexion"))
    points["head"] = at(points["neck"], skull, 0.02, 0, 0.15)
    for side, sign in (("working", -1), ("other", 1)):
        hip = at(points["pelvis"], pelvis, 0, sign * 0.085, -0.03)
        thigh = (
            pelvis
            @ _turn(1, -get(side, "hip flexion"))
            @ _turn(0, sign * get(side, "hip abduction"))
            @ _turn(2, sign * get(side, "hip external-rotation"))
        )
        knee = at(hip, thigh, 0, 0, -THIGH)
        shank = thigh @ _turn(1, get(side, "knee flexion"))
        ankle = at(knee, shank, 0, 0, -SHANK)
        foot = shank @ _turn(1, -get(side, "ankle dorsiflexion"))
        ball = at(ankle, foot, 0.13, 0, -0.065)
        toes = foot @ _turn(1, -get(side, "toes extension"))
        shoulder = at(points["chest"], thorax, 0, sign * 0.17, -0.03)
        arm = (
            thorax
            @ _turn(1, -get(side, "shoulder flexion"))
            @ _turn(0, sign * get(side, "shoulder abduction"))
            @ _turn(2, sign * get(side, "shoulder external-rotation"))
        )
        elbow = at(shoulder, arm, 0, 0, -UPPER_ARM)
        forearm = arm @ _turn(1, -get(side, "elbow flexion"))
        wrist = at(elbow, forearm, 0, 0, -FOREARM)
        hand = forearm @ _turn(1, get(side, "wrist extension"))
        points |= {
            f"{side} hip": hip,
            f"{side} knee": knee,
            f"{side} ankle": ankle,
            f"{side} heel": at(ankle, foot, -0.05, 0, -0.065),
            f"{side} ball": ball,
            f"{side} toe": at(ball, toes, 0.07, 0, 0),
            f"{side} shoulder": shoulder,
            f"{side} elbow": elbow,
            f"{side} wrist": wrist,
            f"{side} fingertip": at(wrist, hand, 0, 0, -HAND),
        }
    if hold is not None:
        shift = points[hold][:1] - points[hold]
        points = {name: point + shift for name, point in points.items()}
    if ground:
        lowest = min(point[0, 2] for point in points.values())
        points = {name: point - np.array([0, 0, lowest]) for name, point in points.items()}
    return Skeleton(points, surfaces, applied)


def floor(at: str, height: float = 0.0, kind: str = "floor", x: float = 0.0) -> Surface:
    """A level surface under a body point."""
    return Surface(kind, at, (x, 0.0, height), (0.0, 0.0, 1.0))


def load(
    exercise: Exercise,
    body: Skeleton | None,
    *,
    works: str | None = None,
    angle: tuple[float, float] = (0, 30),
    curve: Array | None = None,
    per_way: Mapping[str, Array] | None = None,
) -> ExerciseLoad:
    """An ExerciseLoad around a sample skeleton and a curve in N·m."""
    action = exercise.works[0] if works is None else Action(*works.split())
    curve = np.linspace(10.0, 40.0, PHASES) if curve is None else np.asarray(curve, float)
    angles = np.linspace(*angle, PHASES)
    top = int(np.argmax(curve))
    demand = Demand(
        action, max(0.0, float(curve[top])), float(angles[top]), top, float(curve[top]) / 70,
        float(curve.mean()), float(curve.sum()), {"concentric": 0.5, "eccentric": 0.5, "held": 0},
        angles, curve, per_way or {},
    )  # fmt: skip
    return ExerciseLoad(
        id=exercise.id, person=Person(70, H, "female"), demands={str(action): demand}, joints={},
        skeleton=body, bearing=0.0, bearing_limb="leg", reactions=(), assistance=(),
        centre_of_mass_m=(0, 0, 0), base_margin_m=None, settled={}, range_deg=angle[1],
        arc_deg=angle, lengthening_deg=0, peak_speed_deg_s=30, stability=1, impact="none",
        volume_nms=0, time_under_tension_s=0, time_under_tension_week_s=0, inertial_share=0,
    )  # fmt: skip


def _weight(label: str, point: Array) -> Applied:
    return Applied("weight", "ankle", label, point, np.tile([0.0, 0.0, -19.6], (PHASES, 1)))


def _heel_raise() -> Skeleton:
    return skeleton(
        {"ankle dorsiflexion": (0, -30), "toes extension": (0, 30), "shoulder flexion": 15,
         "elbow flexion": 20},
        hold="working ball", surfaces=(floor("forefeet"),),
    )  # fmt: skip


def _leg_raise() -> Skeleton:
    body = skeleton(
        {"hip flexion": (0, 60), "other hip flexion": 45, "other knee flexion": 90},
        pitch=-90, surfaces=(floor("pelvis"), floor("upper-back")),
    )  # fmt: skip
    return _lift(body, 0.10)


def _lift(body: Skeleton, height: float, applied: tuple[Applied, ...] = ()) -> Skeleton:
    """The same body, its pelvis `height` above the floor at the start."""
    shift = np.array([0, 0, height - body.points_m["pelvis"][0, 2]])
    points = {name: point + shift for name, point in body.points_m.items()}
    return Skeleton(points, body.surfaces, applied or body.applied)


def _knee_extension() -> Skeleton:
    body = skeleton(
        {"hip flexion": 90, "knee flexion": (90, 10), "other knee flexion": 90},
        surfaces=(floor("seat", 0.46, "chair"), floor("other-foot")),
    )  # fmt: skip
    body = _lift(body, 0.56)
    return Skeleton(
        body.points_m, body.surfaces, (_weight("2 kg", body.points_m["working ankle"]),)
    )


def _squat() -> Skeleton:
    return skeleton(
        {"hip flexion": (0, 95), "knee flexion": (0, 100), "ankle dorsiflexion": (0, 30),
         "shoulder flexion": (0, 80)},
        pitch=(0, 25), hold="working ball", surfaces=(floor("feet"),),
    )  # fmt: skip


def _quadruped() -> Skeleton:
    return skeleton(
        {"hip flexion": (90, 0), "knee flexion": (90, 0), "other hip flexion": 90,
         "other knee flexion": 90, "shoulder flexion": 90, "other shoulder flexion": (90, 175),
         "ankle dorsiflexion": -80, "neck flexion": -40, "wrist extension": 80},
        pitch=90, surfaces=(floor("other-knee"), floor("hands")),
    )  # fmt: skip


def _plank() -> Skeleton:
    return skeleton(
        {"shoulder flexion": 78, "neck flexion": -40, "ankle dorsiflexion": 5,
         "toes extension": 60, "elbow flexion": (0, 80), "wrist extension": 85},
        pitch=70, surfaces=(floor("hands"), floor("forefeet")),
    )  # fmt: skip


def _side_lying() -> Skeleton:
    body = skeleton(
        {"hip abduction": (0, 40), "other hip abduction": 0, "other hip flexion": 30,
         "other knee flexion": 45, "other shoulder flexion": 90, "shoulder flexion": 30},
        roll=90, surfaces=(floor("pelvis"),),
    )  # fmt: skip
    return _lift(body, 0.17)


def _arm_raise() -> Skeleton:
    body = skeleton({"shoulder abduction": (0, 90), "other shoulder abduction": 0})
    hand = (body.points_m["working wrist"] + body.points_m["working fingertip"]) / 2
    return Skeleton(body.points_m, (floor("feet"),), (_weight("1 kg", hand),))


_CASES: dict[str, tuple[str, str, str, str, tuple[float, float], object]] = {
    "heel-raise": ("Heel raise", "standing", "ankle", "plantarflexion", (0, 30), _heel_raise),
    "straight-leg-raise": (
        "Straight leg raise", "supine", "hip", "flexion", (0, 60), _leg_raise,
    ),
    "knee-extension": (
        "Sitting knee extension", "sitting", "knee", "extension", (-90, -10), _knee_extension,
    ),
    "squat": ("Squat", "standing", "knee", "extension", (0, -100), _squat),
    "arm-and-leg": ("Opposite arm and leg", "quadruped", "hip", "extension", (-90, 0), _quadruped),
    "press-up": ("Press-up", "plank", "elbow", "extension", (0, -80), _plank),
    "side-lying-abduction": (
        "Side-lying leg raise", "side-lying", "hip", "abduction", (0, 40), _side_lying,
    ),
    "arm-raise": ("Arm raise to the side", "standing", "shoulder", "abduction", (0, 90), _arm_raise),
}  # fmt: skip
SAMPLES = tuple(_CASES)
_BOTH = {"heel-raise", "squat", "press-up"}


def sample(name: str) -> tuple[Exercise, ExerciseLoad]:
    """One of `SAMPLES` as an exercise with its load."""
    title, position, joint, movement, arc, build = _CASES[name]
    exercise = Exercise(
        id=name, title=title, position=position, sides="both" if name in _BOTH else "one",
        works=f"{joint} {movement}", movement=({joint: {movement: arc}},),
    )  # fmt: skip
    return exercise, load(exercise, build(), angle=arc)  # type: ignore[operator]
