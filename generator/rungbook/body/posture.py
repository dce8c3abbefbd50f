"""A movement to settle, for whom, and what it settles to."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from rungbook.body.base import Base
from rungbook.body.contacts import ALWAYS, PHASES, Burden, Contact, Link
from rungbook.body.joints import DOFS, LIMB_OF

Array = NDArray[np.float64]
Bools = NDArray[np.bool_]


@dataclass(frozen=True)
class Posture:
    """A movement to settle: 11 phases of one body.

    `base` (3, 3); `angles` (dofs, 11) radians, what was written or is the default; `exact`
    (dofs, 11) and `gives` (dofs, 11) say which angles may not and may give way; `stiffness`
    (dofs, 11). `path` (dofs,): angles that move from where they start to where they end, also
    where a surface has moved these. `balanced`: the centre of mass has to stand over the base.
    `still`: all phases are alike. `stride`: of stature, between the feet, along x. `seat_depth`:
    how far a carried pelvis lies above a surface of a height of its own. `burdens` count in the
    balance. `loose` (dofs,): the stiffness where something is left; `upright` (11,): the trunk
    does not lean back, as nobody does who is about to leave a seat.
    """

    base: Array
    angles: Array
    exact: Bools
    gives: Bools
    stiffness: Array
    contacts: tuple[Contact, ...]
    symmetric: bool
    rooted: bool
    balanced: bool
    still: bool = False
    stride: float | None = None
    burdens: tuple[Burden, ...] = ()
    links: tuple[Link, ...] = ()
    path: Bools = field(default_factory=lambda: np.zeros(len(DOFS), dtype=bool))
    loose: Array | None = None
    upright: Bools = field(default_factory=lambda: np.zeros(PHASES, dtype=bool))
    seat_depth: float | None = None

    def key(self) -> tuple[object, ...]:
        """Equal for postures that settle to the same answer."""
        return (
            self.base.tobytes(), self.angles.tobytes(), self.exact.tobytes(),
            self.gives.tobytes(), self.stiffness.tobytes(), self.contacts, self.symmetric,
            self.rooted, self.balanced, self.still, self.stride, self.burdens, self.links,
            self.path.tobytes(), self.seat_depth, self.upright.tobytes(),
            None if self.loose is None else self.loose.tobytes(),
        )  # fmt: skip

    @property
    def mirrored(self) -> bool:
        """Whether one side is solved for both: limbs that rest on each other need both."""
        return self.symmetric and not self.links

    @cached_property
    def mates(self) -> tuple[int, ...]:
        """Of each contact, the one that is solved for it: its mirror image on the right."""
        if not self.mirrored:
            return tuple(range(len(self.contacts)))
        right = {c: p for p, c in enumerate(self.contacts) if c.side == "right"}
        return tuple(
            right[replace(c, side="right")] if c.side == "left" else p
            for p, c in enumerate(self.contacts)
        )

    @property
    def leaves(self) -> tuple[bool, bool]:
        """Whether something is left right after the start, or reached only at the end."""
        each = [contact.leaves for contact in self.contacts]
        return any(left for left, _ in each), any(reached for _, reached in each)

    def turned_back(self) -> Posture:
        """The same movement from its end to its start."""
        return replace(
            self,
            angles=np.ascontiguousarray(self.angles[:, ::-1]),
            exact=np.ascontiguousarray(self.exact[:, ::-1]),
            gives=np.ascontiguousarray(self.gives[:, ::-1]),
            stiffness=np.ascontiguousarray(self.stiffness[:, ::-1]),
            upright=np.ascontiguousarray(self.upright[::-1]),
            contacts=tuple(replace(c, active=c.active[::-1]) for c in self.contacts),
            links=tuple(replace(link, active=link.active[::-1]) for link in self.links),
            burdens=tuple(
                replace(b, over_body_weight=b.over_body_weight[::-1]) for b in self.burdens
            ),
        )

    def touching(self) -> Posture:
        """Of a body whose trunk is carried, only the limbs that touch something have to settle."""
        if not self.rooted:
            return self
        touching = {(contact.side, contact.body_point.limb) for contact in self.contacts}
        for link in self.links:
            touching |= {(point.side, point.limb) for point in (link.point, link.on)}
        free = [n for n, limb in enumerate(LIMB_OF) if limb not in touching and limb[1] != "root"]
        angles, exact = self.angles.copy(), self.exact.copy()
        angles[free], exact[free] = 0.0, True
        present = [*(c.active for c in self.contacts), *(link.active for link in self.links)]
        still = not np.any(angles != angles[:, :1]) and all(one == ALWAYS for one in present)
        return replace(self, angles=angles, exact=exact, still=still)


@dataclass(frozen=True)
class Fit:
    """For whom: a segment table, and the reference stature over this person's.

    Written heights and distances are that many times as large a part of her stature.
    """

    table: str
    scale: float = 1.0


@dataclass(frozen=True)
class Settled:
    """The settled posture.

    `angles` (dofs, 11); `normals` (contacts, 3) and `offsets` (contacts,): the planes;
    `distance` (contacts, 11) and `link_distance` (links, 11): the largest distance of a hard
    corner from its surface or from where it stayed, fractions of stature; `bases`: per phase
    what the body stands on. `left`: by phase (the first, the last), the posture (dofs,) in which
    something is just left, or not yet leaned on, and what is stood on then. `scale` is that of the
    person (`Fit`).
    """

    angles: Array
    normals: Array
    offsets: Array
    distance: Array
    link_distance: Array
    bases: tuple[Base | None, ...]
    left: dict[int, tuple[Array, Base | None]]
    scale: float = 1.0

    def turned_back(self) -> Settled:
        """The same from its end to its start."""
        return replace(
            self,
            angles=np.ascontiguousarray(self.angles[:, ::-1]),
            distance=np.ascontiguousarray(self.distance[:, ::-1]),
            link_distance=np.ascontiguousarray(self.link_distance[:, ::-1]),
            bases=self.bases[::-1],
            left={PHASES - 1 - phase: left for phase, left in self.left.items()},
        )

    def with_free_limbs(self, posture: Posture, part: Posture) -> Settled:
        """With the limbs that did not have to settle as they were asked for."""
        moved = part.gives & ~part.exact
        settled = moved | (part.angles == posture.angles)

        def whole(angles: Array, phases: int | slice) -> Array:
            return np.where(settled[:, phases], angles, posture.angles[:, phases])

        left = {phase: (whole(angles, phase), base) for phase, (angles, base) in self.left.items()}
        return replace(self, angles=whole(self.angles, slice(None)), left=left)
