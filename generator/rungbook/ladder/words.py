"""Steps in the words of a clinician: for findings and the command line."""

from __future__ import annotations

from rungbook.ladder.limits import AXES
from rungbook.ladder.step import AxisStep, Step
from rungbook.ladder.steps import TOLERANCE

STABILITY = (
    "lying, leaning back or steadied by the hands", "two feet, sitting or all fours",
    "a narrow base", "one leg", "one leg on an unstable surface",
)  # fmt: skip
IMPACT = ("none", "both feet", "one foot")
TITLES = {
    "demand": "load",
    "bearing": "weight borne",
    "impact": "impact",
    "range": "range",
    "lengthening": "lengthening",
    "speed": "speed",
    "stability": "balance",
    "volume": "time under tension",
    "changes": "kinds of change at once",
    "elsewhere": "load elsewhere",
}
GROUPS = {"load": "load", "motion": "motion", "position": "balance", "dose": "dose"}
COUNTS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")


def counted(count: int, what: str) -> str:
    """`two rungs`, `one rung`, `12 rungs`."""
    word = COUNTS[count] if count < len(COUNTS) else str(count)
    return f"{word} {what}" if count == 1 else f"{word} {what}s"


def value_in_words(axis: str, value: float, elsewhere: str | None = None) -> str:
    """A value on an axis with its unit."""
    if axis in ("stability", "impact"):
        words = STABILITY if axis == "stability" else IMPACT
        return words[min(max(round(value), 0), len(words) - 1)]
    if axis == "bearing" or (axis == "elsewhere" and (elsewhere or "").startswith("weight on")):
        return f"{100 * value:.0f} % of body weight"
    if axis in ("demand", "elsewhere"):
        return f"{value:.1f} N·m"
    if axis in ("range", "lengthening"):
        return f"{value:.0f}°"
    if axis == "volume":
        return f"{value:.0f} s a week"
    return f"{value:.0f} {AXES[axis].unit}"


def limit_in_words(axis: str, limit: float) -> str:
    """How far one step may go on an axis: `1.5 times`, `30° more`, `one class more`."""
    if AXES[axis].kind == "ratio":
        return f"{limit:g} times"
    if axis == "bearing":
        return f"{100 * limit:.0f} % of body weight more"
    if axis in ("range", "lengthening"):
        return f"{limit:g}° more"
    return f"{counted(round(limit), 'class').replace('classs', 'classes')} more"


def axis_in_words(axis: str, one: AxisStep, elsewhere: str | None = None) -> str:
    """`load from 12.0 N·m to 25.0 N·m`."""
    title = elsewhere if axis == "elsewhere" and elsewhere else TITLES[axis]
    before, after = (value_in_words(axis, v, elsewhere) for v in (one.from_value, one.to_value))
    return f"{title} from {before} to {after}"


def size_text(size: float) -> str:
    """The size of a step; one just above the limit never reads as the limit itself: `1.01`."""
    return f"{max(size, 1.01):.2f}" if 1 + TOLERANCE < size < 1.05 else f"{size:.1f}"


def size_in_words(step: Step) -> str:
    """How large the step is, on which axis, and how many rungs are missing at least."""
    worst = step.axes[step.worst]
    missing = (
        f"; at least {counted(step.missing, 'exercise')} {'is' if step.missing == 1 else 'are'} "
        "missing"
        if step.missing
        else ""
    )
    return (
        f"{size_text(step.size)} times what one step may be ({axis_in_words(step.worst, worst)}, "
        f"where one step allows {limit_in_words(step.worst, worst.limit)}){missing}"
    )
