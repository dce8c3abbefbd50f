"""Where the exercises stand on the ladders, looked up from the exercise's side."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from rungbook.ladder.measured import MeasuredLadder, MeasuredLibrary


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
_latest: tuple[MeasuredLibrary, Standings] | None = None


def standings(measured: MeasuredLibrary) -> Standings:
    """The ladders every exercise is on, by exercise; made once for a library."""
    global _latest
    known = _latest
    if known is None or known[0] is not measured:
        found: dict[str, list[Standing]] = {}
        for ladder in measured.ladders.values():
            for number, rung in enumerate(ladder.rungs, start=1):
                found.setdefault(rung, []).append(Standing(ladder, number))
        known = measured, {key: tuple(places) for key, places in found.items()}
        _latest = known
    return known[1]
