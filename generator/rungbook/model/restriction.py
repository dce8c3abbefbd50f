"""An order of the surgeon or the protocol: rows of what is allowed, and what never is."""

from __future__ import annotations

import re
from typing import Literal

from pydantic import Field

from rungbook.model.fields import Angle, Bound, FromTo, MostLoad, OneAction, Weeks
from rungbook.model.kind_of_work import KindWord
from rungbook.model.record import Record
from rungbook.model.text import Title

# Joints that are straight at zero: orders count extension in degrees of flexion ("from 90 to 45").
COUNTED_IN_FLEXION = frozenset({"knee extension", "elbow extension"})
ACTIVE_KINDS = frozenset({"active", "resisted", "held"})


class RestrictionRow(Record):
    """What is allowed of one action, or of weight through a limb, in some weeks.

    Rows of one action and of the same weeks are alternatives. `up_to`, `between` and `from_` are
    degrees toward the action (`arc`), `ceiling` is the most load, `weeks` since the operation.
    """

    action: OneAction | None = None
    kinds: tuple[KindWord, ...] = ()
    up_to: Angle | None = None
    between: FromTo | None = None
    from_: Angle | None = None
    ceiling: MostLoad | None = None
    bearing: str | None = None
    brace: Title | None = None
    weeks: Weeks | None = None
    ends: Literal["date", "surgeon", "criterion"] | None = None
    text: str = ""

    @property
    def arc(self) -> tuple[float | None, float | None]:
        """Least and greatest angle toward the action's movement, degrees; None where open."""
        flexion = str(self.action) in COUNTED_IN_FLEXION
        sign = -1.0 if flexion else 1.0
        if self.between is not None:
            ends = sorted(sign * end for end in self.between)
            return ends[0], ends[1]
        low = None if self.from_ is None else sign * self.from_
        return low, None if self.up_to is None else sign * self.up_to

    @property
    def most_bearing(self) -> float | None:
        """The share of body weight that is allowed, where `bearing` gives a number."""
        found = re.search(r"(\d+(?:\.\d+)?)\s*%", self.bearing or "")
        return float(found[1]) / 100 if found else None

    @property
    def about_posture(self) -> bool:
        """Whether its arc holds wherever the joint lies, not only while its muscles act."""
        return not self.kinds or not ACTIVE_KINDS.issuperset(self.kinds)

    def in_force(self, weeks: float | None, lifted: bool = False) -> bool:
        """Whether it holds so many weeks after the operation.

        Not said: it holds, so that the strictest row does. A date opens a phase and never passes
        it: what the surgeon or a criterion ends holds on until it is `lifted`.
        """
        if weeks is None or self.weeks is None:
            return not (lifted and self.ends in ("surgeon", "criterion"))
        start, end = self.weeks
        if weeks < start:
            return False
        over = end is not None and weeks >= end
        return not over or (self.ends in ("surgeon", "criterion") and not lifted)


class Restriction(Record):
    """An order on posture, load and weight bearing.

    `never` holds limits such as {"hip": {"flexion": AngleLimit("over", 90)}}, each forbidden at
    all times; of several in one entry only all at once are.
    """

    title: Title
    text: str = ""
    rows: tuple[RestrictionRow, ...] = ()
    never: tuple[dict[str, dict[str, Bound]], ...] = ()
    ordered_by: str | None = None
    sources: tuple[str, ...] = Field(default=())

    @property
    def asks_for_weeks(self) -> bool:
        """Whether what holds depends on the time since the operation."""
        return any(row.weeks is not None for row in self.rows)
