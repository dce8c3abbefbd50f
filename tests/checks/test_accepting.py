from __future__ import annotations

import datetime
import pathlib

import pytest

from builders.findings import TODAY, unloaded, write_library
from rungbook.checks.registry import examine

STRANDED = "[exercises/a.md]\ntitle: A\n"
ACCEPTED = STRANDED + (
    "accepts: [{check: stranded-exercise, because: kept for the class, until: 2026-06-01}]\n"
)
ONLY = ("stranded-exercise", "unknown-reference")


def verdict(root: pathlib.Path, written: str, today: datetime.date = TODAY, only=ONLY):  # type: ignore[no-untyped-def]
    return examine(unloaded(write_library(root, written)), today, only=only)


def test_an_accepted_finding_is_set_aside_with_its_reason(tmp_path: pathlib.Path) -> None:
    found = verdict(tmp_path, ACCEPTED)
    assert found.findings == ()
    assert [one.details["because"] for one in found.accepted] == ["kept for the class"]


def test_it_holds_to_the_end_of_its_day_and_then_the_finding_comes_back(
    tmp_path: pathlib.Path,
) -> None:
    found = verdict(tmp_path, ACCEPTED, TODAY + datetime.timedelta(days=1))
    (finding,) = found.findings
    assert finding.check == "stranded-exercise"
    assert finding.message.endswith("(It was accepted until 2026-06-01; that has lapsed.)")


CYCLE = (
    "[exercises/a.md]\ntitle: A\nprogressions: [{to: b, when: [x]}]\n"
    "accepts: [{check: circular-progression, because: in talks, until: 2026-06-01}]\n"
    "[exercises/b.md]\ntitle: B\nprogressions: [{to: a, when: [x]}]\n"
)
UNTIL = datetime.date(2026, 6, 1)


def on_day(root: pathlib.Path, days: int) -> list[tuple[str, str, str]]:
    """Checks, levels and the ends of messages, so many days after the acceptance ended."""
    day = UNTIL + datetime.timedelta(days=days)
    only = ("circular-progression", "acceptance-lapsing")
    found = verdict(root, CYCLE, day, only).findings
    return [(one.check, one.level, one.message[-90:]) for one in found]


def test_the_end_of_an_acceptance_is_said_thirty_days_before(tmp_path: pathlib.Path) -> None:
    assert on_day(tmp_path, -31) == []
    for days in (-30, 0):
        ((check, level, message),) = on_day(tmp_path, days)
        assert (check, level) == ("acceptance-lapsing", "note")
        assert "as a warning, and after 2026-07-31 as an error: mend it" in message


def test_a_lapsed_error_is_a_warning_for_sixty_days(tmp_path: pathlib.Path) -> None:
    for days, expected in ((1, "warning"), (60, "warning"), (61, "error"), (400, "error")):
        ((check, level, message),) = on_day(tmp_path, days)
        assert (check, level) == ("circular-progression", expected)
        assert ("is an error again after 2026-07-31" in message) == (expected == "warning")


def test_an_acceptance_of_nothing_is_a_warning(tmp_path: pathlib.Path) -> None:
    written = ACCEPTED + "progressions: [{to: b, when: [x]}]\n[exercises/b.md]\ntitle: B\n"
    (finding,) = verdict(tmp_path, written).findings
    assert (finding.check, finding.level, str(finding.place)) == (
        "unknown-reference",
        "warning",
        "exercises/a.md:3:19",
    )


def test_an_acceptance_is_not_judged_while_its_check_does_not_run(tmp_path: pathlib.Path) -> None:
    written = ACCEPTED + "progressions: [{to: b, when: [x]}]\n[exercises/b.md]\ntitle: B\n"
    assert verdict(tmp_path, written, only=("unknown-reference",)).findings == ()


def test_an_acceptance_covers_no_other_exercise(tmp_path: pathlib.Path) -> None:
    found = verdict(tmp_path, ACCEPTED + "[exercises/b.md]\ntitle: B\n")
    assert [one.exercises for one in found.findings] == [("b",)]


@pytest.mark.parametrize("where", ["accepts", "checks"])
def test_an_unknown_check_is_named_with_the_nearest_one(tmp_path: pathlib.Path, where: str) -> None:
    written = (
        ACCEPTED.replace("stranded-exercise", "stranded-exercis")
        if where == "accepts"
        else "[library.yml]\nchecks: {stranded-exercis: note}\n" + ACCEPTED
    )
    messages = [one.message for one in verdict(tmp_path, written).findings]
    assert (
        f"{where} names the check 'stranded-exercis', which does not exist: "
        "did you mean 'stranded-exercise'?" in messages
    )


@pytest.mark.parametrize(("level", "levels"), [("error", ["error"]), ("off", [])])
def test_the_library_sets_the_level(tmp_path: pathlib.Path, level: str, levels: list[str]) -> None:
    written = f"[library.yml]\nchecks: {{stranded-exercise: {level}}}\n" + STRANDED
    assert [one.level for one in verdict(tmp_path, written).findings] == levels


def test_a_ladder_accepts_what_is_found_about_it(tmp_path: pathlib.Path) -> None:
    written = (
        "[exercises/a.md]\ntitle: A\n[exercises/b.md]\ntitle: B\n"
        "[ladders/l.md]\ntitle: L\ngoal: b\nentries: {high: a}\n"
        "accepts: [{check: unreachable-goal, because: to be written, until: 2026-12-31}]\n"
    )
    found = verdict(tmp_path, written, only=("unreachable-goal", "unknown-reference"))
    assert (found.findings, [one.ladder for one in found.accepted]) == ((), ["l"])


SHORTCUT = (
    "[exercises/a.md]\ntitle: A\nprogressions: [{to: b, when: [x]}, {to: c, when: [x]}%s]\n"
    "accepts: [{check: redundant-shortcut%s, because: b is for some, until: 2026-12-31}]\n"
    "[exercises/b.md]\ntitle: B\nprogressions: [{to: c, when: [x]}]\n"
    "[exercises/c.md]\ntitle: C\nprogressions: [{to: d, when: [x]}]\n[exercises/d.md]\ntitle: D\n"
)
SHORT = ("redundant-shortcut", "unknown-reference")


def test_what_is_accepted_of_one_progression_holds_for_that_one(tmp_path: pathlib.Path) -> None:
    found = verdict(tmp_path, SHORTCUT % ("", ", to: c"), only=SHORT)
    assert (found.findings, [one.edge for one in found.accepted]) == ((), [("a", "c")])


def test_a_later_progression_of_the_same_exercise_is_not_accepted_with_it(
    tmp_path: pathlib.Path,
) -> None:
    found = verdict(tmp_path, SHORTCUT % (", {to: d, when: [x]}", ", to: c"), only=SHORT)
    assert [one.edge for one in found.findings] == [("a", "d")]
    assert [one.edge for one in found.accepted] == [("a", "c")]


def test_an_acceptance_that_names_no_progression_holds_for_none_and_says_what_to_write(
    tmp_path: pathlib.Path,
) -> None:
    found = verdict(tmp_path, SHORTCUT % ("", ""), only=SHORT)
    assert found.accepted == ()
    assert {one.check: one.message for one in found.findings}["unknown-reference"] == (
        "accepts redundant-shortcut for no progression in particular, and so for none: "
        "write 'to: c'."
    )


def test_what_is_accepted_of_a_progression_that_is_sound_is_a_warning(
    tmp_path: pathlib.Path,
) -> None:
    found = verdict(tmp_path, SHORTCUT % ("", ", to: b"), only=SHORT)
    assert (
        "accepts redundant-shortcut from a to b, where nothing of that name is found: "
        "remove the acceptance."
    ) in [one.message for one in found.findings]


def test_the_harder_exercise_accepts_by_where_it_comes_from(tmp_path: pathlib.Path) -> None:
    written = (
        "[exercises/a.md]\ntitle: A\ncautions: [one]\nprogressions: [{to: b, when: [x]}]\n"
        "[exercises/b.md]\ntitle: B\n"
        "accepts: [{check: caution-lost, from: a, because: no more, until: 2026-12-31}]\n"
        "[vocabulary/cautions.yml]\none: {title: One}\n"
    )
    found = verdict(tmp_path, written, only=("caution-lost", "unknown-reference"))
    assert (found.findings, [one.edge for one in found.accepted]) == ((), [("a", "b")])


@pytest.mark.parametrize(
    ("keys", "message"),
    [
        (", to: nowhere", "there is no exercise 'nowhere'"),
        (", to: c, from: b", "it is from or to this exercise, not both"),
    ],
)
def test_an_end_that_makes_no_sense_is_named(
    tmp_path: pathlib.Path, keys: str, message: str
) -> None:
    found = verdict(tmp_path, SHORTCUT % ("", keys), only=())
    assert any(one.message.startswith(message) for one in found.findings)


def test_a_ladder_names_both_ends(tmp_path: pathlib.Path) -> None:
    ladder = (
        "[ladders/l.md]\ntitle: L\ngoal: c\nentries: {high: a}\naccepts: "
        "[{check: redundant-shortcut%s, because: b is for some, until: 2026-12-31}]\n"
    )
    bare = (SHORTCUT % ("", "")).replace("accepts: ", "# ")
    found = verdict(tmp_path / "both", bare + ladder % ", from: a, to: c", only=SHORT)
    assert [one.edge for one in found.accepted] == [("a", "c")]
    found = verdict(tmp_path / "one", bare + ladder % ", to: c", only=())
    assert any("'from' is missing: name both ends" in one.message for one in found.findings)
