"""The curves of all joint axes of one way, kept as two arrays."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from rungbook.load.result import JointCurve
from rungbook.load.scaling import JOINT_NAMES

Array = NDArray[np.float64]
Side = Literal["working", "other"] | None


@dataclass(frozen=True, slots=True, eq=False)
class JointCurves(Mapping[str, JointCurve]):
    """Curves by joint axis, in the order of `JOINT_NAMES`; each is made when it is asked for.

    From arrays (34, 11) in degrees and N·m, without the rows in `left_out`.
    """

    angles_deg: Array
    moments_nm: Array
    left_out: tuple[int, ...]

    @property
    def _rows(self) -> Mapping[str, int]:
        return _rows_without(self.left_out)

    def __getitem__(self, name: str) -> JointCurve:
        row = self._rows[name]
        side, joint, axis = axis_of(name)
        return JointCurve(side, joint, axis, self.angles_deg[row], self.moments_nm[row])

    def __contains__(self, name: object) -> bool:
        return name in self._rows

    def __iter__(self) -> Iterator[str]:
        return iter(self._rows)

    def __len__(self) -> int:
        return len(self._rows)

    def arrays(self) -> tuple[Array, Array]:
        """Angles in degrees and moments in N·m, a row (11,) for each curve."""
        rows = list(self._rows.values())
        return self.angles_deg[rows], self.moments_nm[rows]


def arrays_of(joints: Mapping[str, JointCurve]) -> tuple[Array, Array]:
    """Angles in degrees and moments in N·m of any curves, a row (11,) for each."""
    if isinstance(joints, JointCurves):
        return joints.arrays()
    curves = joints.values()
    return np.array([one.angle_deg for one in curves]), np.array([one.moment_nm for one in curves])


@cache
def axis_of(name: str) -> tuple[Side, str, str]:
    """`working hip flexion` is of the side `working`, the joint `hip`, the axis `flexion`."""
    joint, axis = name.split(" ")[-2:]
    if name.startswith("working "):
        return "working", joint, axis
    return ("other" if name.startswith("other ") else None), joint, axis


@cache
def _rows_without(left_out: tuple[int, ...]) -> Mapping[str, int]:
    return {name: row for row, name in enumerate(JOINT_NAMES) if row not in left_out}
