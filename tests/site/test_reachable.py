"""What people who use a keyboard, a phone or high contrast meet; axe-core cannot see these."""

from __future__ import annotations

import pathlib
from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

import pytest

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page


@pytest.fixture
def page(browser: Browser, request: pytest.FixtureRequest) -> Iterator[Page]:
    settings: dict[str, Any] = getattr(request, "param", {})
    context = browser.new_context(**settings)
    yield context.new_page()
    context.close()


# How much of what has the focus lies below the fixed bar, 0 to 1; nothing where it is in the bar.
HIDDEN = """() => {
  const bar = document.querySelector(".thumb-bar").getBoundingClientRect();
  const one = document.activeElement;
  if (one === document.body || one.closest(".thumb-bar")) return 0;
  const box = one.getBoundingClientRect();
  const seen = Math.min(box.bottom, bar.top) - Math.max(box.top, 0);
  return box.height ? 1 - Math.max(0, seen) / box.height : 0;
}"""


@pytest.mark.parametrize("page", [{"viewport": {"width": 390, "height": 844}}], indirect=True)
@pytest.mark.parametrize("name", ["table-slide", "heel-raise-one-leg"])
def test_the_fixed_bar_hides_nothing_that_has_the_focus(
    page: Page, demo_site: pathlib.Path, name: str
) -> None:
    """WCAG 2.2, 2.4.11: not wholly hidden; by half is too much for us."""
    page.goto((demo_site / f"exercises/{name}.html").as_uri())
    hidden = []
    for stop in range(75):
        page.keyboard.press("Tab")
        share = page.evaluate(HIDDEN)
        if share > 0.5:
            hidden.append((stop, page.evaluate("document.activeElement.textContent.slice(0, 40)")))
    assert hidden == []


def test_the_bars_of_a_step_are_seen_in_forced_colours(page: Page, demo_site: pathlib.Path) -> None:
    page.emulate_media(forced_colors="active")
    page.goto((demo_site / "exercises/heel-raise-both-legs.html").as_uri())
    colours = "one => [getComputedStyle(one).backgroundColor, getComputedStyle(document.body).backgroundColor]"
    filled, paper = page.locator(".bar .cell-full").first.evaluate(colours)
    assert filled != paper


def test_a_drawing_has_a_short_name_and_its_description_apart(
    page: Page, demo_site: pathlib.Path
) -> None:
    page.goto((demo_site / "exercises/heel-raise-both-legs.html").as_uri())
    for drawing in page.locator("svg[role]").all():
        assert len(drawing.evaluate("one => document.getElementById(one.getAttribute('aria-labelledby')).textContent")) < 160  # fmt: skip
        described = drawing.get_attribute("aria-describedby")
        assert page.locator(f"[id='{described}']").count() == 1


def test_the_key_of_the_search_can_be_switched_off_for_the_way_through_the_site(
    page: Page, demo_site: pathlib.Path
) -> None:
    """WCAG 2.1, 2.1.4: a shortcut of one character can be turned off."""
    page.goto((demo_site / "method.html").as_uri())
    switch = page.get_by_label("The key / leads to the search")
    assert switch.is_checked()
    switch.focus()
    page.keyboard.press("Space")
    page.locator("h1").click()
    page.keyboard.press("/")
    assert page.evaluate("document.activeElement.tagName") != "INPUT"
    page.get_by_role("link", name="Equipment").last.click()
    page.wait_for_url("**/equipment.html#keys=off")
    page.keyboard.press("/")
    assert page.evaluate("document.activeElement.id") != "search-field"
    assert not page.get_by_label("The key / leads to the search").is_checked()
    assert (
        page.evaluate("localStorage.length + sessionStorage.length + document.cookie.length") == 0
    )
    page.get_by_label("The key / leads to the search").check()
    page.locator("h1").click()
    page.keyboard.press("/")
    assert page.evaluate("document.activeElement.id") == "search-field"
