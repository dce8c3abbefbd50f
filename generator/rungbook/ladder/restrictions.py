"""What a surgeon or a protocol orders, judged on an exercise: the one place where it is.

Postures are the settled ones, set-up included: every phase counts, on either side, since the
ordered side may stand as well as work. Every action that works is judged, whatever the exercise
is about. What is not known never fits.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from rungbook.ladder.angles_at import SETTLING, SIDES, angles_toward
from rungbook.ladder.crossing import END, first_crossing
from rungbook.ladder.row_limits import action_verdict, bearing_verdict
from rungbook.ladder.verdict import FITS, Verdict, against, strictest
from rungbook.load.result import ExerciseLoad
from rungbook.model.exercise import Exercise
from rungbook.model.quantity import AngleLimit
from rungbook.model.restriction import Restriction, RestrictionRow

Never = Mapping[str, Mapping[str, AngleLimit]]
UNKNOWN = "its load is not known"


@dataclass(frozen=True, slots=True)
class Order:
    """What one part of a restriction says of an exercise, and the row that says when it holds."""

    row: RestrictionRow | None  # None: at all times
    verdict: Verdict

    def in_force(self, weeks: float | None, lifted: bool) -> bool:
        return self.row is None or self.row.in_force(weeks, lifted)


def fits(
    exercise: Exercise,
    load: ExerciseLoad | None,
    restriction: Restriction,
    weeks: float | None = None,
    lifted: bool = False,
) -> tuple[str, ...]:
    """Why the whole exercise does not fit an order, in words; nothing where it fits.

    Args:
        weeks: since the operation; not said, the strictest row holds.
        lifted: what only the surgeon or a criterion ends has been ended.
    """
    found = orders(exercise, load, restriction)
    verdicts = (one.verdict for one in found if one.in_force(weeks, lifted))
    return tuple(dict.fromkeys(one.words for one in verdicts if not one.fits))


def judged(
    exercise: Exercise,
    load: ExerciseLoad | None,
    restriction: Restriction,
    weeks: float | None = None,
    lifted: bool = False,
) -> Verdict:
    """All that is in force of an order: why, and how far the movement may go to keep it."""
    found = orders(exercise, load, restriction)
    return strictest(one.verdict for one in found if one.in_force(weeks, lifted))


def orders(
    exercise: Exercise, load: ExerciseLoad | None, restriction: Restriction
) -> Iterator[Order]:
    """Every part of a restriction, in force or not, with what it says of an exercise."""
    if load is None or load.kinds is None:
        if restriction.never or restriction.rows:
            yield Order(None, against(UNKNOWN))
        return
    groups: dict[object, list[RestrictionRow]] = {}
    for row in restriction.rows:
        if row.action is not None:
            groups.setdefault((row.action, row.weeks, row.ends), []).append(row)
        if row.bearing is not None:
            yield Order(row, bearing_verdict(load, row))
    for rows in groups.values():
        yield Order(rows[0], action_verdict(exercise, load, rows))
    for never in restriction.never:
        yield Order(None, angle_verdict(exercise, load, never))


def angle_verdict(exercise: Exercise, load: ExerciseLoad | None, never: Never) -> Verdict:
    """What angles that must not be passed say; all of one entry must be passed at once."""
    limits = [
        (joint, movement, limit)
        for joint, movements in never.items()
        for movement, limit in movements.items()
    ]
    return strictest(_on_side(exercise, load, side, limits) for side in SIDES)


def _on_side(
    exercise: Exercise,
    load: ExerciseLoad | None,
    side: str,
    limits: list[tuple[str, str, AngleLimit]],
) -> Verdict:
    angles = [angles_toward(exercise, load, side, joint, name) for joint, name, _ in limits]
    found = [FITS]
    for way in zip(*angles, strict=False):
        excess = [
            angle - limit.degrees if limit.relation == "over" else limit.degrees - angle
            for angle, (_, _, limit) in zip(way, limits, strict=True)
        ]
        place = first_crossing(excess, SETTLING)
        if place < END:
            joint, name, limit = limits[0]
            far = float(way[0].max() if limit.relation == "over" else way[0].min())
            words = f"its {joint} {name} goes to {far:.0f}°, {limit}° is not allowed"
            found.append(Verdict(words, place))
    return strictest(found)


def restrictions_on(
    ids: Iterable[str], known: Mapping[str, Restriction]
) -> tuple[tuple[str, Restriction], ...]:
    """The known restrictions among some keys, each once, in their order."""
    return tuple((key, known[key]) for key in dict.fromkeys(ids) if key in known)
