"""Findings as SARIF 2.1.0 (OASIS), for code scanning services and editors."""

from __future__ import annotations

import hashlib
import json
import urllib.parse
from typing import Any

from rungbook import __version__
from rungbook.checks.registry import Check, all_checks
from rungbook.model.finding import Finding
from rungbook.reports.report import Report, visible

SCHEMA = "https://docs.oasis-open.org/sarif/sarif/v2.1.0/os/schemas/sarif-schema-2.1.0.json"


def _rule(check: Check) -> dict[str, Any]:
    words = check.explanation
    return {
        "id": check.name,
        "shortDescription": {"text": words.summary},
        "fullDescription": {"text": words.why or words.summary},
        "help": {"text": words.mend or words.summary},
        "defaultConfiguration": {"level": check.level},
    }


def _fingerprint(finding: Finding) -> str:
    """The same for the same fault after lines have moved."""
    parts = (finding.check, finding.place.file, *finding.exercises, finding.ladder or "")
    return hashlib.sha256("\0".join(parts).encode("utf-8", "replace")).hexdigest()[:32]


def _uri(report: Report, finding: Finding) -> str:
    path = report.path(finding.place)
    quoted = urllib.parse.quote(path.encode("utf-8", "replace"))
    return f"file://{quoted}" if path.startswith("/") else quoted


def _result(report: Report, finding: Finding, rules: dict[str, int]) -> dict[str, Any]:
    place = finding.place
    result: dict[str, Any] = {
        "ruleId": finding.check,
        "level": finding.level,
        "message": {"text": visible(finding.message)},
        "locations": [
            {
                "physicalLocation": {
                    "artifactLocation": {"uri": _uri(report, finding)},
                    "region": {
                        "startLine": max(1, place.line),
                        "startColumn": max(1, place.column),
                    },
                }
            }
        ],
        "partialFingerprints": {"rungbook/v1": _fingerprint(finding)},
        "properties": {"exercises": list(finding.exercises), "ladder": finding.ladder},
    }
    if finding.check in rules:
        result["ruleIndex"] = rules[finding.check]
    return result


def render(report: Report) -> str:
    """The report as a SARIF log; accepted findings are there too, as suppressed."""
    rules = {name: index for index, name in enumerate(all_checks())}
    results = [_result(report, finding, rules) for finding in report.findings]
    for finding in report.checked.accepted:
        because = visible(str(finding.details.get("because", "")))
        suppressed = {"suppressions": [{"kind": "inSource", "justification": because}]}
        results.append(_result(report, finding, rules) | suppressed)
    driver = {
        "name": "Rungbook",
        "version": __version__,
        "semanticVersion": __version__,
        "rules": [_rule(check) for check in all_checks().values()],
    }
    log = {
        "$schema": SCHEMA,
        "version": "2.1.0",
        "runs": [
            {"tool": {"driver": driver}, "columnKind": "unicodeCodePoints", "results": results}
        ],
    }
    return json.dumps(log, indent=2, ensure_ascii=False) + "\n"
