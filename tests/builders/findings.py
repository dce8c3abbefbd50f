"""Small libraries written inline, and what a check finds in them."""

from __future__ import annotations

import datetime
import pathlib

from rungbook.checks.explanation import files_of
from rungbook.checks.registry import examine
from rungbook.ladder.graph import progression_graph, rungs
from rungbook.ladder.measured import MeasuredLadder, MeasuredLibrary
from rungbook.model.finding import Finding
from rungbook.reading.bases import list_whole
from rungbook.reading.read import read_ground, read_records

TODAY = datetime.date(2026, 6, 1)


def write_library(root: pathlib.Path, written: str) -> pathlib.Path:
    """Writes a library in the notation of the checks' examples; returns its folder.

    `written` is lines such as `[exercises/a.md]`, each followed by the file's front matter and,
    after a line `---`, its text.
    """
    folder = root / "library"
    for path, text in {"library.yml": "", **files_of(written)}.items():
        (folder / path).parent.mkdir(parents=True, exist_ok=True)
        (folder / path).write_text(text, encoding="utf-8")
    return folder


def unloaded(folder: pathlib.Path) -> MeasuredLibrary:
    """The library in a folder with its graph and its rungs, and without loads or steps."""
    library = read_records(read_ground(folder, list_whole(folder))).library
    graph = progression_graph(library)
    ladders = {
        id: MeasuredLadder(ladder, rungs(graph, ladder), ())
        for id, ladder in library.ladders.items()
    }
    return MeasuredLibrary(library, graph, {}, {}, ladders)


def found(
    root: pathlib.Path, check: str, written: str, today: datetime.date = TODAY
) -> list[Finding]:
    """What one check, which needs no loads, finds in a library written inline."""
    return list(examine(unloaded(write_library(root, written)), today, only=[check]).findings)


def told(findings: list[Finding]) -> list[str]:
    """Findings as `file:line:column level check: message`."""
    return [f"{one.place} {one.level} {one.check}: {one.message}" for one in findings]
