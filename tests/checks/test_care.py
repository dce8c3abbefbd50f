"""The checks of care: pain rules, cautions, criteria, doses, sources, pictures, reviews."""

from __future__ import annotations

import datetime
import pathlib

import pytest

from builders.findings import found, told
from rungbook.checks.review_overdue import due

LADDER = (
    "[exercises/a.md]\ntitle: A\n[ladders/l.md]\ntitle: L\ngoal: a\nentries: {high: a}\n"
    "condition: {condition}\n"
)
SOURCES = "[vocabulary/sources.yml]\nown: {title: Protocol of the ward}\n"


@pytest.mark.parametrize("condition", ["nerve", "post-operative", "bone-stress"])
def test_a_ladder_where_pain_can_harm_states_its_own_rule(
    tmp_path: pathlib.Path, condition: str
) -> None:
    assert told(
        found(tmp_path, "pain-rule-inherited", LADDER.replace("{condition}", condition))
    ) == [
        f"ladders/l.md:5:12 error pain-rule-inherited: l is for a {condition} condition, and it "
        "inherits the library's pain rule. Write `pain-rule` with its own thresholds and source."
    ]


@pytest.mark.parametrize(
    ("condition", "rule", "faults"),
    [
        ("tendon", "", 0),
        ("joint", "pain-rule: default\n", 0),
        ("nerve", "pain-rule: default\n", 1),
        ("nerve", "pain-rule: {during: 2, source: own}\n", 0),
    ],
)
def test_the_rule_needs_to_be_its_own_and_sourced(
    tmp_path: pathlib.Path, condition: str, rule: str, faults: int
) -> None:
    written = LADDER.replace("{condition}", condition) + rule + SOURCES
    assert len(found(tmp_path, "pain-rule-inherited", written)) == faults


def pair(easier: str, harder: str) -> str:
    return (
        f"[exercises/a.md]\ntitle: A\nprogressions: [{{to: b, when: [x]}}]\n{easier}\n"
        f"[exercises/b.md]\ntitle: B\n{harder}\n"
        "[vocabulary/cautions.yml]\none: {title: One}\ntwo: {title: Two}\n"
    )


@pytest.mark.parametrize(
    ("easier", "harder", "lost"),
    [
        ("cautions: [one]", "", ["one"]),
        ("cautions: [one, two]", "cautions: [two]", ["one"]),
        ("cautions: [one]", "cautions: [two, one]", []),
        ("cautions: [one]", "position: sitting", []),
        ("", "cautions: [one]", []),
    ],
)
def test_a_caution_goes_with_the_position(
    tmp_path: pathlib.Path, easier: str, harder: str, lost: list[str]
) -> None:
    findings = found(tmp_path, "caution-lost", pair(easier, harder))
    assert [one.details["cautions"] for one in findings] == ([lost] if lost else [])
    assert all(one.exercises == ("b", "a") for one in findings)


def test_an_edge_without_criteria_is_an_error_and_a_rung_without_back_off_a_warning(
    tmp_path: pathlib.Path,
) -> None:
    written = (
        "[exercises/a.md]\ntitle: A\nprogressions: [{to: b}]\n"
        "[exercises/b.md]\ntitle: B\nback-off: [pain]\n"
        "[ladders/l.md]\ntitle: L\ngoal: b\nentries: {high: a}\n"
    )
    assert told(found(tmp_path, "missing-criteria", written)) == [
        "exercises/a.md:2:8 warning missing-criteria: a is a rung and does not say when to go "
        "back: write `back-off`.",
        "exercises/a.md:3:16 error missing-criteria: the progression to b has no criteria: "
        "write `when`.",
    ]


@pytest.mark.parametrize(
    ("dose", "lacking"),
    [
        ("", "a dose"),
        ("dose: {reps: 12}", "`sets` and `sessions`"),
        ("dose: {sets: 3, sessions: 3 per week}", "one of `reps`, `hold` and `duration`"),
        ("dose: {sets: 3, hold: 30 s, sessions: 2 per day}", None),
        ("dose: {sets: 1, duration: 60 s, sessions: 3 per week}", None),
    ],
)
def test_what_a_dose_lacks(tmp_path: pathlib.Path, dose: str, lacking: str | None) -> None:
    findings = found(tmp_path, "missing-dose", f"[exercises/a.md]\ntitle: A\n{dose}\n")
    assert [one.message for one in findings] == ([f"a lacks {lacking}."] if lacking else [])


def test_sources_are_asked_of_exercises_and_of_the_rules(tmp_path: pathlib.Path) -> None:
    written = (
        "[library.yml]\npain-rule: {during: 5}\n"
        "flare-up: [{lasts: up to 24 hours, do: half the volume}]\n"
        "[exercises/a.md]\ntitle: A\n[exercises/b.md]\ntitle: B\nsources: [own]\n" + SOURCES
    )
    assert [(str(one.place), one.level) for one in found(tmp_path, "missing-source", written)] == [
        ("exercises/a.md:2:8", "note"),
        ("library.yml:1:12", "note"),
        ("library.yml:2:12", "note"),
    ]


@pytest.mark.parametrize(
    ("picture", "faults"),
    [
        ("{file: a.jpg}", 1),
        ('{file: a.jpg, alt: "  "}', 1),
        ("{file: a.jpg, alt: A.JPG}", 1),
        ("{file: a.jpg, alt: Standing on one leg}", 0),
    ],
)
def test_a_picture_needs_words(tmp_path: pathlib.Path, picture: str, faults: int) -> None:
    written = f"[exercises/x.md]\ntitle: X\npictures: [{picture}]\n"
    assert len(found(tmp_path, "missing-alt-text", written)) == faults


def test_a_picture_in_the_text_needs_words_too(tmp_path: pathlib.Path) -> None:
    written = (
        "[exercises/a.md]\ntitle: A\n---\n## Do\nSee ![](pictures/one.jpg), ![hands](two.jpg)\n"
    )
    (finding,) = found(tmp_path, "missing-alt-text", written)
    assert finding.details["file"] == "pictures/one.jpg"


@pytest.mark.parametrize(
    ("reviewed", "every", "last"),
    [
        ("2024-02-29", "12 months", "2025-02-28"),
        ("2024-01-31", "1 month", "2024-02-29"),
        ("2024-12-15", "1 month", "2025-01-15"),
        ("2024-01-01", "2 years", "2026-01-01"),
        ("2024-01-01", "6 weeks", "2024-02-12"),
        ("2024-01-01", "10 days", "2024-01-11"),
        ("2024-01-01", "99999999 years", None),
        ("2024-01-01", "now and then", None),
    ],
)
def test_a_review_is_good_for_calendar_time(reviewed: str, every: str, last: str | None) -> None:
    expected = datetime.date.fromisoformat(last) if last else None
    assert due(datetime.date.fromisoformat(reviewed), every) == expected


@pytest.mark.parametrize(
    ("today", "reviewed", "message"),
    [
        ("2026-05-01", "2024-05-01", None),
        ("2026-05-02", "2024-05-01", "was to be reviewed again by 2026-05-01"),
        ("2026-05-02", "2026-05-03", "says it was reviewed on 2026-05-03, which is still to come"),
    ],
)
def test_a_review_lapses_the_day_after(
    tmp_path: pathlib.Path, today: str, reviewed: str, message: str | None
) -> None:
    written = f"[exercises/a.md]\ntitle: A\nreviewed: {{date: {reviewed}, by: Me}}\n"
    findings = found(tmp_path, "review-overdue", written, datetime.date.fromisoformat(today))
    assert [one.message for one in findings] == (
        [f"a {message}: read it, then rungbook review a --by ROLE"] if message else []
    )


def test_an_exercise_that_was_never_reviewed_is_overdue(tmp_path: pathlib.Path) -> None:
    (finding,) = found(tmp_path, "review-overdue", "[exercises/a.md]\ntitle: A\n")
    assert finding.message.startswith("a was never reviewed")
