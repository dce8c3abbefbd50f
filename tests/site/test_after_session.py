"""After a session on the exercise's page: the outcomes of `ladder/after.py`, and by hand."""

from __future__ import annotations

import dataclasses
import math
import pathlib
import random
from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

import pytest

from rungbook.ladder.after import after
from rungbook.ladder.session import SWELLINGS, Session
from rungbook.ladder.session_line import read_session_line, session_line
from rungbook.ladder.session_rules import RulesFor, rules_for, word_keys
from rungbook.pipeline.analyse import Analysis

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

EXERCISES = (
    "heel-raise-seated", "heel-raise-one-leg", "hop-both-feet", "standing-raise", "heel-slide",
    "sit-to-stand", "step-up", "press-floor", "hinge", "calf-stretch-wall",
)  # fmt: skip
EACH = 30
ASK = """async (cases) => {
  const answers = [];
  const read = (s) => s && Object.assign(rungbook.sessionLine.nothing(), s, {
    redFlags: s.redFlags && new Set(s.redFlags), settled: s.settled === "not" ? Infinity : s.settled,
    answers: new Map(s.answers), tests: new Map(s.tests), last: read(s.last) });
  for (const { id, session, quota, weeks } of cases) {
    const record = await rungbook.load("after/" + id);
    const found = rungbook.after.after(Object.assign({}, record.rules[0], { quota }), read(session), weeks);
    answers.push([found.outcome, found.to, found.advice, found.conflict.map((one) => one.rule),
      found.rules.map((one) => [one.rule, one.says, one.met, one.leads, one.to, one.source, one.key])]);
  }
  return answers;
}"""


def _session(dice: random.Random, rules: RulesFor, last: bool = True) -> Session:
    """Anything that may be told, often left out."""

    def told(*values: Any) -> Any:
        return dice.choice((None, *values))

    pains = {
        name: told(0.0, 1.0, 2.0, 3.0, 6.0)
        for name in ("pain_before", "pain_during", "pain_night", "pain_next_morning")
    }
    keys = [key for found in word_keys(rules).values() for key in found]
    flags = [key for key, _ in rules.flags]
    if dice.random() < 0.2:
        return _good(dice, keys)
    return Session(
        red_flags=told(frozenset(), frozenset(dice.sample(flags, min(1, len(flags))))),
        giving_way=told(False, False, True),
        **pains,
        settled_h=told(12.0, 24.0, 48.0, math.inf),
        swelling=told(*SWELLINGS),
        sets=told(3), reps=told(8, 15, 30), hold_s=told(30.0), effort=told(2.0, 4.0, 8.0),
        sessions=told(2.0, 12.0), weeks=told(1.0, 4.0), missed_weeks=told(1.0, 2.0),
        held_last=told(True, False),
        last=_session(dice, rules, False) if last and dice.random() < 0.5 else None,
        answers={key: dice.random() < 0.7 for key in keys if dice.random() < 0.8},
    )  # fmt: skip


def _good(dice: random.Random, keys: list[str]) -> Session:
    """All criteria met, or one thing amiss."""
    amiss = dice.choice(("", "", "effort", "sessions", "swelling"))
    return Session(
        red_flags=frozenset(), giving_way=False, pain_before=0.0, pain_during=0.0,
        pain_night=0.0, pain_next_morning=0.0, settled_h=12.0, held_last=True,
        swelling="more" if amiss == "swelling" else "none", sets=5, reps=40, hold_s=90.0,
        effort=9.0 if amiss == "effort" else 2.0, sessions=0.0 if amiss == "sessions" else 40.0,
        weeks=20.0, answers={key: not key.startswith("back-off") for key in keys},
    )  # fmt: skip


def _told(one: Session | None) -> dict[str, Any] | None:
    if one is None:
        return None
    names = {
        "giving_way": "givingWay", "pain_before": "painBefore", "pain_during": "painDuring",
        "pain_night": "painNight", "pain_next_morning": "painNextMorning", "hold_s": "hold",
        "missed_weeks": "missedWeeks", "held_last": "heldLast",
    }  # fmt: skip
    plain = ("swelling", "sets", "reps", "effort", "sessions", "weeks", *names)
    values = {names.get(name, name): getattr(one, name) for name in plain}
    return {
        **values,
        "redFlags": None if one.red_flags is None else sorted(one.red_flags),
        "settled": "not" if one.settled_h == math.inf else one.settled_h,
        "answers": list(one.answers.items()),
        "tests": list(one.tests.items()),
        "last": _told(one.last),
    }


@pytest.fixture
def page(browser: Browser) -> Iterator[Page]:
    made = browser.new_page(viewport={"width": 390, "height": 800})
    made.on("pageerror", lambda error: pytest.fail(f"script error: {error}"))
    yield made
    made.close()


def _open(page: Page, site: pathlib.Path, id: str) -> None:
    page.goto((site / "exercises" / f"{id}.html").as_uri())
    page.wait_for_function("Boolean(window.rungbook && rungbook.after)")


def test_the_page_says_after_a_session_what_the_command_says(
    page: Page, demo: Analysis, demo_site: pathlib.Path
) -> None:
    """Outcome, where it leads, advice, conflict and every rule, over sessions of all kinds."""
    dice = random.Random(3)
    cases, expected = [], []
    for id in EXERCISES:
        rules = rules_for(demo.measured, id)
        for number in range(EACH):
            quota = number % 10 == 0
            session = _session(dice, rules)
            cases.append({"id": id, "session": _told(session), "quota": quota, "weeks": None})
            expected.append(after(dataclasses.replace(rules, quota=quota), session))
    _open(page, demo_site, EXERCISES[0])
    for case, mine, shown in zip(cases, expected, page.evaluate(ASK, cases), strict=True):
        rules = [[r.rule, r.says, r.met, r.leads, r.to, r.source, r.key] for r in mine.rules]
        assert shown[4] == rules, case
        conflict = [one.rule for one in mine.conflict]
        assert shown[:4] == [mine.outcome, list(mine.to), mine.advice, conflict], case
    assert {one.outcome for one in expected} == {
        "stop", "back", "stay", "criteria-met", "cannot-say",
    }  # fmt: skip


@pytest.mark.parametrize(
    "line",
    [
        "pain 3 during, 1 next morning; settled in 24 h; 3 x 15; effort 4; session 5",
        "pain 0 before, 2.5 at night; not settled; 3 x 5 of 15 s; swelling more",
        "3 x 30 s",
    ],
)
def test_a_line_for_the_notes_is_read_as_the_command_reads_it(
    page: Page, demo_site: pathlib.Path, line: str
) -> None:
    _open(page, demo_site, EXERCISES[0])
    again = page.evaluate(
        "(line) => rungbook.sessionLine.write(rungbook.sessionLine.read(line))", line
    )
    assert again == session_line(read_session_line(line)) == line


def test_a_session_is_entered_by_hand_and_a_pain_of_eleven_refused_by_name(
    page: Page, demo_site: pathlib.Path
) -> None:
    """Danger signs first; a wrong figure is named; what is entered reaches no address or storage."""
    _open(page, demo_site, "heel-raise-seated")
    page.get_by_text("Enter what happened").click()
    said = page.locator("[data-after-said] .after-outcome")
    said.filter(has_text="Cannot say").wait_for()
    assert page.locator("[data-after-form] legend").first.inner_text() == "Danger signs"
    during = page.get_by_label("Pain during, the worst, of 10")
    during.press_sequentially("11")
    assert (
        "Pain during, the worst: 11 is not between 0 and 10."
        in page.locator("[data-after-form]").inner_text()
    )
    assert "No answer until" in said.inner_text()
    for _ in range(2):
        during.press("Backspace")
    during.press_sequentially("7")
    page.get_by_label("Pain the next morning, of 10").press_sequentially("6")
    said.filter(has_text="Back").wait_for()
    page.locator("input[name=flag]").first.press("Space")
    said.filter(has_text="Stop: Stop, and examine or refer.").wait_for()
    assert "more cautious holds" in page.locator("[data-after-said]").inner_text()
    assert "pain 7 during, 6 next morning" in page.locator("[data-after-line]").inner_text()
    assert "#" not in page.url
    assert page.evaluate("[localStorage.length, sessionStorage.length, window.name]") == [0, 0, ""]
    inputs = page.locator("[data-after-form] input")
    assert set(inputs.evaluate_all("(all) => all.map((one) => one.autocomplete)")) == {"off"}
    page.reload()
    page.get_by_text("Enter what happened").click()
    said.filter(has_text="Cannot say").wait_for()
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
