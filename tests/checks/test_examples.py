"""Every check says why it is there and how to mend what it finds, and its examples behave."""

from __future__ import annotations

import datetime
import pathlib

import pytest

from builders.findings import write_library
from rungbook.checks.registry import Check, all_checks
from rungbook.pipeline.analyse import analyse

TODAY = datetime.date(2026, 6, 1)
CHECKS = list(all_checks().values())
READING = {check.name for check in CHECKS if check.run is None}
# DESIGN of the checks: their names by level.
ERRORS = {
    "unreadable-file", "unknown-field", "missing-field", "wrong-value", "wrong-unit",
    "unknown-reference", "duplicate-id", "variation-loop", "unsafe-path", "unusable-base",
    "circular-progression", "step-too-large", "unreachable-goal", "contact-off-surface", "not-in-balance",
    "restriction-broken", "pain-rule-inherited",
}  # fmt: skip
NOTES = {
    "single-way", "redundant-shortcut", "statics-doubtful", "incomplete-report", "reading-grade",
    "missing-source", "load-elsewhere", "unsealed-review", "draft-progression", "weight-added",
    "language-incomplete", "acceptance-lapsing", "unused-vocabulary",
}  # fmt: skip
WARNINGS = {
    "unsafe-markup", "several-changes-at-once", "backward-step", "no-way-back", "no-way-on",
    "stranded-exercise", "heavy-entry", "beyond-usual-range", "order-disputed", "works-unloaded",
    "beyond-strength",
    "caution-lost", "missing-criteria", "missing-dose", "review-overdue", "missing-alt-text",
    "changed-since-review", "words-inherited", "number-in-words", "unusable-picture",
    "standard-without-load", "contradicting-rules",
    "height-contradicts",
}  # fmt: skip


def test_the_checks_and_their_levels_are_those_of_the_design() -> None:
    by_level = {"error": ERRORS, "warning": WARNINGS, "note": NOTES}
    expected = {name: level for level, names in by_level.items() for name in names}
    assert {check.name: check.level for check in CHECKS} == expected


@pytest.mark.parametrize("check", CHECKS, ids=lambda check: check.name)
def test_a_check_explains_itself(check: Check) -> None:
    words = check.explanation
    assert words.summary.endswith(".")
    assert words.why
    assert words.mend.startswith("Mend")
    assert words.fails
    assert words.passes


@pytest.mark.parametrize("check", CHECKS, ids=lambda check: check.name)
def test_the_examples_of_a_check_behave(check: Check, tmp_path: pathlib.Path) -> None:
    found = {
        kind: analyse(write_library(tmp_path / kind, example), TODAY).findings
        for kind, example in (
            ("fails", check.explanation.fails),
            ("passes", check.explanation.passes),
        )
    }
    assert check.name in {finding.check for finding in found["fails"]}
    assert check.name not in {finding.check for finding in found["passes"]}
    not_meant = READING - {check.name}
    assert [one for one in found["passes"] if one.check in READING] == []
    assert [one for one in found["fails"] if one.check in not_meant] == []
