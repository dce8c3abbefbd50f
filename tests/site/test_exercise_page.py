"""The exercise page in the middle of a treatment, used with taps on a phone."""

from __future__ import annotations

import pathlib
import re
from collections.abc import Iterator
from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page


@pytest.fixture
def phone(browser: Browser) -> Iterator[Page]:
    context = browser.new_context(
        viewport={"width": 390, "height": 844}, has_touch=True, is_mobile=True
    )
    yield context.new_page()
    context.close()


def open_page(page: Page, site: pathlib.Path, key: str) -> None:
    page.goto((site / "exercises" / f"{key}.html").as_uri())
    page.wait_for_load_state("networkidle")


def top_of(page: Page, css: str) -> float:
    box = page.locator(css).first.bounding_box()
    assert box is not None, css
    return box["y"]


def test_the_first_screen_of_a_phone_has_all_that_is_needed(
    phone: Page, demo_site: pathlib.Path
) -> None:
    """Over every exercise: title, cautions, figure, dose, easier and harder above the bar."""
    tops = []
    for path in sorted((demo_site / "exercises").glob("*.html"))[::12]:
        open_page(phone, demo_site, path.stem)
        order = ["h1", "[class^=safety]", ".dose-now", ".tiles"]
        places = [top_of(phone, css) for css in order]
        assert places == sorted(places), path.stem
        tops.append(places[-1])
    assert sorted(tops)[len(tops) // 2] < 620
    assert max(tops) < 700


def test_at_a_desk_do_is_seen_without_scrolling(browser: Browser, demo_site: pathlib.Path) -> None:
    page = browser.new_page(viewport={"width": 1280, "height": 900})
    for key in ("sit-to-stand", "press-floor", "heel-raise-one-leg", "heel-raise-one-leg-step"):
        open_page(page, demo_site, key)
        for css in (".exercise-figure", ".dose-now", ".tiles", "#do-1"):
            assert top_of(page, css) < 860, (key, css)
    page.close()


def test_cautions_open_by_one_tap_and_danger_signs_are_counted_and_named(
    phone: Page, demo_site: pathlib.Path
) -> None:
    open_page(phone, demo_site, "sit-to-stand")
    line = phone.locator(".safety summary")
    assert "danger signs:" in line.inner_text()
    assert not phone.locator(".safety-text").is_visible()
    line.tap()
    assert phone.locator(".safety-text").is_visible()


def test_nothing_of_the_cautions_is_hidden_in_print(phone: Page, demo_site: pathlib.Path) -> None:
    open_page(phone, demo_site, "sit-to-stand")
    phone.emulate_media(media="print")
    box = phone.locator(".safety-text > *").last.bounding_box()
    assert box and box["height"] > 0


def test_less_of_the_same_rewrites_the_dose_and_goes_along_to_the_sheet(
    phone: Page, demo_site: pathlib.Path
) -> None:
    open_page(phone, demo_site, "sit-to-stand")
    own = phone.locator("[data-dose-line]").inner_text()
    button = phone.get_by_role("button", name="5 repetitions instead of 10")
    button.tap()
    assert button.get_attribute("aria-pressed") == "true"
    assert "3 × 5" in phone.locator("[data-dose-line]").inner_text()
    phone.locator(".thumb-bar [data-add-to-sheet]").tap()
    phone.wait_for_url("**/sheet.html**")
    assert "sheet=sit-to-stand~~reps:5" in phone.url
    phone.go_back()
    phone.wait_for_load_state("networkidle")
    assert phone.locator("[data-dose-line]").inner_text() == own


def test_pressed_again_the_dose_is_its_own(phone: Page, demo_site: pathlib.Path) -> None:
    open_page(phone, demo_site, "sit-to-stand")
    own = phone.locator("[data-dose-line]").inner_text()
    first = phone.locator(".less button").first
    first.tap()
    first.tap()
    assert phone.locator("[data-dose-line]").inner_text() == own


def test_the_menu_opens_and_closes_by_key_and_tap(phone: Page, demo_site: pathlib.Path) -> None:
    open_page(phone, demo_site, "sit-to-stand")
    nav = phone.locator(".masthead-nav")
    assert not nav.is_visible()
    phone.locator(".masthead-menu").tap()
    assert nav.is_visible()
    phone.keyboard.press("Escape")
    assert not nav.is_visible()
    box = phone.locator(".masthead").bounding_box()
    assert box and box["height"] <= 60


def test_every_rule_of_the_style_sheets_is_closed() -> None:
    """A brace left open puts all that follows, print and phone among it, under one condition."""
    for sheet in (pathlib.Path(__file__).parents[2] / "site_theme" / "styles").glob("*.css"):
        text = sheet.read_text(encoding="utf-8")
        depth = 0
        for sign in text:
            depth += (sign == "{") - (sign == "}")
            assert 0 <= depth <= 2, sheet.name
        assert depth == 0, sheet.name


def test_a_printed_exercise_is_one_page_of_a4(browser: Browser, demo_site: pathlib.Path) -> None:
    """ISO 216: A4 is 210 by 297 mm, in points of 1/72 inch 595 by 842. The longest pages first."""
    files = sorted((demo_site / "exercises").glob("*.html"), key=lambda path: -path.stat().st_size)
    page = browser.new_page()
    page.emulate_media(media="print")
    for path in [*files[:4], demo_site / "exercises" / "pulley-raise.html"]:
        page.goto(path.as_uri())
        printed = page.pdf(prefer_css_page_size=True)
        boxes = re.findall(rb"/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]", printed)
        assert [[round(float(one)) for one in box] for box in boxes] == [[595, 842]], path.stem
        for css in (".safety-text", ".dose-now", ".tiles", "#do-1", "#go-on", "#back-off"):
            assert page.locator(css).first.is_visible(), (path.stem, css)
        sizes = page.evaluate(
            """() => [...document.querySelectorAll("main *")].filter((one) => one.checkVisibility() &&
              [...one.childNodes].some((node) => node.nodeType === 3 && node.data.trim()))
              .map((one) => parseFloat(getComputedStyle(one).fontSize))"""
        )
        assert min(sizes) >= 11, path.stem
    page.close()
