"""Findings as a JUnit report, in the shape of the Ant schema that most CI servers read.

Every file of the library is a test suite of its own kind: a finding at or above the failing level
is a failed test, one below it a test that passed with the finding in its output, and a file
without findings one test that passed.
"""

from __future__ import annotations

import xml.etree.ElementTree as ET
from collections.abc import Iterable, Iterator, Sequence

from rungbook.model.finding import LEVELS, Finding
from rungbook.reports.report import Report, visible


def _files(report: Report) -> Iterator[tuple[str, Sequence[Finding]]]:
    """Every file that was read or found wrong, in order, with its findings."""
    found: dict[str, list[Finding]] = {file: [] for file in ("library.yml", *report.checked.files)}
    for finding in report.findings:
        found.setdefault(finding.place.file, []).append(finding)
    return iter(sorted(found.items()))


def _told(findings: Iterable[Finding]) -> str:
    return "\n".join(
        f"{one.place.line}:{one.place.column} {one.level} {one.check}: {visible(one.message)}"
        for one in findings
    )


def _case(suite: ET.Element, classname: str, name: str) -> ET.Element:
    return ET.SubElement(suite, "testcase", name=name, classname=classname, time="0")


def _suite(report: Report, number: int, file: str, findings: Sequence[Finding]) -> ET.Element:
    failing = LEVELS[: LEVELS.index(report.fail_on) + 1]
    failed = [one for one in findings if one.level in failing]
    path = " ".join(visible(file).split())
    suite = ET.Element(
        "testsuite",
        name=path,
        package=" ".join(visible(report.library.as_posix()).split()) or ".",
        id=str(number),
        timestamp=f"{report.today.isoformat()}T00:00:00",
        hostname="localhost",
        tests=str(max(1, len(findings))),
        failures=str(len(failed)),
        errors="0",
        time="0",
    )
    ET.SubElement(suite, "properties")
    for one in findings:
        name = f"{one.check} at {one.place.line}:{one.place.column}"
        case = _case(suite, path, name)
        if one in failed:
            failure = ET.SubElement(
                case, "failure", message=visible(one.message), type=f"{one.level} {one.check}"
            )
            failure.text = _told([one])
    if not findings:
        _case(suite, path, "no findings")
    ET.SubElement(suite, "system-out").text = _told(one for one in findings if one not in failed)
    ET.SubElement(suite, "system-err").text = ""
    return suite


def render(report: Report) -> str:
    """The report as XML text that ends in a newline."""
    suites = ET.Element("testsuites")
    suites.extend(
        _suite(report, number, file, findings)
        for number, (file, findings) in enumerate(_files(report))
    )
    ET.indent(suites)
    return '<?xml version="1.0" encoding="UTF-8"?>\n' + ET.tostring(suites, "unicode") + "\n"
