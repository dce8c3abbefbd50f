"""Findings for a program: the stable JSON of `rungbook check --format json`."""

from __future__ import annotations

import json
from typing import Any

from rungbook.model.finding import Finding
from rungbook.reports.report import Report


def as_data(finding: Finding) -> dict[str, Any]:
    """One finding as JSON-ready data; `file` is relative to the library's folder."""
    return {
        "check": finding.check,
        "level": finding.level,
        "message": finding.message,
        "file": finding.place.file,
        "line": finding.place.line,
        "column": finding.place.column,
        "exercises": list(finding.exercises),
        "ladder": finding.ladder,
        "details": dict(finding.details),
    }


def render(report: Report) -> str:
    """The report as JSON text that ends in a newline."""
    data = {
        "library": report.library.as_posix(),
        "counts": dict(report.checked.counts),
        "findings": [as_data(finding) for finding in report.findings],
        "accepted": [as_data(finding) for finding in report.checked.accepted],
    }
    return json.dumps(data, indent=2, ensure_ascii=False, default=str) + "\n"
