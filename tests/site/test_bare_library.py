"""A library with nothing but two exercises: no words, no orders, no ladder, one area."""

from __future__ import annotations

import pathlib
from typing import TYPE_CHECKING

from builders.sites import analysis, raise_arm
from rungbook.site.publishing.publish import publish

if TYPE_CHECKING:
    from playwright.sync_api import Browser


def test_every_page_of_it_runs_and_the_finder_answers(
    browser: Browser, tmp_path: pathlib.Path
) -> None:
    two = {"low": raise_arm("Arm a little forward", "high", 30), "high": raise_arm("Arm overhead")}
    site, troubles = tmp_path / "site", list[str]()
    publish(analysis(tmp_path, exercises=two), site, draft=True)
    page = browser.new_page()
    page.on("pageerror", lambda error: troubles.append(str(error)))
    for path in sorted(site.rglob("*.html")):
        page.goto(path.as_uri())
        page.wait_for_timeout(150)
        assert not troubles, (path.name, troubles)
    page.goto((site / "finder.html").as_uri())
    page.locator("#finder-exercise").press_sequentially("Arm over")
    page.wait_for_selector("#finder-exercise-list [role=option]")
    page.keyboard.press("ArrowDown")
    page.keyboard.press("Enter")
    page.wait_for_selector(".option[data-option=low]")
    page.close()
    assert not troubles
