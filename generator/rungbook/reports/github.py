"""Findings as annotations on a GitHub pull request: one workflow command a line.

Grammar: `::level file=…,line=…,col=…,title=…::message`, with %, CR and LF written as %25, %0D
and %0A, and in properties : and , as %3A and %2C ("Workflow commands for GitHub Actions"; the
escapes from memory of the actions toolkit).
"""

from __future__ import annotations

from rungbook.model.finding import Finding
from rungbook.reports.report import Report, visible

COMMANDS = {"error": "error", "warning": "warning", "note": "notice"}


def _message(text: str) -> str:
    escaped = text.replace("%", "%25").replace("\r", "%0D").replace("\n", "%0A")
    return visible(escaped)


def _property(text: str) -> str:
    return _message(text).replace(":", "%3A").replace(",", "%2C")


def annotation(finding: Finding, path: str) -> str:
    """One finding as a workflow command."""
    place = finding.place
    properties = {
        "file": path,
        "line": str(place.line),
        "col": str(place.column),
        "title": finding.check,
    }
    written = ",".join(f"{key}={_property(value)}" for key, value in properties.items())
    return f"::{COMMANDS[finding.level]} {written}::{_message(finding.message)}"


def render(report: Report) -> str:
    """One line a finding; empty where there is none."""
    return "".join(
        annotation(finding, report.path(finding.place)) + "\n" for finding in report.findings
    )
