"""What a contact gives: for the reference person, and how that changes with body mass."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from rungbook.body.contacts import Contact

Array = NDArray[np.float64]
Ints = NDArray[np.intp]
Between = tuple[str, int, float, float]  # table, phase, and two body masses
# Body masses between which forces are followed: a little beyond anybody's (`person`).
LIGHTEST_KG, HEAVIEST_KG = 19.0, 400.0


@dataclass(frozen=True)
class Change:
    """What is added at one phase between two body masses, of which the heavier is no part.

    To a contact's force: `per_kg` (3,) N/kg and `fixed` (3,) N. To moments over stature:
    (34,) N/kg and N.
    """

    table: str
    phase: int
    lightest_kg: float
    heaviest_kg: float
    per_kg: Array
    fixed: Array

    @property
    def between(self) -> Between:
        """For whom and when."""
        return self.table, self.phase, self.lightest_kg, self.heaviest_kg

    def holds(self, table: str, mass_kg: float) -> bool:
        return self.table == table and self.lightest_kg <= mass_kg < self.heaviest_kg


@dataclass(frozen=True)
class Reaction:
    """The force of a contact by segment table: `per_kg` (3, 11) N/kg and `fixed` (3, 11) N.

    `place` (3, 11) in statures where it acts at one point; None where it is spread over corners.
    """

    contact: Contact
    per_kg: dict[str, Array]
    fixed: dict[str, Array]
    changes: list[Change] = field(default_factory=list)
    place: Array | None = None

    def forces(self, table: str, mass_kg: float) -> Array:
        """Newtons in the room at every phase, (3, 11)."""
        result: Array = self.per_kg[table] * mass_kg + self.fixed[table]
        for change in self.changes:
            if change.holds(table, mass_kg):
                result[:, change.phase] += change.per_kg * mass_kg + change.fixed
        return result


@dataclass(frozen=True)
class PlacedChange:
    """The same where it acts: `segment` (C,), `place` (C, 3) in statures, forces (C, 3)."""

    table: str
    phase: int
    lightest_kg: float
    heaviest_kg: float
    segment: Ints
    place: Array
    per_kg: Array
    fixed: Array

    def summed(self, mine: NDArray[np.bool_]) -> Change:
        """What it is to the force of some of its places together."""
        return Change(
            self.table, self.phase, self.lightest_kg, self.heaviest_kg,
            self.per_kg[mine].sum(axis=0), self.fixed[mine].sum(axis=0),
        )  # fmt: skip
