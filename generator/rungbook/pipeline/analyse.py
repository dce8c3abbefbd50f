"""Read, compute, check: once, in that order."""

from __future__ import annotations

import datetime
import pathlib
from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass, field

from rungbook.checks.registry import examine
from rungbook.ladder.measure import measure
from rungbook.ladder.measured import MeasuredLibrary
from rungbook.model.finding import LEVELS, Finding, Level
from rungbook.model.library import Library
from rungbook.model.place import base_of
from rungbook.pipeline.based import own_findings
from rungbook.pipeline.checked import count
from rungbook.pipeline.loads import loads_of
from rungbook.reading.bases import list_whole
from rungbook.reading.read import read_ground, read_library, read_records

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
    bases: tuple[Analysis, ...] = field(default=())  # of what the library builds on

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
) -> Analysis:
    """Analyse the library in the folder `root`, as on the day `today`.

    `progress` is called with the name of each phase as it begins; `only` and `skip` are names of
    checks. Loads that an earlier run kept are not computed again.

    Raises:
        rungbook.reading.read.NoLibrary: the folder does not exist or cannot be listed.
    """
    (progress or _silent)("reading")
    library = read_records(read_ground(root, list_whole(root))).library
    analysis = analyse_library(library, today, progress, only, skip)
    return on_its_bases(analysis, today, only=only, skip=skip)


def on_its_bases(
    analysis: Analysis,
    today: datetime.date,
    before: Analysis | None = None,
    only: Collection[str] = (),
    skip: Collection[str] = (),
) -> Analysis:
    """With its own findings alone: see `rungbook.pipeline.based`.

    `before` is an earlier analysis of the same library.

    Raises:
        rungbook.reading.read.NoLibrary: a base does not exist or cannot be listed.
    """
    bases = analysis.measured.library.bases
    if not bases:
        return analysis
    former = before.bases if before and len(before.bases) == len(bases) else (None,) * len(bases)
    analysed = tuple(
        analyse_library(read_library(base.root), today, None, only, skip, known)
        for base, known in zip(bases, former, strict=True)
    )
    alone = dict(zip(bases, analysed, strict=True))
    findings = own_findings(analysis.findings, alone)
    accepted = tuple(one for one in analysis.accepted if not base_of(one.place.file))
    return Analysis(analysis.measured, findings, count(findings), accepted, analysed)


def analyse_library(
    library: Library,
    today: datetime.date,
    progress: Progress | None = None,
    only: Collection[str] = (),
    skip: Collection[str] = (),
    before: Analysis | None = None,
    numbers_only: bool = False,
) -> Analysis:
    """Analyse a library that was read; see `analyse`.

    What nothing has changed of since `before`, an earlier analysis, is taken from there. With
    `numbers_only` loads may have no skeletons and no coefficients.
    """
    say = progress or _silent
    former = before.measured if before else None
    say("computing loads")
    loads = loads_of(library, former.loads if former else None, numbers_only)
    say("measuring steps")
    measured = measure(library, loads, former)
    say("checking")
    verdict = examine(measured, today, only, skip)
    return Analysis(measured, verdict.findings, count(verdict.findings), verdict.accepted)
