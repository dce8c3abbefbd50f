"""How large one step may be, on every axis of demand.

The defaults are common practice, no source: no publication gives them, and the library sets its
own in library.yml, a ladder its own over those. `off` switches an axis off.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from rungbook.model.ladder import Irritability, Ladder
from rungbook.model.library import MOST_LIMITS, Settings

Group = Literal["load", "motion", "position", "dose"]
BASIS = "common practice, no source"


@dataclass(frozen=True, slots=True)
class AxisRule:
    """How an axis is measured and how far it may rise in one step.

    `kind` is `scale` (limit: how much a step multiplies, see `rungbook.ladder.scale`), `ratio`
    (limit: times the easier exercise's value) or `rise` (limit: added to it). `narrow` is the limit
    for the arm instead of the leg (bearing), or for ankle, wrist, spine and rotations instead of
    the large joints (range, lengthening). `floor` is the least value a ratio is taken from.
    `little` is the rise that still counts as none.
    """

    kind: Literal["scale", "ratio", "rise"]
    limit: float
    little: float
    group: Group | None
    unit: str
    narrow: float | None = None
    floor: float | None = None
    basis: str = BASIS


AXES: Mapping[str, AxisRule] = {
    "demand": AxisRule("scale", 1.5, 1.10, "load", "N·m", floor=1.0),
    "bearing": AxisRule("rise", 0.30, 0.10, "load", "of body weight", narrow=0.15),
    "impact": AxisRule("rise", 1.0, 0.0, "load", "class"),
    "range": AxisRule("rise", 30.0, 10.0, "motion", "°", narrow=15.0),
    "lengthening": AxisRule("rise", 20.0, 10.0, "motion", "°", narrow=10.0),
    "speed": AxisRule("ratio", 2.0, 1.10, "motion", "°/s", floor=90.0),
    "stability": AxisRule("rise", 1.0, 0.0, "position", "class"),
    "volume": AxisRule("ratio", 1.5, 1.10, "dose", "s a week", floor=10.0),
    "changes": AxisRule("rise", 2.0, 0.0, None, "groups"),
    "elsewhere": AxisRule("ratio", 1.5, 1.10, None, "N·m or share", floor=1.0),
}
FLOOR_SHARE_OF_GOAL = 0.10  # a ratio is taken from no less than this share of the goal's value
NARROW_JOINTS = frozenset({"ankle", "wrist", "lumbar", "neck"})
ROTATIONS = frozenset(
    {"external-rotation", "internal-rotation", "rotation", "pronation", "supination"}
)
# How much of the scale of demand may be taken at once, in steps.
AT_ONCE: Mapping[Irritability, float] = {"high": 0.5, "moderate": 1.0, "low": 2.0}


@dataclass(frozen=True, slots=True)
class Limits:
    """The limits in force: an axis that is not in `wide` is off."""

    wide: Mapping[str, float]
    narrow: Mapping[str, float]

    def of(self, axis: str, narrow: bool = False) -> float | None:
        """The limit on an axis, None where it is switched off."""
        return self.narrow.get(axis) if narrow else self.wide.get(axis)


EVERY_AXIS = Limits(
    {axis: rule.limit for axis, rule in AXES.items()},
    {axis: rule.narrow or rule.limit for axis, rule in AXES.items()},
)


def limits_for(settings: Settings, ladder: Ladder | None = None) -> Limits:
    """The library's limits, under the ladder's own.

    A written limit for bearing, range or lengthening is that of the leg and of the large
    joints; the narrow limit is the same share of it as in the defaults (one half). A bearing of
    more than 1 is read as per cent. What cannot be used is left at the default.
    """
    wide, narrow = dict(EVERY_AXIS.wide), dict(EVERY_AXIS.narrow)
    for written in (settings.limits, ladder.limits if ladder else {}):
        for axis, limit in written.items():
            if not is_usable(axis, limit):
                continue
            if limit == "off":
                wide.pop(axis, None)
                narrow.pop(axis, None)
                continue
            wide[axis] = limit / 100 if axis == "bearing" and limit > 1 else float(limit)
            narrow[axis] = wide[axis] * (AXES[axis].narrow or AXES[axis].limit) / AXES[axis].limit
    return Limits(wide, narrow)


def is_usable(axis: str, limit: float | Literal["off"]) -> bool:
    """Whether a written limit can be used: a known axis, a ratio over 1 or a rise over 0.

    What cannot is reported where the library is read.
    """
    rule = AXES.get(axis)
    if rule is None or limit == "off":
        return rule is not None
    least = 0 if rule.kind == "rise" else 1
    return math.isfinite(limit) and least < limit <= MOST_LIMITS.get(axis, math.inf)


def is_narrow(joint: str, movement: str) -> bool:
    """Whether the smaller angles hold: ankle, wrist, spine, and every rotation."""
    return joint in NARROW_JOINTS or movement in ROTATIONS
