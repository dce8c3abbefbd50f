"""Where the exercises stand on the ladders, looked up from the exercise's side."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from rungbook.ladder.measured import MeasuredLadder, MeasuredLibrary
from rungbook.model.latest import latest


@dataclass(frozen=True, slots=True)
class Standing:
    """Where an exercise stands on a ladder; `rung` counts from 1, easiest first."""

    ladder: MeasuredLadder
    rung: int

    @property
    def of(self) -> int:
        """How many rungs the ladder has."""
        return len(self.ladder.rungs)


Standings = Mapping[str, tuple[Standing, ...]]


@latest
def standings(measured: MeasuredLibrary) -> Standings:
    """The ladders every exercise is on, by exercise."""
    found: dict[str, list[Standing]] = {}
    for ladder in measured.ladders.values():
        for number, rung in enumerate(ladder.rungs, start=1):
            found.setdefault(rung, []).append(Standing(ladder, number))
    return {key: tuple(places) for key, places in found.items()}
