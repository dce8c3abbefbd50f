"""The state of the library: what its checks found, and which reviews are due."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import partial

from rungbook.checks.accepting import LAPSING, without_lapse
from rungbook.checks.registry import all_checks
from rungbook.model.finding import LEVELS, Finding
from rungbook.site.pages.catalogue import Catalogue
from rungbook.site.pages.exercise import review_due
from rungbook.site.pages.page import Later, Link, Page
from rungbook.site.pages.words import count, day

LEVEL_TITLES = {"error": "Errors", "warning": "Warnings", "note": "Notes"}


@dataclass(frozen=True, slots=True)
class FindingLine:
    """One finding, where to mend it and which page it concerns."""

    message: str
    place: str
    links: tuple[Link, ...]
    because: str = ""  # why it was accepted
    until: str = ""  # until when (ISO); the browser marks it once that day is past


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
    count: int
    checks: tuple[CheckFindings, ...]


@dataclass(frozen=True, slots=True)
class ReviewLine:
    """When an exercise was last reviewed; the browser marks those that are overdue."""

    link: Link
    date: str  # ISO
    shown: str
    by: str
    due: str  # ISO, or nothing where a review never ends
    standing: str  # what the review is worth


@dataclass(frozen=True, slots=True)
class State:
    """The state page."""

    levels: tuple[LevelFindings, ...]
    accepted: tuple[CheckFindings, ...]
    reviews: tuple[ReviewLine, ...]
    unreviewed: tuple[Link, ...]
    review_every: str
    exercises: str
    ladders: str
    missing: int


# Decided in the browser by its own day, so that the same library gives the same pages.
BY_THE_DAY = ("review-overdue", LAPSING)


def _line(catalogue: Catalogue, finding: Finding) -> FindingLine:
    until = str(finding.details.get("accepted_until", ""))
    return FindingLine(
        message=without_lapse(finding.message),
        place=str(finding.place),
        links=tuple(
            catalogue.exercise_link(key)
            for key in dict.fromkeys(finding.exercises)
            if key in catalogue.exercise_paths
        ),
        because=str(finding.details.get("because", "")),
        until=until,
    )


def _by_check(catalogue: Catalogue, findings: Iterable[Finding]) -> tuple[CheckFindings, ...]:
    groups: dict[str, list[FindingLine]] = {}
    for finding in findings:
        groups.setdefault(finding.check, []).append(_line(catalogue, finding))
    known = all_checks()
    return tuple(
        CheckFindings(
            check,
            known[check].explanation.summary if check in known else "",
            known[check].explanation.why if check in known else "",
            known[check].explanation.mend if check in known else "",
            tuple(lines),
        )
        for check, lines in sorted(groups.items())
    )


def _open_and_accepted(catalogue: Catalogue) -> tuple[list[Finding], list[Finding]]:
    """Findings by whether somebody accepted them, lapsed or not; the browser marks the lapsed."""
    analysis = catalogue.analysis
    everything = sorted((*analysis.findings, *analysis.accepted), key=Finding.sort_key)
    found = [finding for finding in everything if finding.check not in BY_THE_DAY]
    return (
        [finding for finding in found if "accepted_until" not in finding.details],
        [finding for finding in found if "accepted_until" in finding.details],
    )


def _levels(catalogue: Catalogue, findings: list[Finding]) -> Iterator[LevelFindings]:
    for level in LEVELS:
        these = [finding for finding in findings if finding.level == level]
        yield LevelFindings(level, LEVEL_TITLES[level], len(these), _by_check(catalogue, these))


def _reviews(catalogue: Catalogue) -> Iterator[ReviewLine]:
    """Oldest first."""
    found = [
        (exercise.reviewed, exercise)
        for exercise in catalogue.library.exercises.values()
        if exercise.reviewed
    ]
    for review, exercise in sorted(found, key=lambda item: (item[0].date, item[1].id)):
        yield ReviewLine(
            catalogue.exercise_link(exercise.id),
            review.date.isoformat(),
            day(review.date),
            review.by,
            review_due(catalogue, exercise),
            exercise.standing,
        )


def _model(catalogue: Catalogue) -> State:
    exercises = catalogue.library.exercises
    ladders = catalogue.measured.ladders.values()
    standing, accepted = _open_and_accepted(catalogue)
    return State(
        levels=tuple(_levels(catalogue, standing)),
        accepted=_by_check(catalogue, accepted),
        reviews=tuple(_reviews(catalogue)),
        unreviewed=tuple(
            catalogue.exercise_link(e.id) for e in exercises.values() if not e.reviewed
        ),
        review_every=catalogue.library.settings.review.every,
        exercises=count(len(exercises), "exercise"),
        ladders=count(len(ladders), "ladder"),
        missing=sum(catalogue.missing(ladder) for ladder in ladders),
    )


def pages(catalogue: Catalogue) -> Iterator[Page]:
    """The state page."""
    yield Page(
        path="state.html",
        kind="state",
        title="State of the library",
        description="Open findings, accepted findings and reviews.",
        updated=catalogue.newest_review,
        model=Later(partial(_model, catalogue)),
    )
