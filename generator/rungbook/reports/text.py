"""Findings for a person at a terminal: the worst first, by file, each with its line and a caret."""

from __future__ import annotations

import os
from collections.abc import Iterator, Sequence
from itertools import groupby

from rungbook.model.finding import LEVELS, Finding, by_level
from rungbook.reading.limits import MOST_VOCABULARY_BYTES
from rungbook.reading.raw import read_bytes
from rungbook.reports.report import Report, visible

COLOURS = {"error": "31", "warning": "33", "note": "36", "strong": "1", "faint": "2"}
LONGEST_LINE = 160
WIDTH = 100


def _painted(text: str, colour: str, colours: bool) -> str:
    return f"\x1b[{COLOURS[colour]}m{text}\x1b[0m" if colours else text


class _Source:
    """The lines of the library's files, for whom lies in its folder `root` (a real path)."""

    def __init__(self, root: str) -> None:
        self._inside = os.path.join(root, "")
        self._folders: dict[str, str] = {}  # each with where its links lead

    def lines(self, file: str) -> Sequence[str]:
        """The lines of a file; none where it cannot be read or lies outside."""
        try:
            folder, name = os.path.split(os.path.join(self._inside, file))
            if folder not in self._folders:
                self._folders[folder] = os.path.realpath(folder)
            path = os.path.join(self._folders[folder], name)
            if os.path.islink(path):
                path = os.path.realpath(path)
            if not path.startswith(self._inside):
                return ()
            data = read_bytes(path, file, MOST_VOCABULARY_BYTES)
            return [] if isinstance(data, Finding) else data.decode("utf-8", "replace").splitlines()
        except (OSError, ValueError):
            return ()


def _wrapped(text: str) -> Iterator[str]:
    """The text in lines of at most `WIDTH` characters, words kept whole."""
    line = " "
    for word in text.split():
        if len(line) + len(word) >= WIDTH and line.strip():
            yield line
            line = " "
        line += f"{'   ' if line == ' ' else ' '}{word}"
    yield line


def _excerpt(lines: Sequence[str], finding: Finding, colours: bool) -> Iterator[str]:
    number = finding.place.line
    if not 1 <= number <= len(lines) or not lines[number - 1].strip():
        return
    source = lines[number - 1][:LONGEST_LINE].replace("\t", " ")
    lead = visible(source[: finding.place.column - 1])
    yield _painted(f"    {number:>4} | ", "faint", colours) + visible(source)
    if finding.place.column <= len(source) + 1:
        pointer = _painted("^", finding.level, colours)
        yield _painted("         | ", "faint", colours) + " " * len(lead) + pointer


def _told(finding: Finding, lines: Sequence[str], colours: bool) -> Iterator[str]:
    place = f"{finding.place.line}:{finding.place.column}"
    level = _painted(finding.level, finding.level, colours)
    yield f"  {place} {level} {_painted(finding.check, 'strong', colours)}"
    yield from _wrapped(visible(finding.message))
    yield from _excerpt(lines, finding, colours)


def summary(report: Report) -> str:
    """One line: how many exercises and ladders were checked, and how many findings there are."""
    checked, counted = report.checked, report.checked.counts
    counts = ", ".join(_counted(counted[level], level) for level in LEVELS)
    accepted = f", {len(checked.accepted)} accepted" if checked.accepted else ""
    sizes = f"{_counted(checked.exercises, 'exercise')}, {_counted(checked.ladders, 'ladder')}"
    return f"{sizes}: {counts}{accepted}."


def _counted(number: int, noun: str) -> str:
    return f"{number} {noun}{'' if number == 1 else 's'}"


def render(report: Report) -> str:
    """The report as text that ends in a newline."""
    parts: list[str] = []
    source = _Source(os.path.realpath(report.checked.root))
    ordered = by_level(report.findings)
    for (_, file), group in groupby(ordered, key=lambda one: (one.level, one.place.file)):
        found = list(group)
        lines = source.lines(file)
        parts.append(_painted(visible(report.path(found[0].place)), "strong", report.colour))
        for finding in found:
            parts.extend(_told(finding, lines, report.colour))
        parts.append("")
    parts.append(summary(report))
    return "\n".join(parts) + "\n"
