"""A dose in the patient's words. `scripts/patient_dose.js` says the same, word for word."""

from __future__ import annotations

from rungbook.model.exercise import Dose
from rungbook.model.set_up import TIMES, SetUp
from rungbook.model.span import Span, ends
from rungbook.site.sheet.messages import Messages


def duration_words(seconds: float, say: Messages) -> str:
    """`30 seconds`, `1 minute 30 seconds`; under 90 s in seconds."""
    if isinstance(seconds, Span):
        if seconds.high < 90:
            return say("time.seconds", n=seconds)
        if seconds.low % 60 == seconds.high % 60 == 0:
            return say("time.minutes", n=seconds.times(1 / 60))
        low, high = duration_words(seconds.low, say), duration_words(seconds.high, say)
        return say("dose.from-to", low=low, high=high)
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
    a_day = _a_day(sessions)
    return say("dose.per-week", n=sessions) if a_day is None else say("dose.per-day", n=a_day)


def _a_day(sessions: float) -> float | None:
    """Whole sessions a day; None where they are not."""
    if any(one % 7 for one in ends(sessions)):
        return None
    return sessions.times(1 / 7) if isinstance(sessions, Span) else sessions / 7


def mass_words(mass_kg: float, say: Messages) -> str:
    """`2.5 kg`."""
    return f"{say.number(mass_kg)} kg"


def height_words(height_m: float, say: Messages) -> str:
    """`48 cm`."""
    return f"{say.number(100 * height_m, 0)} cm"


def set_up_numerals(own: SetUp, say: Messages) -> str:
    """`2 kg + 2 kg · 48 cm`; "" where nothing is set."""
    parts = []
    if own.weight_kg:
        parts.append(" + ".join([mass_words(own.weight_kg, say)] * own.pieces))
    if own.height_m and own.height_of != "hands":
        parts.append(height_words(own.height_m, say))
    return " \N{MIDDLE DOT} ".join(parts)


def retitled(title: str, written: SetUp, own: SetUp, say: Messages) -> str:
    """A title that says the weight or the height, with what is set for the patient."""
    if written.weight_kg and own.weight_kg:
        title = title.replace(mass_words(written.weight_kg, say), mass_words(own.weight_kg, say))
    if written.height_m and own.height_m:
        title = title.replace(height_words(written.height_m, say), height_words(own.height_m, say))
    return title


def _set_up_lines(own: SetUp, say: Messages) -> list[str]:
    lines = []
    if own.weight_kg:
        key = "setup.weight" if own.pieces == 1 else "setup.weight-each"
        lines.append(say(key, weight=mass_words(own.weight_kg, say)))
    if own.height_m:
        lines.append(say(f"setup.height-{own.height_of}", height=height_words(own.height_m, say)))
    return lines


def arc_words(own: SetUp, say: Messages) -> str:
    """How far to go, where that is not the whole way."""
    return say("setup.arc", arc=say(f"arc.{own.share}")) if own.share < 100 else ""


def patient_numbers(dose: Dose | None, own: SetUp, say: Messages) -> dict[str, str]:
    """What `{{hold}}`, `{{weight}}` … stand for, with unit and plural."""
    found: dict[str, str] = {}
    if dose is not None:
        found = {name: duration_words(time, say) for name in TIMES if (time := getattr(dose, name))}
        if dose.sets:
            found["sets"] = say("dose.sets", n=dose.sets)
        if dose.reps:
            low, high = dose.reps.low, dose.reps.high
            same = low == high
            found["reps"] = (
                say("dose.reps", n=low) if same else say("dose.reps-range", low=low, high=high)
            )
    if own.weight_kg:
        found["weight"] = mass_words(own.weight_kg, say)
    if own.height_m:
        found["height"] = height_words(own.height_m, say)
    if own.arc:
        found["arc"] = say(f"arc.{own.share}")
    return found


def dose_numerals(dose: Dose | None, say: Messages) -> str:
    """`3 × 10`, `4 × 30 s`: the amount in figures; "" where none is written."""
    if dose is None:
        return ""
    if dose.reps is not None:
        what = _figures(dose.reps.low, dose.reps.high, say)
    elif dose.hold or dose.duration:
        low, high = ends(dose.hold or dose.duration or 0.0)
        whole = low >= 90 and low % 60 == high % 60 == 0
        seconds = f"{_figures(low, high, say)} s"
        what = f"{_figures(low / 60, high / 60, say)} min" if whole else seconds
    else:
        return ""
    return f"{_figures(*ends(dose.sets or 1), say)} \N{MULTIPLICATION SIGN} {what}"


def _figures(low: float, high: float, say: Messages) -> str:
    if low == high:
        return say.number(low)
    return f"{say.number(low)}\N{EN DASH}{say.number(high)}"


def how_often(dose: Dose | None, say: Messages) -> str:
    """`3 times a week.`"""
    return _often(dose.sessions, say) if dose is not None and dose.sessions else ""


def dose_lines(dose: Dose | None, say: Messages, own: SetUp | None = None) -> tuple[str, ...]:
    """One sentence a line: amount, what is set up, speed, rest, how often, effort."""
    set_up = _set_up_lines(own, say) if own else []
    if dose is None or not any(getattr(dose, key) for key in Dose.model_fields):
        return (say("dose.none"), *set_up)
    lines = [*_amount(dose, say), *set_up]
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
    return tuple(lines)
