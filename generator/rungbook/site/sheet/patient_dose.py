"""A dose in the patient's words. `scripts/patient_dose.js` says the same, word for word."""

from __future__ import annotations

from rungbook.model.exercise import Dose
from rungbook.site.sheet.messages import Messages


def duration_words(seconds: float, say: Messages) -> str:
    """`30 seconds`, `1 minute 30 seconds`; under 90 s in seconds."""
    if seconds < 90:
        return say("time.minutes", n=1) if seconds == 60 else say("time.seconds", n=seconds)
    minutes, rest = divmod(seconds, 60)
    if rest == 0:
        return say("time.minutes", n=minutes)
    return say(
        "time.minutes-seconds",
        minutes=say("time.minutes", n=minutes),
        seconds=say("time.seconds", n=rest),
    )


def from_to(low: float, high: float, say: Messages) -> str:
    """`4`, or `4 to 6`."""
    if low == high:
        return say.number(low)
    return say("dose.from-to", low=say.number(low), high=say.number(high))


def _amount(dose: Dose, say: Messages) -> list[str]:
    sets = dose.sets or 1
    if dose.reps is not None:
        low, high = dose.reps.low, dose.reps.high
        reps = (
            say("dose.reps", n=low) if low == high else say("dose.reps-range", low=low, high=high)
        )
        lines = [say("dose.sets-of", n=sets, sets=say("dose.sets", n=sets), what=reps)]
        if dose.hold:
            lines.append(say("dose.hold-each", time=duration_words(dose.hold, say)))
        return lines
    if dose.hold:
        return [say("dose.hold", n=sets, time=duration_words(dose.hold, say))]
    if dose.duration:
        return [say("dose.duration", n=sets, time=duration_words(dose.duration, say))]
    return [say("dose.sets", n=sets) + "."] if dose.sets else []


def _often(sessions: float, say: Messages) -> str:
    per_day = sessions / 7
    if per_day == int(per_day):
        return say("dose.per-day", n=per_day)
    return say("dose.per-week", n=sessions)


def dose_numerals(dose: Dose | None, say: Messages) -> str:
    """`3 × 10`, `4 × 30 s`: the amount in figures; "" where none is written."""
    if dose is None:
        return ""
    if dose.reps is not None:
        low, high = say.number(dose.reps.low), say.number(dose.reps.high)
        what = low if low == high else f"{low}\N{EN DASH}{high}"
    elif dose.hold or dose.duration:
        seconds = dose.hold or dose.duration or 0.0
        whole = seconds >= 90 and seconds % 60 == 0
        what = f"{say.number(seconds / 60)} min" if whole else f"{say.number(seconds)} s"
    else:
        return ""
    return f"{dose.sets or 1} \N{MULTIPLICATION SIGN} {what}"


def how_often(dose: Dose | None, say: Messages) -> str:
    """`3 times a week.`"""
    return _often(dose.sessions, say) if dose is not None and dose.sessions else ""


def dose_lines(dose: Dose | None, say: Messages) -> tuple[str, ...]:
    """One sentence a line: amount, speed, rest, how often, effort."""
    if dose is None:
        return (say("dose.none"),)
    lines = _amount(dose, say)
    tempo = (("up", dose.up), ("pause", dose.pause), ("down", dose.down))
    parts = [say(f"dose.{key}", time=duration_words(time, say)) for key, time in tempo if time]
    if parts:
        lines.append(say("dose.tempo", parts=", ".join(parts)))
    if dose.rest and (dose.sets or 1) > 1:
        lines.append(say("dose.rest", time=duration_words(dose.rest, say)))
    if dose.sessions:
        lines.append(_often(dose.sessions, say))
    if dose.effort:
        lines.append(say("dose.effort", effort=from_to(dose.effort.low, dose.effort.high, say)))
    return tuple(lines) or (say("dose.none"),)
