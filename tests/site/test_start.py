"""Where to start on a ladder's page: the answers of `ladder/start.py`, and by hand."""

from __future__ import annotations

import itertools
import pathlib
import random
from typing import TYPE_CHECKING

import pytest

from builders.patients import enter
from rungbook.ladder.filters import Filters
from rungbook.ladder.start import Told, start
from rungbook.model.ladder import IRRITABILITIES
from rungbook.pipeline.analyse import Analysis

if TYPE_CHECKING:
    from playwright.sync_api import Browser

ASK = """async (cases) => {
  const answers = [];
  for (const { ladder, told } of cases) {
    const record = await rungbook.load("start/" + ladder);
    const found = rungbook.start.start(record, Object.assign({}, told, { tests: new Map(told.tests), maxima: new Map(told.maxima) }));
    answers.push([found.rung, found.suggestions.map((one) => [one.by, one.says, one.rung]), found.gates.map((one) => [one.test, one.before, one.met]),
      found.norms.map((one) => [one.test, one.says, one.source]), [...found.leftOut], found.mayBeTooLittle]);
  }
  return answers;
}"""


def test_the_page_says_where_to_start_as_the_command_does(
    browser: Browser, demo: Analysis, demo_site: pathlib.Path
) -> None:
    dice = random.Random(9)
    cases, expected = [], []
    for ladder, _ in itertools.product(demo.measured.ladders.values(), range(25)):
        told = Told(
            dice.choice((None, *IRRITABILITIES)),
            {test.test: float(dice.choice((0, 3, 9, 14, 24)))
             for test in ladder.ladder.tests if dice.random() < 0.6},
            {action: float(dice.choice((5, 40, 90, 400)))
             for action in ladder.ladder.works if dice.random() < 0.5},
            dice.choice((None, 50.0, 72.0, 99.0)),
            dice.random() < 0.5,
        )  # fmt: skip
        weeks = dice.choice((None, 1.0, 30.0))
        cases.append({"ladder": ladder.ladder.id, "told": {
            "irritability": told.irritability, "tests": list(told.tests.items()),
            "maxima": [[str(action), nm] for action, nm in told.maxima.items()],
            "age": told.age, "male": told.male, "weeks": weeks,
        }})  # fmt: skip
        expected.append(start(demo.measured, ladder.ladder.id, told, Filters(weeks=weeks)))
    page = browser.new_page()
    page.goto((demo_site / "ladders" / "calf-loading.html").as_uri())
    for case, mine, shown in zip(cases, expected, page.evaluate(ASK, cases), strict=True):
        assert shown == [
            mine.rung,
            [[one.by, one.says, one.rung] for one in mine.suggestions],
            [[one.test, one.before, one.met] for one in mine.gates],
            [[one.test, one.says, one.source] for one in mine.norms],
            [list(pair) for pair in mine.left_out.items()],
            mine.may_be_too_little,
        ], case
    assert len({one.rung for one in expected}) > 12
    page.close()


def test_a_test_is_entered_by_hand_and_a_wrong_maximum_named(
    browser: Browser, demo_site: pathlib.Path
) -> None:
    page = browser.new_page(viewport={"width": 390, "height": 800})
    page.on("pageerror", lambda error: pytest.fail(f"script error: {error}"))
    page.goto((demo_site / "ladders" / "sit-to-one-leg.html").as_uri())
    page.get_by_text("By a test or a measured strength").click()
    said = page.locator("[data-start-said]")
    said.filter(has_text="Say how irritable it is").wait_for()
    page.get_by_label("Chair stands in 30 s, repetitions").press_sequentially("9")
    said.filter(has_text="Start with: Standing up from a high seat").wait_for()
    assert "say the age to compare" in said.inner_text()
    maximum = page.get_by_label("Measured maximum of knee extension, N·m")
    maximum.press_sequentially("9000")
    form = page.locator("[data-start-form]")
    assert "Measured maximum: 9000 is not between 0 and 1000." in form.inner_text()
    maximum.press("Backspace")
    said.filter(has_text="It may be too little").wait_for()
    enter(page, age="72")
    said.filter(has_text="below average for this age (under 10)").wait_for()
    assert "before" in said.inner_text().lower() and "not tested" in said.inner_text()
    assert "#" not in page.url
    assert page.evaluate("[localStorage.length, sessionStorage.length, window.name]") == [0, 0, ""]
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    page.close()
