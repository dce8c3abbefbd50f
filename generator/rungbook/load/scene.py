"""Bodies in their postures, and all that acts on them, in arrays over B postures."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rungbook.body.kinematics import Pose
from rungbook.body.statics import Wrench
from rungbook.load.result import PHASES

Array = NDArray[np.float64]
Ints = NDArray[np.intp]


@dataclass(frozen=True)
class Scene:
    """Postures of several ways, 11 columns each, and the wrenches on them by segment table.

    `angles` (34, B) radians; `axes` (34, 3, B) that moments are told about. `body` per kg of
    body mass, `fixed` N, `inertia` per kg at one second; lengths in statures. `mass` in kg and
    `stature` in m are the reference person's.
    """

    pose: Pose
    angles: Array
    axes: Array
    body: dict[str, Wrench]
    fixed: dict[str, Wrench]
    inertia: dict[str, Wrench]
    mass: float
    stature: float

    @property
    def kinds(self) -> tuple[tuple[str, dict[str, Wrench]], ...]:
        return ("body", self.body), ("fixed", self.fixed), ("inertia", self.inertia)

    @property
    def first(self) -> str:
        """The reference person's table."""
        return next(iter(self.body))


def columns_of(number: int) -> slice:
    """Where one way's phases lie."""
    return slice(number * PHASES, (number + 1) * PHASES)


def all_columns(numbers: list[int]) -> Ints:
    """Where the phases of several ways lie."""
    return (np.array(numbers)[:, None] * PHASES + np.arange(PHASES)).ravel()
