"""A step in words: how large, what sets its size, what changes."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from markupsafe import Markup

from rungbook.ladder.step import AxisStep, Step
from rungbook.ladder.words import TITLES, size_text, steps_text
from rungbook.site.pages.words import NARROW, angle, count, moment, number, percent, seconds, spaced

LITTLE = 0.1  # a change below a tenth of what one step may be is not worth a reader's time
STABILITY = ("lying, leaning back or steadied by the hands", "two feet, sitting or all fours",
             "narrow base", "one leg", "one leg, unstable or one thing more",
             "one leg, two things more", "one leg, three things more")  # fmt: skip
IMPACT = ("no impact", "both feet landing", "one foot landing")


@dataclass(frozen=True, slots=True)
class StepWords:
    """A step for a page. `bar` are five cells: full, empty or over."""

    size: str
    over: bool
    rises: bool
    missing: int
    verdict: str
    worst: str
    changes: tuple[str, ...]
    bar: Markup


def _class_word(words: tuple[str, ...], value: float) -> str:
    return words[min(max(round(value), 0), len(words) - 1)]


def axis_value(axis: str, value: float) -> str:
    """A value on an axis of demand, in its unit."""
    match axis:
        case "demand" | "elsewhere":
            return moment(value)
        case "bearing":
            return percent(value)
        case "range" | "lengthening":
            return angle(value)
        case "speed":
            return f"{number(value)}{NARROW}°/s"
        case "stability":
            return _class_word(STABILITY, value)
        case "impact":
            return _class_word(IMPACT, value)
        case "volume":
            return f"{seconds(value)} a week"
        case _:
            return number(value, 1)


def axis_words(
    axis: str, step: AxisStep, elsewhere: str | None = None, downward: bool = False
) -> str:
    """`load 12 → 25 N·m` on the way up; the other way round where the reader goes down."""
    title = TITLES.get(axis, axis) + (f" in {spaced(step.works)}" if step.works else "")
    if axis == "changes":
        return f"{number(step.to_value)} kinds of change at once"
    if axis == "elsewhere" and elsewhere:
        title = f"load at {elsewhere}"
    values = [axis_value(axis, step.from_value), axis_value(axis, step.to_value)]
    return f"{title} {' → '.join(reversed(values) if downward else values)}"


def _cells(size: float) -> tuple[str, ...]:
    if size > 1 + 1e-6:
        return ("over",) * 5
    full = min(max(round(size * 5), 1 if size > 0.02 else 0), 5)
    return ("full",) * full + ("empty",) * (5 - full)


@cache
def _bar(cells: tuple[str, ...]) -> Markup:
    return Markup("".join(f'<i class="cell-{cell}"></i>' for cell in cells))


def _verdict(step: Step, accepted: bool) -> str:
    if step.size <= 1 + 1e-6:
        return steps_text(step.size)
    rest = "accepted" if accepted else f"{count(step.missing, 'rung')} missing"
    return f"{steps_text(step.size)}, {rest}"


def step_words(step: Step, downward: bool = False, accepted: bool = False) -> StepWords:
    """The step as pages and tables show it, `downward` for a reader who goes to the easier.

    `accepted`: somebody gave a reason why it may be above its limit; it does not alarm.
    """
    changes = tuple(
        axis_words(name, axis, step.elsewhere, downward)
        for name, axis in sorted(step.axes.items(), key=lambda item: -item[1].size)
        if name not in ("changes", "elsewhere") and axis.size >= LITTLE
    )
    worst = step.axes.get(step.worst)
    return StepWords(
        size=size_text(step.size),
        over=step.size > 1 + 1e-6 and not accepted,
        rises=step.size > 0,
        missing=step.missing,
        verdict=_verdict(step, accepted),
        worst=axis_words(step.worst, worst, step.elsewhere, downward) if worst else "",
        changes=changes,
        bar=_bar(_cells(step.size)),
    )
