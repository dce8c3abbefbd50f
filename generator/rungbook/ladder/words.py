"""Steps in the words of a clinician: for findings and the command line."""

from __future__ import annotations

from rungbook.ladder.limits import AXES
from rungbook.ladder.step import AxisStep, Step
from rungbook.ladder.steps import TOLERANCE
from rungbook.model.movement import Action

STABILITY = (
    "lying, leaning back or steadied by the hands", "two feet, sitting or all fours",
    "a narrow base", "one leg", "one leg on an unstable surface or with one thing more",
    "one leg with two things more", "one leg with three things more",
)  # fmt: skip
IMPACT = ("none", "both feet", "one foot")
TITLES = {
    "demand": "load",
    "bearing": "weight-bearing",
    "impact": "impact",
    "range": "range",
    "lengthening": "stretched position",
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
    if axis == "demand":
        more = 100 * (limit - 1)
        return f"{more:.0f} % more, at least {more / 2:.0f} % of the standard exercise's load"
    if AXES[axis].kind == "ratio":
        return f"{limit:g} times"
    if axis == "bearing":
        return f"{100 * limit:.0f} % of body weight more"
    if axis in ("range", "lengthening"):
        return f"{limit:g}° more"
    return f"{counted(round(limit), 'class').replace('classs', 'classes')} more"


def instead_in_words(instead: tuple[Action, float]) -> str:
    """`gravity turns round: hip extension works instead, up to 12 N·m`."""
    action, peak = instead
    muscles = str(action).replace("-", " ")
    return f"gravity turns round: {muscles} works instead, up to {peak:.0f} N·m"


NOTHING_FIRST = {
    "none": "Nothing of the library, or computed from it, asks less of the same muscles.",
    "left out": "Everything that asks less is left out.",
    "not known": "How much less these ask is not known, so none stands first.",
    "about the same": "What is listed asks about the same, so none stands first.",
    "too little": "What is listed asks less than a tenth of the standard exercise's load, "
    "so none stands first.",
}
_CONTRACTING = frozenset({"lifting", "lowering", "holding"})


def left_in_words(reason: str, before: float, now: float) -> str:
    """How much of a reason is left; nothing where the load itself or no amount tells it."""
    if reason in ("load", "position", "impact"):
        return ""
    if reason in _CONTRACTING:
        if now <= 0:
            return f"no {reason}"
        return f"still {reason}, {now:.1f} N·m instead of {before:.1f}"
    if reason == "next day":
        return f"{100 * now / before:.0f} % of the work"
    if reason in ("range", "lengthening"):
        return f"{TITLES[reason]} {before - now:.0f}° less"
    less, more = value_in_words(reason, now), value_in_words(reason, before)
    return f"{TITLES[reason]} {less} instead of {more}"


def axis_in_words(axis: str, one: AxisStep, elsewhere: str | None = None) -> str:
    """`load from 12.0 N·m to 25.0 N·m`."""
    title = elsewhere if axis == "elsewhere" and elsewhere else TITLES[axis]
    before, after = (value_in_words(axis, v, elsewhere) for v in (one.from_value, one.to_value))
    return f"{title} from {before} to {after}{_counted_from(one)}"


def _counted_from(one: AxisStep) -> str:
    """Where rungs below the easier exercise have prepared for more than it asks for itself."""
    if one.works is None or one.prepared is None or one.prepared <= one.from_value * 1.005:
        return f" of {one.works.replace('-', ' ')}" if one.works else ""
    return f" of {one.works.replace('-', ' ')}, {one.prepared:.1f} N·m being prepared below"


def size_text(size: float) -> str:
    """The size of a step; one just above the limit never reads as the limit itself: `1.01`."""
    return f"{max(size, 1.01):.2f}" if 1 + TOLERANCE < size < 1.05 else f"{size:.1f}"


def steps_text(size: float) -> str:
    """A size in steps: `0.8 of a step`, `one step`, `2.4 steps`."""
    if size <= TOLERANCE:
        return "no step up"
    if size < 0.05:
        return "under 0.1 of a step"
    if size_text(size) == "1.0":
        return "one step"
    return f"{size_text(size)} {'steps' if size > 1 else 'of a step'}"


def size_in_words(step: Step) -> str:
    """How large the step is and how many rungs are missing at least: `2.4 steps: two rungs …`."""
    if not step.missing:
        return steps_text(step.size)
    are = "is" if step.missing == 1 else "are"
    return f"{steps_text(step.size)}: {counted(step.missing, 'rung')} {are} missing"


def worst_in_words(step: Step) -> str:
    """The axis that gives the size, from what to what, and how far one step may go on it."""
    worst = step.axes[step.worst]
    allows = limit_in_words(step.worst, worst.limit)
    return f"{axis_in_words(step.worst, worst)}; one step allows {allows}"
