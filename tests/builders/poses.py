"""Poses and loads on them, below the level of exercises."""

from __future__ import annotations

import pathlib
from collections.abc import Mapping
from typing import Any

import numpy as np
from numpy.typing import NDArray

from builders.exercises import exercise
from rungbook.body.joints import DOF, DOFS, JOINT_DOFS, SEGMENT
from rungbook.body.kinematics import Pose, forward
from rungbook.body.statics import Wrench, muscle_moments, reported_axes
from rungbook.load.compute import compute_loads
from rungbook.load.person import Person
from rungbook.load.result import ExerciseLoad
from rungbook.model.library import Library, Settings, Vocabulary
from rungbook.model.library import Person as WrittenPerson
from rungbook.model.movement import Action

Array = NDArray[np.float64]
UPRIGHT = np.eye(3)[:, :, None]


def posed(base: Array = UPRIGHT, **degrees: float) -> Pose:
    """One posture; `right_elbow_flexion=90`, `lumbar_flexion=30`, `root_pitch=90`."""
    angles = np.zeros((len(DOFS), 1))
    for name, value in degrees.items():
        side, _, rest = (
            name.partition("_") if name.startswith(("right_", "left_")) else ("mid", "", name)
        )
        joint, _, axis = rest.partition("_")
        angles[DOF[side, joint, axis.replace("_", "-")]] = np.radians(value)
    return forward(angles, base)


def hung(
    pose: Pose, *loads: tuple[str, tuple[float, float, float], tuple[float, float, float]]
) -> Wrench:
    """Forces on segments: (segment, place from the segment's origin in its own frame, force)."""
    wrench = Wrench.zero(1)
    for segment, local, force in loads:
        place = pose.point(SEGMENT[segment], np.array(local))
        wrench.add_at(SEGMENT[segment], slice(0, 1), place, np.array(force, dtype=float)[:, None])
    return wrench


def moment(pose: Pose, wrench: Wrench, side: str, joint: str, axis: str) -> float:
    """The muscles' moment about one joint axis of a single posture."""
    row = JOINT_DOFS.index(DOF[side, joint, axis])
    return float(muscle_moments(pose, wrench, reported_axes(pose))[row, 0])


def library_for(
    mass: float = 70.0, stature: float = 1.70, body: str = "female", **vocabulary: Any
) -> Library:
    """An empty library with a reference person."""
    person = WrittenPerson(mass=f"{mass} kg", stature=f"{stature} m", body=body)
    return Library(
        pathlib.Path("."), settings=Settings(person=person), vocabulary=Vocabulary(**vocabulary)
    )


def load_of(
    mass: float = 70.0,
    stature: float = 1.70,
    body: str = "female",
    person: Person | None = None,
    capacities: Mapping[Action, float] | None = None,
    vocabulary: Mapping[str, Any] | None = None,
    **front_matter: Any,
) -> ExerciseLoad:
    """The load of one exercise, as written, for a reference person (or another)."""
    one = exercise(**front_matter)
    library = library_for(mass, stature, body, **(vocabulary or {}))
    return compute_loads([one], library, person, capacities)[one.id]
