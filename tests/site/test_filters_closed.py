"""A limit that a page cannot read is named, and nothing is answered until somebody lifts it.

A saved link outlives a renaming in the library: an order that is dropped without a word would
let through what it forbids.
"""

from __future__ import annotations

import pathlib
from collections.abc import Iterator
from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

FINDER = ("finder.html", "exercise=heel-raise-one-leg", ".option")
WITHIN = ("finder.html", "", ".option")
ROUTE = ("route.html", "from=heel-raise-seated&to=heel-raise-one-leg", ".way-rung")
# What an address may bring: filter and value, and what the page names.
FOR_BOTH = (
    ("restriction", "hip-posterior-old", "hip-posterior-old"), ("restriction", "", "Restriction"),
    ("restriction", "constructor", "constructor"), ("avoid", "gone", "gone"),
    ("without", "gone", "gone"), ("not-in", "gone", "gone"), ("not-in", "Standing", "Standing"),
    ("max", "gone", "gone"), ("max", "hip wobbling=90", "hip wobbling=90"),
    ("max", "hip flexion", "hip flexion"), ("max", "hip flexion=ninety", "ninety"),
    ("max", "hip flexion=9e9", "9e9"), ("max", "hip flexion=99999", "99999"),
    ("bearing", "NaN", "NaN"), ("bearing", "-5", "-5"), ("bearing", "101", "101"),
    ("bearing", "half", "half"), ("bearing", "50&bearing=20", "given twice"),
    ("kind-of-work", "gone", "gone"), ("restrictions", "hip-posterior", "restrictions"),
    ("limits", "set", "Limits were in force"),
)  # fmt: skip
FOR_THE_FINDER = (
    ("irritability", "gone", "gone"), ("irritability", "high&irritability=low", "given twice"),
    ("because", "gone", "gone"), ("area", "gone", "gone"),
    ("exercise", "heel-raise-seated", "given twice"),
)  # fmt: skip
FOR_THE_ROUTE = (("irritability", "high", "irritability"), ("area", "hip", "area"))


@pytest.fixture(scope="module")
def page(browser: Browser) -> Iterator[Page]:
    context = browser.new_context(viewport={"width": 1280, "height": 900})
    made = context.new_page()
    made.set_default_timeout(10_000)
    made.on("pageerror", lambda error: pytest.fail(f"script error: {error}"))
    yield made
    context.close()


def _open(page: Page, site: pathlib.Path, name: str, fragment: str) -> None:
    page.goto("about:blank")
    page.goto(f"{(site / name).as_uri()}#{fragment}")


CASES = [
    *((FINDER, case) for case in (*FOR_BOTH, *FOR_THE_FINDER)),
    *((WITHIN, case) for case in FOR_BOTH if case[0] not in ("limits", "restrictions")),
    *((ROUTE, case) for case in (*FOR_BOTH, *FOR_THE_ROUTE)),
]


@pytest.mark.parametrize(("tool", "case"), CASES)
def test_what_cannot_be_read_is_named_and_nothing_is_answered(
    page: Page, demo_site: pathlib.Path, tool: tuple[str, str, str], case: tuple[str, str, str]
) -> None:
    (name, question, answers), (key, value, named) = tool, case
    _open(page, demo_site, name, f"{question}&{key}={value.replace(' ', '+')}")
    notice = page.locator(".not-known")
    notice.wait_for()
    assert named in notice.inner_text()
    assert page.locator(answers).count() == 0
    assert "No answer yet" in page.locator("#finder-count, #route-status").inner_text()


@pytest.mark.parametrize("tool", [FINDER, ROUTE])
@pytest.mark.parametrize(
    "case", ["restriction=hip-posterior-old", "bearing=NaN", "restrictions=x", "limits=set"]
)
def test_once_lifted_the_answer_comes(
    page: Page, demo_site: pathlib.Path, tool: tuple[str, str, str], case: str
) -> None:
    name, question, answers = tool
    _open(page, demo_site, name, f"{question}&avoid=gone&{case}")
    page.locator(".not-known button").nth(1).wait_for()
    page.locator(".not-known button").first.click()
    assert page.locator(answers).count() == 0, "one is still there"
    page.wait_for_function("document.querySelectorAll('.not-known button').length === 1")
    assert page.evaluate("document.activeElement.matches('.not-known button')")
    page.keyboard.press("Enter")
    page.locator(answers).first.wait_for()
    assert page.locator(".not-known").count() == 0
    assert "gone" not in page.url and case.partition("=")[0] not in page.url


def test_an_order_in_an_address_is_obeyed_and_taken_out_of_it(
    page: Page, demo_site: pathlib.Path
) -> None:
    name, question, answers = FINDER
    _open(page, demo_site, name, question)
    page.locator(answers).first.wait_for()
    everything = page.locator(answers).count()
    _open(page, demo_site, name, f"{question}&bearing=50")
    page.locator("#finder-hidden summary", has_text="Weight bearing up to 50").wait_for()
    assert page.locator(answers).count() < everything
    assert "bearing" not in page.url and "limits=set" in page.url


def test_a_reload_says_that_limits_were_in_force(page: Page, demo_site: pathlib.Path) -> None:
    """They are not kept; without them it would be another question."""
    name, question, answers = FINDER
    _open(page, demo_site, name, question)
    page.locator("#finder-filters > summary").click()
    page.locator("#finder-bearing").press_sequentially("50")
    page.keyboard.press("Tab")
    page.locator("#finder-hidden summary", has_text="Weight bearing").wait_for()
    page.reload()
    page.locator(".not-known", has_text="Limits were in force").wait_for()
    assert page.locator(answers).count() == 0
    page.locator("#finder-filters > summary").click()
    page.locator("#finder-bearing").press_sequentially("50")
    page.keyboard.press("Tab")
    page.locator(answers).first.wait_for()
    assert page.locator(".not-known").count() == 0


def test_limits_go_along_to_the_route_and_are_named_there(
    page: Page, demo_site: pathlib.Path
) -> None:
    name, question, _ = FINDER
    _open(page, demo_site, name, question)
    page.locator("#finder-filters > summary").click()
    page.locator("#finder-bearing").press_sequentially("60")
    page.keyboard.press("Tab")
    page.get_by_label("Active").check()
    page.locator("#finder-hidden summary", has_text="Weight bearing").wait_for()
    page.get_by_label("Active").uncheck()
    page.get_by_role("link", name="Way back up").first.click()
    force = page.locator("#route-in-force")
    force.locator("li", has_text="Weight bearing up to 60").wait_for()
    assert "bears" in page.locator("#route-results").inner_text(), "and it is obeyed"
    force.get_by_role("button").first.click()
    page.locator(".way-rung").first.wait_for()
    assert force.locator("li").count() == 0
