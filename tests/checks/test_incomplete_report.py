from __future__ import annotations

import pathlib

import pytest

from builders.findings import found
from rungbook.checks.incomplete_report import CERT

WHOLE = """
[exercises/a.md]
title: A
dose: {sets: 3, reps: 12, up: 2 s, down: 3 s, rest: 60 s, sessions: 3 per week}
back-off: [pain above 5 of 10]
progressions: [{to: b, when: [3 sets of 15]}]
---
## Set up
Stand.
## Do
Rise.
## For the patient
Rise.
[exercises/b.md]
title: B
variation-of: a
back-off: [pain above 5 of 10]
[ladders/l.md]
title: L
goal: b
goal-met: [3 sets of 25]
entries: {high: a}
"""


def test_the_slots_are_those_of_cert() -> None:
    # Slade and others 2016, table 1: 16 items, of which 7, 14 and 16 have two parts: 19 answers
    parts = {7: "ab", 14: "ab", 16: "ab"}
    expected = [f"cert.{item}{part}" for item in range(1, 17) for part in parts.get(item, [""])]
    assert [slot.id for slot in CERT] == expected
    assert len(CERT) == 19


def test_a_whole_report_is_not_noted(tmp_path: pathlib.Path) -> None:
    assert found(tmp_path, "incomplete-report", WHOLE) == []


@pytest.mark.parametrize(
    ("taken", "put", "slot", "rung"),
    [
        ("## Do\nRise.\n", "", "cert.8", ["a", "b"]),
        ("## For the patient\nRise.\n", "", "cert.9", ["a", "b"]),
        ("rest: 60 s, ", "", "cert.13", ["a", "b"]),
        ("up: 2 s, ", "", "cert.13", ["a", "b"]),
        (", when: [3 sets of 15]", "", "cert.7a", ["a"]),
        ("goal-met: [3 sets of 25]\n", "", "cert.7a", ["b"]),
        ("back-off: [pain above 5 of 10]\nprog", "prog", "cert.11", ["a"]),
        ("title: A\n", "title: A\nresistance: [{weight: 2 kg, at: hand}]\n", "cert.1", ["a", "b"]),
    ],
)
def test_what_is_missing_is_named_with_its_rung_and_scored(
    tmp_path: pathlib.Path, taken: str, put: str, slot: str, rung: list[str]
) -> None:
    assert taken in WHOLE
    (finding,) = found(tmp_path, "incomplete-report", WHOLE.replace(taken, put))
    assert finding.details == {"score": 6, "of": 19, "missing": {slot: rung}}
    assert finding.ladder == "l"
    assert "(CERT 6 of 19)" in finding.message
