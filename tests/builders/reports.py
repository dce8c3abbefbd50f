"""Reports of findings that are written by hand, without a library to find them in."""

from __future__ import annotations

import pathlib

from builders.findings import TODAY, write_library
from rungbook.model.finding import Finding, Level
from rungbook.model.place import Place
from rungbook.pipeline.checked import Checked
from rungbook.reports.report import Report

PLAIN = "[exercises/calf/a.md]\ntitle: Heel raise\nposition: standing\n"


def finding(
    check: str = "wrong-value",
    level: Level = "error",
    message: str = "a message",
    place: str = "exercises/calf/a.md:3:11",
    **more: object,
) -> Finding:
    file, line, column = place.rsplit(":", 2)
    return Finding(check, level, message, Place(file, int(line), int(column)), **more)  # type: ignore[arg-type]


def report(
    root: pathlib.Path,
    *findings: Finding,
    accepted: tuple[Finding, ...] = (),
    written: str = PLAIN,
    fail_on: Level = "error",
    colour: bool = False,
) -> Report:
    folder = write_library(root, written)
    standing = tuple(sorted(findings, key=Finding.sort_key))
    checked = Checked(folder, standing, accepted, ("exercises/calf/a.md",))
    return Report(checked, pathlib.Path("library"), TODAY, fail_on, colour)
