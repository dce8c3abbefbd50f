"""A dose for clinicians: one line, then the rows of its table."""

from __future__ import annotations

from rungbook.model.exercise import Dose
from rungbook.model.quantity import EffortRange, RepRange
from rungbook.site.pages.words import count, number, seconds


def reps_text(reps: RepRange) -> str:
    """`12`, or `8 to 12`."""
    return str(reps.low) if reps.low == reps.high else f"{reps.low} to {reps.high}"


def effort_text(effort: EffortRange) -> str:
    """`4 to 6 of 10`."""
    low, high = number(effort.low, 1), number(effort.high, 1)
    return f"{low} of 10" if low == high else f"{low} to {high} of 10"


def sessions_text(per_week: float) -> str:
    """`3 per week`; whole days as `2 per day`."""
    if per_week >= 7 and per_week % 7 == 0:
        return f"{number(per_week / 7)} per day"
    return f"{number(per_week, 1)} per week"


def _work(dose: Dose) -> str:
    if dose.reps and dose.hold:
        return f"{reps_text(dose.reps)} × {seconds(dose.hold)} hold"
    if dose.reps:
        return reps_text(dose.reps)
    if dose.hold:
        return f"{seconds(dose.hold)} hold"
    return seconds(dose.duration) if dose.duration else ""


def dose_line(dose: Dose) -> str:
    """`3 sets of 12 · up 2 s, pause 1 s, down 3 s · rest 60 s · 3 per week · effort 4 of 10`."""
    work = _work(dose)
    tempo = ", ".join(
        f"{name} {seconds(value)}"
        for name, value in (("up", dose.up), ("pause", dose.pause), ("down", dose.down))
        if value
    )
    sets = count(dose.sets, "set") if dose.sets else ""
    parts = (
        f"{sets} of {work}" if sets and work else sets or work,
        tempo,
        f"rest {seconds(dose.rest)}" if dose.rest else "",
        sessions_text(dose.sessions) if dose.sessions else "",
        f"effort {effort_text(dose.effort)}" if dose.effort else "",
    )
    return " · ".join(part for part in parts if part)


def dose_rows(dose: Dose) -> tuple[tuple[str, str], ...]:
    """What is written, row by row: heading and value."""
    rows = (
        ("Sets", str(dose.sets) if dose.sets else ""),
        ("Repetitions", reps_text(dose.reps) if dose.reps else ""),
        ("Hold", seconds(dose.hold) if dose.hold else ""),
        ("Duration", seconds(dose.duration) if dose.duration else ""),
        ("Up (muscles shorten)", seconds(dose.up) if dose.up else ""),
        ("Pause", seconds(dose.pause) if dose.pause else ""),
        ("Down (muscles lengthen)", seconds(dose.down) if dose.down else ""),
        ("Rest between sets", seconds(dose.rest) if dose.rest else ""),
        ("Sessions", sessions_text(dose.sessions) if dose.sessions else ""),
        ("Perceived effort", effort_text(dose.effort) if dose.effort else ""),
    )
    return tuple((heading, value) for heading, value in rows if value)
