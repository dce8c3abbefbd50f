"""Joints that work hard beside what an exercise names, and muscles that work instead of these.

By share of strength at that angle where a curve is published; elsewhere by relative strengths
(relative-strength.yml), orders of magnitude from memory: enough to say what works hard, never a
share to dose by.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from rungbook.load.curves import arrays_of
from rungbook.load.demand import QUIET_NM
from rungbook.load.kind_of_work import nothing_nm
from rungbook.load.result import Array, Demand, ExerciseLoad
from rungbook.load.strength import strengths_at
from rungbook.model.exercise import Exercise
from rungbook.model.kind_of_work import NO_WORK, KindOfWork
from rungbook.model.movement import MIDLINE_JOINTS, MOVEMENTS, Action
from rungbook.model.quantity import parse_action

HARD = 0.3  # of strength: more is hard work; common practice, no source
MOST_TOLD = 6


@dataclass(frozen=True, slots=True)
class OtherWork:
    """What one action that the exercise does not name has to do: N·m, and of its strength."""

    action: str
    peak_nm: float
    share: float
    kind: KindOfWork

    @property
    def instead_in_words(self) -> str:
        """Of muscles that work instead of those that are named."""
        muscles = self.action.replace("-", " ")
        return f"gravity turns round: {muscles} works instead, up to {self.peak_nm:.0f} N·m"


def works_hard(load: ExerciseLoad, exercise: Exercise) -> tuple[OtherWork, ...]:
    """Actions that take a large share of their strength and are not named, hardest first."""
    if exercise.passive or load.withheld is not None or not load.kinds:
        return ()
    named = set(map(str, exercise.works))
    found = []
    for name, kind in load.kinds.items():
        action = parse_action(name)
        if name not in named and kind.kind not in ("none", "passive") and action.joint != "toes":
            share, peak = _worst(load, action)
            found.append(OtherWork(name, peak, share, kind))
    hard = sorted(
        (one for one in found if one.share >= HARD), key=lambda one: (-one.share, one.action)
    )
    return tuple(hard[:MOST_TOLD])


def hard_axes(load: ExerciseLoad) -> frozenset[str]:
    """Joint axes by name about which some muscles work hard, either way."""
    found: set[str] = set()
    for way in load.ways:
        shares = _shares(load, tuple(way), *arrays_of(way))
        hard = np.flatnonzero((shares >= HARD).any(axis=(0, 2)))
        names = tuple(way)
        found.update(names[row] for row in hard.tolist())
    return frozenset(name for name in found if " toes " not in f" {name} ")


def _shares(load: ExerciseLoad, names: tuple[str, ...], angles: Array, moments: Array) -> Array:
    """(2, rows, 11) Shares of strength about each axis, and against it."""
    most = strengths_at(names, angles, load.person)
    return np.maximum(np.stack([moments, -moments]), 0.0) / most


def _worst(load: ExerciseLoad, action: Action) -> tuple[float, float]:
    """Worst share of strength and peak N·m of an action, over every way."""
    side = "" if action.joint in MIDLINE_JOINTS else "other " if action.other_side else "working "
    name, direction = f"{side}{action.joint} {action.axis}", 0 if action.sign > 0 else 1
    share = peak = 0.0
    for way in load.ways:
        if name in way:
            curve = way[name]
            angles, moments = curve.angle_deg[None], curve.moment_nm[None]
            share = max(share, float(_shares(load, (name,), angles, moments)[direction].max()))
            peak = max(peak, float((action.sign * moments).max()))
    return share, peak


def reversed_work(load: ExerciseLoad, demand: Demand) -> OtherWork | None:
    """The opposite muscles, where gravity turned round and those named never have to act."""
    action = demand.works
    if demand.peak_nm > QUIET_NM or demand.basis == "measured" or load.withheld is not None:
        return None
    opposite = opposite_of(action)
    if opposite is None:
        return None
    share, peak = _worst(load, opposite)
    if peak <= nothing_nm(load.person, opposite, named=False):
        return None
    return OtherWork(str(opposite), peak, share, load.kind(opposite) or NO_WORK)


def opposite_of(action: Action) -> Action | None:
    """The action about the same axis the other way; None where it has no name of its own."""
    wanted = (action.axis, -action.sign)
    names = (name for name, found in MOVEMENTS[action.joint].items() if found == wanted)
    name = next(names, None)
    return None if name is None else Action(action.joint, name, action.other_side)
