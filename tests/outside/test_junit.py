"""JUnit reports against the schema of Ant's JUnit reports (windyroad JUnit.xsd, read; told here).

The schema says: testsuites holds testsuite (with package and id, from 0); a testsuite has name,
timestamp without a zone, hostname, tests, failures, errors and time, and in this order properties,
testcase*, system-out, system-err; a testcase has name, classname and time, and at most one of
skipped, error and failure, which need a type.
"""

from __future__ import annotations

import pathlib
import re
import xml.etree.ElementTree as ET

import pytest

from builders.reports import finding, report
from rungbook.reports.junit import render

TOKEN = re.compile(r"(?!\s)(?!.*\s\Z)(?!.*\s\s)[^\t\r\n]+\Z")  # XML Schema: a token, not empty
NUMBER = re.compile(r"\d+\Z")
DECIMAL = re.compile(r"\d+(\.\d+)?\Z")
ANY = re.compile(r"")
SUITE = {
    "name": TOKEN,
    "package": TOKEN,
    "id": NUMBER,
    "timestamp": re.compile(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d\Z"),
    "hostname": TOKEN,
    "tests": NUMBER,
    "failures": NUMBER,
    "errors": NUMBER,
    "time": DECIMAL,
}
CASE = {"name": TOKEN, "classname": TOKEN, "time": DECIMAL}
FAILURE = {"message": ANY, "type": ANY}


def attributes(element: ET.Element, expected: dict[str, re.Pattern[str]]) -> None:
    assert set(element.attrib) == set(expected)
    for name, pattern in expected.items():
        assert pattern.match(element.attrib[name]), (element.tag, name, element.attrib[name])


def conforming(text: str) -> ET.Element:
    root = ET.fromstring(text)
    assert (root.tag, root.attrib) == ("testsuites", {})
    for number, suite in enumerate(root):
        attributes(suite, SUITE)
        assert (suite.tag, suite.get("id")) == ("testsuite", str(number))
        tags = " ".join(child.tag for child in suite)
        assert re.fullmatch(r"properties( testcase)* system-out system-err", tags)
        cases = suite.findall("testcase")
        for case in cases:
            attributes(case, CASE)
            assert len(case) <= 1
            for failure in case:
                assert failure.tag == "failure"
                attributes(failure, FAILURE)
        assert suite.get("tests") == str(len(cases))
        assert suite.get("failures") == str(len(suite.findall("testcase/failure")))
    return root


def test_findings_at_the_failing_level_fail_and_others_are_told(tmp_path: pathlib.Path) -> None:
    found = [finding(), finding("missing-dose", "warning", "a lacks a dose.")]
    root = conforming(render(report(tmp_path, *found)))
    failures = [one.get("type") for one in root.iter("failure")]
    assert failures == ["error wrong-value"]
    assert "3:11 warning missing-dose: a lacks a dose." in [
        one.text for one in root.iter("system-out")
    ]


@pytest.mark.parametrize(("fail_on", "failures"), [("error", 1), ("warning", 2), ("note", 3)])
def test_the_failing_level_decides_what_fails(
    tmp_path: pathlib.Path, fail_on: str, failures: int
) -> None:
    found = [finding(level=level) for level in ("error", "warning", "note")]  # type: ignore[arg-type]
    root = conforming(render(report(tmp_path, *found, fail_on=fail_on)))  # type: ignore[arg-type]
    assert len(list(root.iter("failure"))) == failures


def test_files_without_findings_pass(tmp_path: pathlib.Path) -> None:
    root = conforming(render(report(tmp_path)))
    assert [suite.get("name") for suite in root] == ["exercises/calf/a.md", "library.yml"]
    assert [case.get("name") for case in root.iter("testcase")] == ["no findings"] * 2


def test_markup_and_control_characters_stay_text(tmp_path: pathlib.Path) -> None:
    hostile = finding(message="<b> & \x00 \x1b[1m ]]> \ufffe \ud800", place="exercises/a  b.md:1:1")
    root = conforming(render(report(tmp_path, hostile)))
    (failure,) = root.iter("failure")
    assert failure.get("message") == "<b> & \\x00 \\x1b[1m ]]> \\ufffe \\ud800"
