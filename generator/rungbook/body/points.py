"""Body points: where loads act and what rests on a surface."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache, cached_property

import numpy as np
from numpy.typing import NDArray

from rungbook.body.joints import LIMBS, SEGMENT, Side, part_of
from rungbook.body.segments import data

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Corner:
    """A corner of a patch: a point inside the body and its depth under the skin.

    `local` (3,) in the segment's frame and `depth` are fractions of stature. A soft corner
    may lift off the surface. `ease`, 1 for all but corners that rest lightly: forces are shared
    so that the sum of (force / ease)² is smallest; 0 carries nothing. `hold`, 1 for all but
    corners that give: how firmly it is held where it lies, over a firm one.
    """

    segment: int
    local: tuple[float, float, float]
    depth: float
    soft: bool
    ease: float = 1.0
    hold: float = 1.0


@dataclass(frozen=True)
class Patch:
    """Corners as arrays: `segment`, `depth`, `soft`, `ease`, `hold` (Q,), `local` (Q, 3)."""

    segment: NDArray[np.intp]
    local: Array
    depth: Array
    soft: NDArray[np.bool_]
    ease: Array
    hold: Array


@dataclass(frozen=True)
class BodyPoint:
    """A body point on one side (or in the mid-line), with its patch.

    As something for another limb to rest on it is round: `girth` about its `core`.
    """

    name: str
    side: Side
    segment: int
    local: tuple[float, float, float]
    corners: tuple[Corner, ...]
    core: tuple[float, float, float]
    girth: float

    @property
    def limb(self) -> str:
        """`leg`, `arm` or `trunk`."""
        return _LIMB_OF_SEGMENT[self.segment]

    @cached_property
    def patch(self) -> Patch:
        """Its corners as arrays."""
        return Patch(
            np.array([corner.segment for corner in self.corners], dtype=np.intp),
            np.array([corner.local for corner in self.corners]).reshape(-1, 3),
            np.array([corner.depth for corner in self.corners]),
            np.array([corner.soft for corner in self.corners], dtype=bool),
            np.array([corner.ease for corner in self.corners]),
            np.array([corner.hold for corner in self.corners]),
        )


_LIMB_OF_SEGMENT = [LIMBS.get(part_of(name)[0], "trunk") for name in SEGMENT]
_PLURALS = {"feet": "foot", "forefeet": "forefoot", "elbows": "elbow", "knees": "knee"}


@cache
def point_names() -> tuple[str, ...]:
    """Every body point a library may name, in the singular and for its own side."""
    return tuple(name for name, entry in data("points.yml").items() if not entry.get("hidden"))


def singular(name: str) -> tuple[str, bool]:
    """`forefeet` -> ("forefoot", True); `hand` -> ("hand", False)."""
    points = data("points.yml")
    if name in points:
        return name, False
    single = _PLURALS.get(name, name.removesuffix("s"))
    return (single, True) if single in points and points[single].get("sided") else (name, False)


def is_sided(name: str) -> bool:
    """Whether there is one of it on each side."""
    return bool(data("points.yml")[name].get("sided"))


@cache
def body_point(name: str, side: Side) -> BodyPoint:
    """The point `name` (singular) on a side.

    Raises:
        KeyError: no such point.
    """
    entry = data("points.yml")[name]
    sided = bool(entry.get("sided"))
    where: Side = side if sided else "mid"
    mirror = -1.0 if where == "left" else 1.0

    def segment(part: str) -> int:
        return SEGMENT[f"{part}_{where}"] if f"{part}_right" in SEGMENT and sided else SEGMENT[part]

    def local(values: list[float]) -> tuple[float, float, float]:
        return (float(values[0]), float(values[1]) * mirror, float(values[2]))

    corners = tuple(
        Corner(
            segment(corner.get("segment", entry["segment"])),
            local(corner["at"]),
            float(corner["depth"]),
            bool(corner.get("soft", False)),
            float(corner.get("ease", 1.0)),
            float(corner.get("hold", 1.0)),
        )
        for corner in entry["patch"]
    )
    round_part = entry.get("round", {"at": entry["at"], "girth": max(c.depth for c in corners)})
    return BodyPoint(
        name, where, segment(entry["segment"]), local(entry["at"]), corners,
        local(round_part["at"]), float(round_part["girth"]),
    )  # fmt: skip
