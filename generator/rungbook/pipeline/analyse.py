"""Read, compute, check: once, in that order."""

from __future__ import annotations

import datetime
import pathlib
from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass, field

from rungbook.checks.registry import examine
from rungbook.ladder.measure import measure
from rungbook.ladder.measured import MeasuredLibrary
from rungbook.load.compute import compute_loads
from rungbook.load.result import ExerciseLoad
from rungbook.model.exercise import Exercise
from rungbook.model.finding import LEVELS, Finding, Level
from rungbook.model.library import Library
from rungbook.pipeline.checked import count
from rungbook.pipeline.kept_loads import BEARS_ON_LOAD, kept_loads, same_ground
from rungbook.reading.read import read_library

Progress = Callable[[str], None]


@dataclass(frozen=True)
class Analysis:
    """A library with all that was computed and found.

    `findings` stand; `accepted` were accepted in place, each with its reason in
    `details["because"]`. `counts` has every level.
    """

    measured: MeasuredLibrary
    findings: tuple[Finding, ...]
    counts: Mapping[Level, int]
    accepted: tuple[Finding, ...] = field(default=())

    def worst_at_least(self, level: Level) -> bool:
        """Whether any finding is at `level` or above it."""
        return any(self.counts[worse] for worse in LEVELS[: LEVELS.index(level) + 1])


def _silent(phase: str) -> None:
    return None


def analyse(
    root: pathlib.Path,
    today: datetime.date,
    progress: Progress | None = None,
    only: Collection[str] = (),
    skip: Collection[str] = (),
    before: Analysis | None = None,
    numbers_only: bool = False,
    keep: bool = False,
) -> Analysis:
    """Analyse the library in the folder `root`, as on the day `today`.

    `progress` is called with the name of each phase as it begins; `only` and `skip` are names of
    checks. Loads are taken from `before`, an earlier analysis, where nothing they depend on has
    changed; with `keep`, also from what an earlier run kept, and they are kept for the next one.
    With `numbers_only` the loads have no skeletons and no coefficients, and none are kept.

    Raises:
        rungbook.reading.read.NoLibrary: the folder does not exist or cannot be listed.
    """
    (progress or _silent)("reading")
    library = read_library(root)
    return analyse_library(library, today, progress, only, skip, before, numbers_only, keep)


def analyse_library(
    library: Library,
    today: datetime.date,
    progress: Progress | None = None,
    only: Collection[str] = (),
    skip: Collection[str] = (),
    before: Analysis | None = None,
    numbers_only: bool = False,
    keep: bool = False,
) -> Analysis:
    """Analyse a library that was read; see `analyse`."""
    say = progress or _silent
    say("computing loads")
    loads = _loads(library, before.measured if before else None, numbers_only, keep)
    say("measuring steps")
    measured = measure(library, loads, before.measured if before else None)
    say("checking")
    verdict = examine(measured, today, only, skip)
    return Analysis(measured, verdict.findings, count(verdict.findings), verdict.accepted)


def _loads(
    library: Library, before: MeasuredLibrary | None, numbers_only: bool, keep: bool
) -> Mapping[str, ExerciseLoad]:
    exercises = library.exercises
    if before is None or not same_ground(library, before.library):
        if keep and not numbers_only:
            return kept_loads(library)
        return compute_loads(exercises.values(), library, numbers_only=numbers_only)
    known = before.library.exercises
    same = {id for id in exercises if id in before.loads and _alike(exercises[id], known[id])}
    changed = [one for id, one in exercises.items() if id not in same]
    fresh = compute_loads(changed, library, numbers_only=numbers_only)
    return {id: before.loads[id] if id in same else fresh[id] for id in exercises}


def _alike(one: Exercise, other: Exercise) -> bool:
    return all(getattr(one, name) == getattr(other, name) for name in BEARS_ON_LOAD)
