"""An exercise that was never reviewed, or not for too long.

Knowledge moves on, and so do the people who wrote the library. `review: {every: 24 months}` in
`library.yml` says how long a review is good for.

Mend it by reading the exercise again and running `rungbook review` with its id and your role.

Fails:

    [exercises/leg/squat.md]
    title: Squat
    reviewed: {date: 2001-01-01, by: Senior physiotherapist}

Passes:

    [library.yml]
    review: {every: 9000 months}
    [exercises/leg/squat.md]
    title: Squat
    reviewed: {date: 2001-01-01, by: Senior physiotherapist}
"""

from __future__ import annotations

import calendar
import datetime
import re
from collections.abc import Iterator

from rungbook.ladder.measured import MeasuredLibrary
from rungbook.model.exercise import Review
from rungbook.model.finding import Finding, Level

name = "review-overdue"
level: Level = "warning"


def due(reviewed: datetime.date, every: str) -> datetime.date | None:
    """The last day a review is good for; None where it never ends, or `every` is no time."""
    match = re.fullmatch(r"(\d+) (day|week|month|year)s?", every.strip())
    if match is None:
        return None
    count, unit = int(match[1]), match[2]
    try:
        if unit in ("day", "week"):
            return reviewed + datetime.timedelta(days=count * (7 if unit == "week" else 1))
        years, month = divmod(reviewed.month - 1 + count * (12 if unit == "year" else 1), 12)
        last = calendar.monthrange(reviewed.year + years, month + 1)[1]
        return datetime.date(reviewed.year + years, month + 1, min(reviewed.day, last))
    except (OverflowError, ValueError):
        return None


def _fault(review: Review | None, every: str, today: datetime.date) -> str | None:
    if review is None:
        return "was never reviewed"
    if review.date > today:
        return f"says it was reviewed on {review.date}, which is still to come"
    last = due(review.date, every)
    if last is not None and last < today:
        return f"was to be reviewed again by {last}"
    return None


def check(measured: MeasuredLibrary, today: datetime.date) -> Iterator[Finding]:
    """One finding for each exercise without a review that is good on the day `today`."""
    every = measured.library.settings.review.every
    for exercise in measured.library.exercises.values():
        fault = _fault(exercise.reviewed, every, today)
        if fault is not None:
            path = ("title",) if exercise.reviewed is None else ("reviewed", "date")
            yield Finding(
                name,
                level,
                f"{exercise.id} {fault}: read it, then rungbook review {exercise.id} --by ROLE",
                exercise.place(*path),
                exercises=(exercise.id,),
            )
