"""A dose for clinicians: one line, then the rows of its table."""

from __future__ import annotations

from rungbook.model.exercise import Dose
from rungbook.model.quantity import EffortRange, RepRange
from rungbook.model.span import ends
from rungbook.site.pages.words import number, seconds, seconds_from_to


def reps_text(reps: RepRange) -> str:
    """`12`, or `8 to 12`."""
    return str(reps.low) if reps.low == reps.high else f"{reps.low} to {reps.high}"


def effort_text(effort: EffortRange) -> str:
    """`4 to 6 of 10`."""
    low, high = number(effort.low, 1), number(effort.high, 1)
    return f"{low} of 10" if low == high else f"{low} to {high} of 10"


def sessions_text(per_week: float) -> str:
    """`3 per week`; whole days as `2 per day`."""
    low, high = ends(per_week)
    if low >= 7 and low % 7 == high % 7 == 0:
        return f"{_from_to(low / 7, high / 7)} per day"
    return f"{_from_to(low, high)} per week"


def _from_to(low: float, high: float) -> str:
    return number(high, 1) if low == high else f"{number(low, 1)} to {number(high, 1)}"


def _time(value_s: float) -> str:
    return seconds_from_to(*ends(value_s))


def _sets(sets: float) -> str:
    return _from_to(*ends(sets))


def _work(dose: Dose) -> str:
    if dose.reps and dose.hold:
        return f"{reps_text(dose.reps)} × {_time(dose.hold)} hold"
    if dose.reps:
        return reps_text(dose.reps)
    if dose.hold:
        return f"{_time(dose.hold)} hold"
    return _time(dose.duration) if dose.duration else ""


def dose_line(dose: Dose) -> str:
    """`3 × 12 · 2 s up, 1 s, 3 s down · 3 per week`: what one does, in one line."""
    work = _work(dose)
    up = f"{seconds(dose.up)} up" if dose.up else ""
    down = f"{seconds(dose.down)} down" if dose.down else ""
    pause = seconds(dose.pause) if dose.pause else ""
    parts = (
        f"{_sets(dose.sets)} × {work}"
        if dose.sets and work
        else f"{_sets(dose.sets)} {'set' if dose.sets == 1 else 'sets'}"
        if dose.sets
        else work,
        ", ".join(part for part in (up, pause, down) if part),
        sessions_text(dose.sessions) if dose.sessions else "",
    )
    return " · ".join(part for part in parts if part)


def dose_more(dose: Dose) -> str:
    """What else is written: `effort 4 to 6 of 10 · rest 60 s`."""
    parts = (
        f"effort {effort_text(dose.effort)}" if dose.effort else "",
        f"rest {seconds(dose.rest)}" if dose.rest else "",
    )
    return " · ".join(part for part in parts if part)


def dose_address(own: Dose | None, less: Dose | None) -> str:
    """What is other, as a sheet's address carries it: `sets:1,reps:4-6`; `up:` is emptied."""
    if own is None or less is None:
        return ""
    changed = []
    for key in ("sets", "reps", "hold", "duration", "up", "pause", "down", "rest", "sessions"):
        value = getattr(less, key)
        if value == getattr(own, key):
            continue
        if isinstance(value, RepRange):
            text = str(value.low) if value.low == value.high else f"{value.low}-{value.high}"
        else:
            text = "" if value is None else f"{value:g}"
        changed.append(f"{key}:{text}")
    return ",".join(changed)


def dose_rows(dose: Dose) -> tuple[tuple[str, str], ...]:
    """What is written, row by row: heading and value."""
    rows = (
        ("Sets", _sets(dose.sets) if dose.sets else ""),
        ("Repetitions", reps_text(dose.reps) if dose.reps else ""),
        ("Hold", _time(dose.hold) if dose.hold else ""),
        ("Duration", _time(dose.duration) if dose.duration else ""),
        ("Up (muscles shorten)", seconds(dose.up) if dose.up else ""),
        ("Pause", seconds(dose.pause) if dose.pause else ""),
        ("Down (muscles lengthen)", seconds(dose.down) if dose.down else ""),
        ("Rest between sets", seconds(dose.rest) if dose.rest else ""),
        ("Sessions", sessions_text(dose.sessions) if dose.sessions else ""),
        ("Perceived effort", effort_text(dose.effort) if dose.effort else ""),
    )
    return tuple((heading, value) for heading, value in rows if value)
