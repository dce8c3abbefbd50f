"""An entry for more irritable people that demands more than one for less irritable people.

Whoever is easily provoked starts at the high-irritability entry. Where that demands more than the
moderate or low entry, the most irritable start with the most load.

Mend it by exchanging the entries, or by entering lower on the ladder.

Fails:

    [exercises/arm/raise.md]
    title: Raise the arm
    sides: one
    works: shoulder flexion
    movement: [{shoulder: {flexion: [0, 90]}}]
    progressions: [{to: raise-weight, when: [3 sets of 12]}]
    [exercises/arm/raise-weight.md]
    title: Raise the arm with a weight
    variation-of: raise
    resistance: [{weight: 0.5 kg, at: hand}]
    [ladders/arm.md]
    title: Arm
    works: shoulder flexion
    goal: raise-weight
    entries: {high: raise-weight, low: raise}

Passes:

    [exercises/arm/raise.md]
    title: Raise the arm
    sides: one
    works: shoulder flexion
    movement: [{shoulder: {flexion: [0, 90]}}]
    progressions: [{to: raise-weight, when: [3 sets of 12]}]
    [exercises/arm/raise-weight.md]
    title: Raise the arm with a weight
    variation-of: raise
    resistance: [{weight: 0.5 kg, at: hand}]
    [ladders/arm.md]
    title: Arm
    works: shoulder flexion
    goal: raise-weight
    entries: {high: raise, low: raise-weight}
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from rungbook.ladder.measured import MeasuredLibrary
from rungbook.ladder.profile import Profile
from rungbook.ladder.steps import worked_on
from rungbook.model.finding import Finding, Level
from rungbook.model.ladder import IRRITABILITIES, Ladder

name = "heavy-entry"
level: Level = "warning"
ROUNDING = 1.01  # two postures settle to the same load within about a hundredth


def check(measured: MeasuredLibrary) -> Iterator[Finding]:
    """One finding for each entry that demands more than the entry of a lower irritability."""
    profiles = measured.profiles
    for ladder in measured.library.ladders.values():
        entries = [
            (word, ladder.entries[word])
            for word in IRRITABILITIES
            if ladder.entries.get(word) in profiles
        ]
        for (word, entry), (lower_word, lower) in pairwise(entries):
            found = _compare(ladder, profiles[entry], profiles[lower])
            if found is None:
                continue
            heavy, light = found
            yield Finding(
                name,
                level,
                f"the entry at {word} irritability, {entry}, demands {heavy:.1f} N·m and that at "
                f"{lower_word} irritability, {lower}, only {light:.1f} N·m: exchange them, or "
                f"enter lower at {word} irritability.",
                ladder.place("entries", word),
                exercises=(entry, lower),
                ladder=ladder.id,
                details={
                    "axis": "demand",
                    "from": light,
                    "to": heavy,
                    "limit": light,
                    "missing": 0,
                },
            )


def _compare(ladder: Ladder, entry: Profile, lower: Profile) -> tuple[float, float] | None:
    """The demands of both, where the first is more than the second."""
    demands = worked_on(lower, entry, ladder.works)
    if demands is None or demands[1] <= max(demands[0], 1.0) * ROUNDING:
        return None
    return demands[1], demands[0]
