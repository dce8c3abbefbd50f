"""All that another program needs to compute a load again: what acts where, at every phase.

Places in m and forces in N in the room, for one person. Moments follow from places, axes and
forces alone; the contacts' forces from the problem they solve: those of all that balance the rest,
in their cones, with the least Σ (moment / strength)² + shear · Σ (shear / weight)² + spread ·
Σ (force / ease / weight)².
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from rungbook.body.cones import EDGES
from rungbook.body.effort import effort_axes, strengths
from rungbook.body.joints import PARENT, SEGMENTS
from rungbook.body.kinematics import Pose
from rungbook.body.segments import SegmentTable, data, segment_table
from rungbook.body.statics import GRAVITY, REPORTED_SEGMENT, Wrench, centres, muscle_moments, weight
from rungbook.body.vectors import cross
from rungbook.load.applying import carry_resting
from rungbook.load.corners import Corners
from rungbook.load.names import contact_name
from rungbook.load.person import Person
from rungbook.load.result import PHASES
from rungbook.load.scaling import JOINT_NAMES
from rungbook.load.scene import columns_of
from rungbook.load.solved import solved_rows
from rungbook.load.way_load import WayLoad

Array = NDArray[np.float64]


def model_values() -> dict[str, Any]:
    """What is the same for all exercises."""
    forces = data("contact-forces.yml")
    return {
        "gravity_m_s2": GRAVITY,
        "segments": [
            {"name": name, "parent": None if parent < 0 else SEGMENTS[parent]}
            for name, parent in zip(SEGMENTS, PARENT, strict=True)
        ],
        "shear": float(forces["shear"]),
        "spread": float(forces["spread"]),
        "cone_edges": EDGES,
    }


def way_values(way: WayLoad, table: SegmentTable, person: Person) -> dict[str, Any]:
    """One way of one exercise: a list of phases.

    Args:
        way: solved for a person of this mass, with this table as its first.
    """
    pose = _posture(way)
    shared = _Shared(way, table, person, pose)
    return {"way": way.setup.way, "phases": [shared.phase(k) for k in range(PHASES)]}


def _posture(way: WayLoad) -> Pose:
    at, pose = columns_of(way.number), way.scene.pose
    return Pose(pose.turn[..., at], pose.origin[..., at], pose.axis[..., at])


class _Shared:
    """What the phases of one way have in common, in arrays over them."""

    def __init__(self, way: WayLoad, table: SegmentTable, person: Person, pose: Pose) -> None:
        self.way, self.table, self.person, self.pose = way, table, person, pose
        self.axes = way.scene.axes[..., columns_of(way.number)]
        self.efforts = effort_axes(pose)
        self.positive, self.negative = strengths(way.scene.angles[:, columns_of(way.number)])
        self.solved = solved_rows(way.setup.supports.free) > 0
        self.middles = centres(pose, table)
        self.weights = weight(pose, table)
        carry_resting(way.setup, slice(0, PHASES), [self.weights])
        whole = _wrench(way, person)
        self.moments = muscle_moments(pose, whole, self.axes) * person.stature_m
        self.effort = muscle_moments(pose, whole, self.efforts) * person.stature_m

    def phase(self, k: int) -> dict[str, Any]:
        height = self.person.stature_m
        return {
            "phase": round(k / (PHASES - 1), 1),
            "segments": [
                {
                    "name": name,
                    "joint_m": _list(self.pose.origin[s, :, k] * height),
                    "mass_kg": float(self.table.mass[s]) * self.person.mass_kg,
                    "centre_m": _list(self.middles[s, :, k] * height),
                }
                for s, name in enumerate(SEGMENTS)
            ],
            "axes": [self._axis(row, k) for row in range(len(JOINT_NAMES))],
            "forces": list(self._forces(k)),
            "contacts": list(self._contacts(k)),
        }

    def _axis(self, row: int, k: int) -> dict[str, Any]:
        whole = self.person.mass_kg * GRAVITY * self.person.stature_m
        return {
            "name": JOINT_NAMES[row],
            "segment": SEGMENTS[REPORTED_SEGMENT[row]],
            "axis": _list(self.axes[row, :, k]),
            "effort_axis": _list(self.efforts[row, :, k]),
            "solved": bool(self.solved[row]),
            "strength_nm": [
                float(self.positive[row, k]) * whole,
                float(self.negative[row, k]) * whole,
            ],
            "moment_nm": float(self.moments[row, k]) if self.solved[row] else 0.0,
            "effort_nm": float(self.effort[row, k]) if self.solved[row] else 0.0,
        }

    def _forces(self, k: int) -> Iterator[dict[str, Any]]:
        """All that acts but the contacts whose forces are sought: weights first."""
        way, mass, name = self.way, self.person.mass_kg, self.table.name
        for s, segment in enumerate(SEGMENTS):
            force = self.weights.force[s, :, k] * mass
            torque = self.weights.torque[s, :, k] * mass
            size = float(force @ force)
            if size > 0:
                yield self._force("weight", segment, segment, cross(force, torque) / size, force)
        for outer, place, pull in way.outer:
            yield self._force(
                outer.kind, outer.at, SEGMENTS[outer.point.segment], place[k], pull[k]
            )
            if outer.toward is not None and not outer.mutual:
                toward = outer.toward
                turned = self.pose.turn[toward.segment, :, :, k] @ np.array(toward.local)
                at = self.pose.origin[toward.segment, :, k] + turned
                yield self._force(outer.kind, toward.name, SEGMENTS[toward.segment], at, -pull[k])
        for at_name, point, place, per_kg in way.assistance:
            force = per_kg[name][:, k] * mass
            yield self._force("assistance", at_name, SEGMENTS[point.segment], place[k], force)
        for one in way.reactions:
            if one.place is not None:
                kind = "rest" if one.contact.share is None else "share"
                segment = SEGMENTS[one.contact.body_point.segment]
                force = one.forces(name, mass)[:, k]
                yield self._force(kind, contact_name(one.contact), segment, one.place[:, k], force)

    def _force(
        self, kind: str, at: str, segment: str, place: Array, force: Array
    ) -> dict[str, Any]:
        point = _list(place * self.person.stature_m)
        return {"kind": kind, "at": at, "segment": segment, "at_m": point, "force_n": _list(force)}

    def _contacts(self, k: int) -> Iterator[dict[str, Any]]:
        if self.way.stood is None:
            return
        corners, forces = self.way.stood.corners, self.way.stood.forces.by_kind
        name, mass = self.table.name, self.person.mass_kg
        sizes = forces["body"][name] * mass + forces["fixed"][name]
        for p, contact in enumerate(self.way.setup.posture.contacts):
            own = [c for c in corners.of(self.way.stood.way) if corners.contact[c] == p]
            own = [c for c in own if corners.frame[c, :, :, k].any()]
            if not own:
                continue
            yield {
                "at": contact_name(contact),
                "surface": contact.surface,
                "share": contact.share,
                "corners": [_corner(corners, c, k, sizes, self.person) for c in own],
            }


def _corner(corners: Corners, c: int, k: int, sizes: Array, person: Person) -> dict[str, Any]:
    frame = corners.frame[c, :, :, k]
    ease, grip = float(np.linalg.norm(frame[0])), bool(corners.free[c])
    along, friction = frame / ease, float(corners.friction[c])
    return {
        "segment": SEGMENTS[corners.segment[c]],
        "at_m": _list(corners.place[c, :, k] * person.stature_m),
        "normal": _list(along[0]),
        "tangents": [_list(along[1]), _list(along[2])],
        "ease": ease,
        "friction": friction,
        "grip": grip,
        "edges": [] if grip else _edges(along, friction),
        "force_n": _list(sizes[c, :, k]),
    }


def _edges(along: Array, friction: float) -> list[list[float]]:
    """Directions whose sums with sizes of nothing or more are all that a corner can give."""
    if friction == 0:
        return [_list(along[0])]
    angles = 2 * np.pi * np.arange(EDGES) / EDGES
    return [
        _list(along[0] + friction * (np.cos(angle) * along[1] + np.sin(angle) * along[2]))
        for angle in angles
    ]


def _wrench(way: WayLoad, person: Person) -> Wrench:
    at, scene = columns_of(way.number), way.scene
    body, fixed = scene.body[scene.first], scene.fixed[scene.first]
    return Wrench(
        body.force[..., at] * person.mass_kg + fixed.force[..., at],
        body.torque[..., at] * person.mass_kg + fixed.torque[..., at],
    )


def _list(values: Array) -> list[float]:
    return [float(value) for value in values]


def trace_values(
    person: Person, ways: Mapping[str, Sequence[WayLoad]], titles: Mapping[str, str]
) -> dict[str, Any]:
    """The whole trace; `ways` by exercise id, solved for the person."""
    table = segment_table(person.body)
    return {
        "person": {
            "mass_kg": person.mass_kg, "stature_m": person.stature_m, "body": person.body,
        },
        "model": model_values(),
        "exercises": [
            {
                "id": id,
                "title": titles[id],
                "ways": [way_values(way, table, person) for way in some],
            }
            for id, some in ways.items()
        ],
    }  # fmt: skip
