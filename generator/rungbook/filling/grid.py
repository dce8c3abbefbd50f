"""The finite grid of candidates: settings laid on either exercise, three at most together."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from itertools import combinations

from rungbook.filling.setting import COARSEST, LAST_RESORT, Candidate, Setting, laid_on
from rungbook.ladder.profile import Profile
from rungbook.load.result import ExerciseLoad
from rungbook.model.exercise import Exercise

MOST_LEVERS = 3
MOST_CANDIDATES = 800  # of one number of levers on one level, laid on one exercise
MOST_FOR_A_SHORTER = 300  # the same, where there is a path already
UNSOUND = frozenset({"contact-off-surface", "not-in-balance"})
Compute = Callable[[Iterable[Exercise]], Mapping[str, ExerciseLoad]]


@dataclass(frozen=True, slots=True)
class Side:
    """One of the two exercises with the settings to lay on it; `harder` where it is unloaded."""

    base: Exercise
    profile: Profile
    settings: tuple[Setting, ...]
    harder: bool


@dataclass(frozen=True, slots=True)
class Batch:
    """Candidates to compute; `capped` where there would be more than the cap allows."""

    candidates: tuple[Candidate, ...]
    capped: bool


def combined(sides: Iterable[Side], level: int, levers: int, most: int = MOST_CANDIDATES) -> Batch:
    """Candidates with so many levers, at least one of them on this level and none finer."""
    found: list[Candidate] = []
    capped = False
    for side in sides:
        settings = [setting for setting in side.settings if _lies_on(setting, level)]
        groups = list(_groups(settings, level, levers))
        stride = -(-len(groups) // most)
        capped |= stride > 1
        found.extend(laid_on(side.base, group) for group in groups[:: max(1, stride)])
    return Batch(tuple(found), capped)


def _groups(settings: list[Setting], level: int, levers: int) -> Iterator[tuple[Setting, ...]]:
    for group in combinations(settings, levers):
        if _compatible(group) and any(setting.level == level for setting in group):
            yield group


def _compatible(group: tuple[Setting, ...]) -> bool:
    handles = [handle for one in group for handle in (one.handle, *one.excludes)]
    return len(set(handles)) == len(handles)


def _lies_on(setting: Setting, level: int) -> bool:
    if level == LAST_RESORT:
        return setting.level in (COARSEST, LAST_RESORT)
    return setting.level <= level


def sound(load: ExerciseLoad | None) -> bool:
    """Whether an exercise can be done as it stands: it balances, and its load is known."""
    return (
        load is not None
        and load.withheld is None
        and not any(fault.check in UNSOUND for fault in load.faults)
    )


def helps(side: Side, varied: Profile, axes: Iterable[str]) -> bool:
    """Whether a variation moves its exercise the right way on any of some axes."""
    harder, easier = (side.profile, varied) if side.harder else (varied, side.profile)
    values = {
        "demand": (_worst(easier), _worst(harder)),
        "bearing": (easier.bearing, harder.bearing),
        "impact": (easier.impact, harder.impact),
        "range": (easier.range_deg, harder.range_deg),
        "lengthening": (easier.lengthening_deg, harder.lengthening_deg),
        "speed": (easier.speed_deg_s, harder.speed_deg_s),
        "stability": (easier.stability, harder.stability),
        "volume": (easier.volume_s or 0.0, harder.volume_s or 0.0),
    }
    if easier.leads != harder.leads:
        return True
    return any(values[axis][0] < values[axis][1] - 1e-6 for axis in axes)


def _worst(one: Profile) -> float:
    return max(one.moments.values(), default=0.0)
