"""The state of the library: what its checks found, and which reviews are due."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from rungbook.checks.registry import all_checks
from rungbook.model.finding import LEVELS, Finding
from rungbook.site.catalogue import Catalogue
from rungbook.site.exercise import review_months
from rungbook.site.page import Link, Page
from rungbook.site.words import count, day

LEVEL_TITLES = {"error": "Errors", "warning": "Warnings", "note": "Notes"}


@dataclass(frozen=True, slots=True)
class FindingLine:
    """One finding, where to mend it and which page it concerns."""

    message: str
    place: str
    links: tuple[Link, ...]
    because: str = ""  # why it was accepted


@dataclass(frozen=True, slots=True)
class CheckFindings:
    """What one check found, with its explanation."""

    check: str
    summary: str
    why: str
    mend: str
    findings: tuple[FindingLine, ...]


@dataclass(frozen=True, slots=True)
class LevelFindings:
    """The findings of one level."""

    level: str
    title: str
    count: str
    checks: tuple[CheckFindings, ...]


@dataclass(frozen=True, slots=True)
class ReviewLine:
    """When an exercise was last reviewed; the browser marks those that are overdue."""

    link: Link
    date: str  # ISO
    shown: str
    by: str


@dataclass(frozen=True, slots=True)
class State:
    """The state page."""

    levels: tuple[LevelFindings, ...]
    accepted: tuple[CheckFindings, ...]
    reviews: tuple[ReviewLine, ...]
    unreviewed: tuple[Link, ...]
    review_every_months: int
    exercises: str
    ladders: str
    missing: int


def _explanations() -> dict[str, tuple[str, str, str]]:
    found = {}
    for name, check in all_checks().items():
        told = check.explanation
        found[name] = (told.summary, told.why, told.mend)
    return found


def _by_check(catalogue: Catalogue, findings: tuple[Finding, ...]) -> tuple[CheckFindings, ...]:
    told = _explanations()
    groups: dict[str, list[FindingLine]] = {}
    for finding in findings:
        groups.setdefault(finding.check, []).append(
            FindingLine(
                message=finding.message,
                place=str(finding.place),
                links=tuple(
                    catalogue.exercise_link(key)
                    for key in finding.exercises
                    if key in catalogue.exercise_paths
                ),
                because=str(finding.details.get("because", "")),
            )
        )
    return tuple(
        CheckFindings(check, *told.get(check, ("", "", "")), tuple(lines))
        for check, lines in sorted(groups.items())
    )


def pages(catalogue: Catalogue) -> Iterator[Page]:
    """The state page."""
    exercises = catalogue.library.exercises
    reviewed = sorted(
        (e for e in exercises.values() if e.reviewed),
        key=lambda e: (e.reviewed.date if e.reviewed else "", e.id),
    )
    ladders = catalogue.measured.ladders.values()
    yield Page(
        path="state.html",
        kind="state",
        title="State of the library",
        description="Open findings, accepted findings and reviews.",
        updated=catalogue.newest_review,
        model=State(
            levels=tuple(
                LevelFindings(
                    level,
                    LEVEL_TITLES[level],
                    count(catalogue.analysis.counts[level], level),
                    _by_check(catalogue, tuple(f for f in catalogue.findings if f.level == level)),
                )
                for level in LEVELS
            ),
            accepted=_by_check(catalogue, catalogue.analysis.accepted),
            reviews=tuple(
                ReviewLine(
                    catalogue.exercise_link(e.id),
                    e.reviewed.date.isoformat(),
                    day(e.reviewed.date),
                    e.reviewed.by,
                )
                for e in reviewed
                if e.reviewed
            ),
            unreviewed=tuple(
                catalogue.exercise_link(e.id) for e in exercises.values() if not e.reviewed
            ),
            review_every_months=review_months(catalogue),
            exercises=count(len(exercises), "exercise"),
            ladders=count(len(ladders), "ladder"),
            missing=sum(step.missing for ladder in ladders for step in ladder.steps),
        ),
    )
