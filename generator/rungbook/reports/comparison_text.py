"""What a change does to a library, as Markdown that reads well in a pull request and a terminal."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

from rungbook.model.finding import LEVELS, Finding, by_level
from rungbook.pipeline.changes import Comparison, ReviewChange, RouteChange, StepChange
from rungbook.reports.report import visible

MOST_LINES = 40  # of one part: a comment that nobody reads to its end helps nobody


def _plain(text: str) -> str:
    """Text that Markdown, HTML and mentions do nothing with."""
    escaped = re.sub(r"([\\`*_\[\]|~#])", r"\\\1", visible(" ".join(text.split())))
    return escaped.replace("&", "&amp;").replace("<", "&lt;").replace("@", "@\u200b")


def _code(text: str) -> str:
    return f"`{visible(text).replace('`', chr(39))}`"


def _part(heading: str, lines: Iterable[str]) -> Iterator[str]:
    told = list(lines)
    if not told:
        return
    yield f"### {heading}\n"
    yield from (f"- {line}" for line in told[:MOST_LINES])
    if len(told) > MOST_LINES:
        yield f"- … and {len(told) - MOST_LINES} more"
    yield ""


def _size(size: float | None) -> str:
    return "none" if size is None else f"{size:.2f}"


def _step(change: StepChange) -> str:
    way = f"{_code(change.from_id)} → {_code(change.to_id)}"
    sizes = f"{_size(change.old_size)} → {_size(change.new_size)} steps"
    return f"{way}: {sizes} ({change.worst})"


def _too_large(change: StepChange) -> str:
    missing = f"{change.missing} rung{'s' if change.missing != 1 else ''} missing"
    return f"{_step(change)}, {missing}" + (f": `{change.command}`" if change.command else "")


def _route(change: RouteChange) -> str:
    def told(rungs: int | None) -> str:
        return "no way" if rungs is None else f"{rungs} rungs"

    way = f"{_code(change.ladder)} from {_code(change.entry)}"
    return f"{way}: {told(change.old_rungs)} → {told(change.new_rungs)}"


def _finding(finding: Finding) -> str:
    place = _code(f"{finding.place.file}:{finding.place.line}")
    return f"{finding.level} {_code(finding.check)} at {place}: {_plain(finding.message)}"


def _accepted(finding: Finding) -> str:
    until, because = (str(finding.details.get(key, "")) for key in ("accepted_until", "because"))
    return f"{_finding(finding)} **Accepted until {_plain(until)}:** {_plain(because)}"


def _review(change: ReviewChange) -> str:
    def told(date: str | None, standing: str) -> str:
        return standing if date is None else f"{standing} ({date})"

    way = f"{told(change.old, change.old_standing)} → {told(change.new, change.new_standing)}"
    return f"{_code(change.exercise)}: {way}"


def _loads(comparison: Comparison) -> Iterator[str]:
    for change in comparison.loads:
        ratio = f", × {change.ratio:.2f}" if change.ratio is not None else ""
        yield (
            f"{_code(change.exercise)} {change.works}: "
            f"{change.old_nm:.1f} → {change.new_nm:.1f} N·m{ratio}"
        )


def _verdict(comparison: Comparison) -> str:
    worst = next((level for level in LEVELS if level in comparison.levels), None)
    if worst is None:
        return "Nothing here makes the library worse."
    return f"The gravest change is of the level **{worst}**."


def render(comparison: Comparison) -> str:
    """The comparison as text that ends in a newline; only what changed is told."""
    lines = [f"## Library: {_code(comparison.old_name)} → {_code(comparison.new_name)}", ""]
    for part in (
        _part("Steps that became too large", map(_too_large, comparison.steps_too_large)),
        _part("Steps repaired", map(_step, comparison.steps_repaired)),
        _part("Routes that got longer", map(_route, comparison.routes_longer)),
        _part("Routes that got shorter", map(_route, comparison.routes_shorter)),
        _part(
            "Cautions lost",
            (
                f"{_code(one.exercise)}: {one.kind} {_code(one.key)}"
                for one in comparison.cautions_lost
            ),
        ),
        _part("New findings", map(_finding, by_level(comparison.findings_new))),
        _part("Accepted now", map(_accepted, by_level(comparison.newly_accepted))),
        _part("Findings gone", map(_finding, by_level(comparison.findings_gone))),
        _part("Loads changed by more than 1 %", _loads(comparison)),
        _part(
            "Kinds of work changed",
            (
                f"{_code(one.exercise)} {one.works}: {one.old} → {one.new}"
                for one in comparison.kinds
            ),
        ),
        _part(
            "Exercises added",
            (f"{_code(id)} {_plain(title)}" for id, title in comparison.added.items()),
        ),
        _part(
            "Exercises removed",
            (f"{_code(id)} {_plain(title)}" for id, title in comparison.removed.items()),
        ),
        _part(
            "Exercises renamed",
            (f"{_code(old)} → {_code(new)}" for old, new in comparison.renamed.items()),
        ),
        _part(
            "Exercises changed",
            (
                f"{_code(id)}: {', '.join(change.field for change in changes)}"
                for id, changes in comparison.changed.items()
            ),
        ),
        _part(
            "Draft progressions",
            (
                f"{_code(one.from_id)} → {_code(one.to_id)}: {one.change}"
                for one in comparison.drafts
            ),
        ),
        _part("Ladders added", map(_code, comparison.ladders_added)),
        _part("Ladders removed", map(_code, comparison.ladders_removed)),
        _part("Reviews", map(_review, comparison.reviews)),
    ):
        lines.extend(part)
    if len(lines) == 2:
        return f"{lines[0]}\n\nNo change.\n"
    return "\n".join([*lines, _verdict(comparison)]) + "\n"
