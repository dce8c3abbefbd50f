"""What the body rests on: contacts as patches with corners on surfaces.

A surface is a plane, its normal pointing to the body: normal · point = offset, in fractions of
stature. A contact whose plane nobody wrote (a counter without a height) takes it from where
its point lies at the start.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from rungbook.body.joints import Side
from rungbook.body.points import BodyPoint, Corner, body_point

PHASES = 11
TIMES = PHASES + 2  # the phases, then the moments in which something is left or reached
ALWAYS = (True,) * PHASES
AT_PHASE = (*range(PHASES), 0, PHASES - 1)  # the phase that each time belongs to
FEET = frozenset({"foot"})


@dataclass(frozen=True)
class Burden:
    """A weight the body carries: where it hangs, and how heavy over body weight at each phase.

    A negative one lifts.
    """

    segment: int
    local: tuple[float, float, float]
    side: Side
    over_body_weight: tuple[float, ...]


@dataclass(frozen=True)
class Link:
    """A point of one limb that rests on another, which it pushes back.

    `thickness`, of stature, of what lies between them. `index` as of a contact.
    """

    point: BodyPoint
    on: BodyPoint
    thickness: float = 0.0
    slides: bool = False
    touch: bool = False
    active: tuple[bool, ...] = ALWAYS
    index: int = -1

    @property
    def reach(self) -> float:
        """How far apart the two points lie inside the body."""
        return self.point.girth + self.on.girth + self.thickness


@dataclass(frozen=True)
class Contact:
    """One patch on one surface.

    `offset` None: through the point's place at the start. `distance`: of a wall from the feet.
    `share` of body weight carried by this one patch, fixed by hand; `active` per phase.
    `index` is the contact's number in the exercise's list, -1 for a default.
    """

    point: str
    side: Side
    surface: str
    normal: tuple[float, float, float]
    offset: float | None
    distance: float | None = None
    slides: bool = False
    friction: float | None = None
    share: float | None = None
    touch: bool = False
    grip: bool = False
    active: tuple[bool, ...] = ALWAYS
    index: int = -1

    @cached_property
    def body_point(self) -> BodyPoint:
        return body_point(self.point, self.side)

    @property
    def corners(self) -> tuple[Corner, ...]:
        return self.body_point.corners

    @property
    def metric(self) -> bool:
        """Whether it stands where it stands, whoever comes: at a height or distance of its own."""
        return bool(self.offset) or self.distance is not None

    @property
    def steadies(self) -> bool:
        """Whether it only steadies, a hand on a rail or counter: people choose it to their size."""
        return self.touch or (self.share is not None and self.body_point.limb == "arm")

    @property
    def leaves(self) -> tuple[bool, bool]:
        """Whether it is left right after the start, and whether it is reached only at the end."""
        there = ALWAYS if self.touch else self.active
        return there[0] and not there[1], there[-1] and not there[-2]

    @property
    def there(self) -> tuple[bool, ...]:
        """Whether it touches, at all times: what is just being left still does."""
        return tuple(self.active[phase] for phase in AT_PHASE)

    @property
    def bears(self) -> tuple[bool, ...]:
        """The same without what is being left, or not yet leaned on; a written push goes on."""
        left, reached = self.leaves if self.carries else (False, False)
        return (*self.active, self.active[0] and not left, self.active[-1] and not reached)

    @property
    def carries(self) -> bool:
        """Whether its force is found by equilibrium."""
        return not self.touch and self.share is None

    @property
    def firm(self) -> list[int]:
        """Numbers of the corners that may be leaned on: what merely lies there is no base."""
        return [n for n, one in enumerate(self.corners) if not one.soft and one.ease == 1.0]

    @property
    def level(self) -> bool:
        """Whether the surface is horizontal or nearly so."""
        return self.normal[2] > 0.5
