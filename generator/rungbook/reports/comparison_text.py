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


def _of(comparison: Comparison, id: str) -> str:
    return " (of the base)" if id in comparison.of_base else ""


def _verdict(comparison: Comparison) -> str:
    worst = next((level for level in LEVELS if level in comparison.levels), None)
    if worst is None:
        return "Nothing here makes the library worse."
    return f"The gravest change is of the level **{worst}**."


def _parts(comparison: Comparison) -> Iterator[tuple[str, Iterable[str]]]:
    """Headings, and the lines under each."""
    c = comparison
    yield (
        "Changed in the base, and replaced here: see whether yours should follow",
        map(_code, c.replaced_changed),
    )
    yield "Steps that became too large", map(_too_large, c.steps_too_large)
    yield "Steps repaired", map(_step, c.steps_repaired)
    yield "Routes that got longer", map(_route, c.routes_longer)
    yield "Routes that got shorter", map(_route, c.routes_shorter)
    lost = (f"{_code(one.exercise)}: {one.kind} {_code(one.key)}" for one in c.cautions_lost)
    yield "Cautions lost", lost
    yield "New findings", map(_finding, by_level(c.findings_new))
    yield "Accepted now", map(_accepted, by_level(c.newly_accepted))
    yield "Findings gone", map(_finding, by_level(c.findings_gone))
    yield "Loads changed by more than 1 %", _loads(c)
    kinds = (f"{_code(one.exercise)} {one.works}: {one.old} → {one.new}" for one in c.kinds)
    yield "Kinds of work changed", kinds
    for heading, titles in (("added", c.added), ("removed", c.removed)):
        told = (f"{_code(id)} {_plain(title)}{_of(c, id)}" for id, title in titles.items())
        yield f"Exercises {heading}", told
    yield "Exercises renamed", (f"{_code(a)} → {_code(b)}" for a, b in c.renamed.items())
    yield (
        "Exercises changed",
        (
            f"{_code(id)}{_of(c, id)}: {', '.join(one.field for one in all)}"
            for id, all in c.changed.items()
        ),
    )
    drafts = (f"{_code(one.from_id)} → {_code(one.to_id)}: {one.change}" for one in c.drafts)
    yield "Draft progressions", drafts
    for heading, ids in (("added", c.ladders_added), ("removed", c.ladders_removed)):
        yield f"Ladders {heading}", (f"{_code(id)}{_of(c, id)}" for id in ids)
    yield "Reviews", map(_review, c.reviews)


def render(comparison: Comparison) -> str:
    """The comparison as text that ends in a newline; only what changed is told."""
    names = map(_code, (comparison.old_name, comparison.new_name))
    title = f"## Library: {' → '.join(names)}"
    lines = [line for heading, told in _parts(comparison) for line in _part(heading, told)]
    if not lines:
        return f"{title}\n\nNo change.\n"
    return "\n".join([title, "", *lines, _verdict(comparison)]) + "\n"
