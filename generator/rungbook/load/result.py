"""What the load engine returns for one exercise. Plain values; arrays have one row a phase.

Moments are in N·m, angles in degrees, lengths in m, forces in N. The room has x forward,
y to the left and z up, as the body faces at the start. The working side is the right side.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from rungbook.load.person import Person
from rungbook.model.kind_of_work import NO_WORK, KindOfWork
from rungbook.model.movement import Action

Array = NDArray[np.float64]
PHASES = 11
STOPS = frozenset({"contact-off-surface", "not-in-balance", "wrong-value"})  # no number
KindsOfWork = Mapping[str, KindOfWork]  # by the action's text


@dataclass(frozen=True, slots=True)
class JointCurve:
    """Angle and muscle moment about one joint axis over the movement, shape (11,) each.

    The moment is what the muscles must produce, positive toward the axis's positive movement.
    """

    side: Literal["working", "other"] | None
    joint: str
    axis: str
    angle_deg: Array
    moment_nm: Array


@dataclass(frozen=True, slots=True)
class Demand:
    """The load on the muscles of one action.

    `curve_nm` (11,) is positive where these muscles must act; `peak_nm` is its largest value,
    or 0 where they never act. `per_way` holds the curves of both ways where they differ
    (`up`, `down`). `low_nm` and `high_nm` say how sure the peak is, `spans` by how much it would
    change with each thing that is not sure (`sureness`); None where that was not asked for.
    `basis` is `measured` where a published figure stands in for statics.
    """

    works: Action
    peak_nm: float
    peak_at_deg: float
    peak_phase: int
    per_mass_nm_kg: float
    mean_nm: float
    impulse_per_rep_nms: float
    contraction: Mapping[Literal["concentric", "eccentric", "held"], float]
    angle_deg: Array
    curve_nm: Array
    per_way: Mapping[str, Array] = field(default_factory=dict)
    basis: Literal["statics", "measured"] = "statics"
    capacity_share: float | None = None  # peak over the measured maximum, where one is known
    low_nm: float | None = None
    high_nm: float | None = None
    spans: Mapping[str, float] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class PointForce:
    """A force on the body at a named point: `force_n` in the room, `share` of body weight."""

    at: str
    force_n: tuple[float, float, float]
    share: float


@dataclass(frozen=True, slots=True)
class Surface:
    """Something the body rests on, as a drawing needs it.

    `origin_m` is a point on it and `normal` its unit normal, pointing to the body.
    """

    kind: str  # floor, wall, or an equipment key
    at: str  # the body point that rests on it
    origin_m: tuple[float, float, float]
    normal: tuple[float, float, float]
    touch: bool = False
    phases: tuple[bool, ...] = (True,) * PHASES


@dataclass(frozen=True, slots=True)
class Applied:
    """A weight, band, push or assistance, as a drawing needs it: (11, 3) arrays in the room."""

    kind: Literal["weight", "band", "push", "assistance"]
    at: str
    label: str
    point_m: Array
    force_n: Array


@dataclass(frozen=True, slots=True)
class Skeleton:
    """Where the body is at each phase.

    `points_m` maps names to (11, 3) arrays: `pelvis`, `lumbar`, `chest` (top of the thorax),
    `neck`, `head` (centre), and with `working ` or `other ` before them `hip`, `knee`, `ankle`,
    `heel`, `ball`, `toe`, `shoulder`, `elbow`, `wrist`, `fingertip`.
    `way` is the way of the movement in which it is so.
    """

    points_m: Mapping[str, Array]
    surfaces: tuple[Surface, ...] = ()
    applied: tuple[Applied, ...] = ()
    way: Literal["both", "up", "down"] = "both"


@dataclass(frozen=True, slots=True)
class Left:
    """What is left right after the start (phase 0), or reached only at the end: see `leaving`."""

    at: str
    surface: str
    phase: int

    @property
    def in_words(self) -> str:
        """When nothing rests on it any more, or nothing yet."""
        when = "leaves" if self.phase == 0 else "comes back to"
        return f"the moment the body {when} the {self.surface}, which carries nothing then"


@dataclass(frozen=True, slots=True)
class Fault:
    """A finding of the engine, before it has a place: the check's name and what to do.

    `path` points into the exercise's front matter.
    """

    check: str
    message: str
    path: tuple[str | int, ...] = ()
    details: Mapping[str, object] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class ExerciseLoad:
    """Everything computed for one exercise and one person.

    Where statics gives no number (`withheld` says why), demands may be empty.
    `kinds` holds the kind of work of every action of which something is asked, whatever the
    exercise is about; None where nothing is known.
    `other_ways` and `other_skeletons` are of the ways that are not shown, `borne` the greatest
    share of body weight over the whole movement through the working `leg` and `arm`.
    `coefficients` rescale the curves for another person: a `WayCoefficients` for each way (see
    `rungbook.load.scaling`), and under `tempo` the seconds of a repetition (`rungbook.load.dose`).
    """

    id: str
    person: Person
    demands: Mapping[str, Demand]  # by the action's text
    joints: Mapping[str, JointCurve]  # "working hip flexion", "lumbar flexion"
    skeleton: Skeleton | None
    bearing: float  # share of body weight through the working limb
    bearing_limb: Literal["leg", "arm"]
    reactions: tuple[PointForce, ...]
    assistance: tuple[PointForce, ...]
    centre_of_mass_m: tuple[float, float, float]
    base_margin_m: float | None
    settled: Mapping[str, float]
    range_deg: float  # far end of the leading joint's arc, toward the movement
    arc_deg: tuple[float, float]
    lengthening_deg: float
    peak_speed_deg_s: float
    stability: int
    impact: Literal["none", "both feet", "one foot"]
    volume_nms: float  # per week
    time_under_tension_s: float  # per session
    time_under_tension_week_s: float
    inertial_share: float
    group: str = ""  # which muscles, in words
    withheld: str | None = None
    faults: tuple[Fault, ...] = ()
    coefficients: Mapping[str, object] = field(default_factory=dict)
    kinds: KindsOfWork | None = None
    other_ways: tuple[Mapping[str, JointCurve], ...] = ()
    other_skeletons: tuple[Skeleton, ...] = ()
    borne: Mapping[str, float] = field(default_factory=dict)
    time_under_tension_week_range_s: tuple[float, float] = (0.0, 0.0)  # least and most of the dose
    left: tuple[Left, ...] = ()  # of the way that is shown

    @property
    def ways(self) -> tuple[Mapping[str, JointCurve], ...]:
        """The curves of every way of the movement, the shown one first."""
        return (self.joints, *self.other_ways) if self.joints else ()

    def kind(self, action: Action | str) -> KindOfWork | None:
        """The kind of work of an action; None where nothing is known."""
        return None if self.kinds is None else self.kinds.get(str(action), NO_WORK)

    @property
    def demand_nm(self) -> float:
        """Peak moment about `works`: the worst where there are several, 0 where unknown."""
        return max((demand.peak_nm for demand in self.demands.values()), default=0.0)
