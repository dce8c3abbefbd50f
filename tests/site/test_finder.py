"""The finder and the route page as a clinician meets them: by keyboard, on a phone, by a link."""

from __future__ import annotations

import pathlib
from collections.abc import Iterator
from typing import TYPE_CHECKING

import pytest

from builders.patients import enter

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

TOOLS = ("finder.html", "route.html", "sheet.html")


@pytest.fixture
def page(browser: Browser) -> Iterator[Page]:
    context = browser.new_context(viewport={"width": 390, "height": 800})
    made = context.new_page()
    made.on("pageerror", lambda error: pytest.fail(f"script error: {error}"))
    yield made
    context.close()


def _go(page: Page, site: pathlib.Path, name: str, fragment: str = "") -> None:
    page.goto((site / name).as_uri() + (f"#{fragment}" if fragment else ""))


def _tab_to(page: Page, selector: str) -> None:
    """Press Tab until an element has the focus, as a person without a mouse does."""
    for _ in range(120):
        if page.evaluate("(s) => document.activeElement.matches(s)", selector):
            return
        page.keyboard.press("Tab")
    pytest.fail(f"Tab never reaches {selector}")


def test_finding_an_easier_one_by_keyboard_alone(page: Page, demo_site: pathlib.Path) -> None:
    """Type, choose with the arrows, tick a reason, read the count, follow an option."""
    _go(page, demo_site, "finder.html")
    _tab_to(page, "#finder-exercise")
    page.keyboard.type("heel rai one")
    page.wait_for_selector("#finder-exercise-list [role=option]")
    page.keyboard.press("ArrowDown")
    assert (
        page.get_attribute("#finder-exercise", "aria-activedescendant") == "finder-exercise-list-0"
    )
    page.keyboard.press("Enter")
    assert page.input_value("#finder-exercise") == "Heel raise, one leg"
    page.wait_for_selector(".option")
    assert "exercise=heel-raise-one-leg" in page.url
    before = page.inner_text("#finder-count")
    assert "with less load" in before
    _tab_to(page, "input[name=because][value=bearing]")
    page.keyboard.press("Space")
    page.wait_for_function(
        "(was) => document.querySelector('#finder-count').textContent !== was", arg=before
    )
    assert "load and weight-bearing" in page.inner_text("#finder-count")
    _tab_to(page, ".option a.entry-title")
    page.keyboard.press("Enter")
    page.wait_for_url("**/exercises/**")


def test_the_count_is_announced(page: Page, demo_site: pathlib.Path) -> None:
    _go(page, demo_site, "finder.html", "exercise=heel-raise-one-leg")
    assert page.get_attribute("#finder-count", "aria-live") == "polite"
    assert (
        page.get_attribute("#route-status", "role")
        if page.query_selector("#route-status")
        else True
    )


WARNING = """(one) => [...document.querySelectorAll('#finder-options *')].filter((node) =>
  node.childNodes.length && [...node.childNodes].some((child) => child.nodeType === 3 && child.data.trim()) &&
  getComputedStyle(node).color === one).map((node) => node.className + ': ' + node.textContent)"""


def test_three_answers_stand_first_and_only_what_rises_is_in_warning_colour(
    page: Page, demo_site: pathlib.Path
) -> None:
    _go(page, demo_site, "finder.html", "exercise=heel-raise-one-leg&because=load")
    page.wait_for_selector("#first-answers .option")
    slots = "#first-answers .option-slot"
    assert page.locator(slots).all_inner_texts() == ["A little less", "About half", "Gentlest"]
    first = page.locator("#first-answers .option").first.inner_text()
    assert "leaning on the hands" in first and "0.83 ×" in first and "back up in 1 rung" in first
    page.locator("label", has_text="High: pain of 7 of 10").click()
    page.locator(slots).first.filter(has_text="About half").wait_for()
    rises = page.locator(".option-rises").first
    colour = rises.evaluate("(node) => getComputedStyle(node).color")
    warned = page.evaluate(WARNING, colour)
    assert warned and all(one.startswith("option-rises: ") for one in warned), warned
    assert page.locator("#also-less").count() == 1
    assert page.locator("text=safer").count() == 0 and page.locator("text=missing").count() == 0


def test_a_stretched_position_is_answered_by_the_shorter_arc_of_the_page(
    page: Page, demo_site: pathlib.Path
) -> None:
    _go(page, demo_site, "finder.html", "exercise=heel-raise-one-leg&because=load")
    page.wait_for_selector("#first-answers .option")
    assert "still lowering" not in page.locator("#finder-options").inner_text()
    _go(page, demo_site, "finder.html", "exercise=heel-raise-one-leg&because=lowering")
    page.wait_for_selector("#first-answers .option")
    shown = page.locator("#finder-options").inner_text()
    assert "still lowering" in shown and "up on both legs, down on one" not in shown
    hidden = page.locator("#finder-hidden summary", has_text="Lowering body weight on one leg")
    assert hidden.count() == 1


def test_every_filter_says_what_it_hid_and_can_be_lifted(
    page: Page, demo_site: pathlib.Path
) -> None:
    fragment = "exercise=heel-raise-one-leg&because=load&not-in=standing&not-in=sitting"
    _go(page, demo_site, "finder.html", fragment)
    page.wait_for_selector("#finder-hidden details")
    assert "left out" in page.inner_text("#finder-count")
    hidden = page.locator("#finder-hidden summary").first.inner_text()
    assert hidden.startswith("Not ") and "hides" in hidden
    page.locator("#finder-hidden summary").first.click()
    assert "is done in" in page.locator("#finder-hidden li").first.inner_text()
    page.locator("#finder-hidden button").first.click()
    page.wait_for_function("location.hash.split('not-in').length === 2")


def test_a_kind_of_work_is_a_filter_that_says_what_it_hid(
    page: Page, demo_site: pathlib.Path
) -> None:
    page.goto((demo_site / "finder.html").as_uri() + "#exercise=standing-raise")
    page.locator("#finder-filters > summary").click()
    page.get_by_label("Assisted (part of the limb is carried)").check()
    hidden = page.locator("#finder-hidden summary", has_text="Only assisted work hides")
    hidden.click()
    assert "its shoulder flexion is held" in page.locator("#finder-hidden").inner_text()
    assert "assisted" not in page.url, "what is allowed to the patient stays in the tab"
    page.get_by_role("button", name="Lift this filter").first.click()
    page.locator("#filters-set", has_text="none set").wait_for(state="attached")


def test_without_an_exercise_everything_that_fits_comes_up(
    page: Page, demo_site: pathlib.Path
) -> None:
    """Typed and pressed as a clinician does: kinds, then the furthest angle."""
    page.goto((demo_site / "finder.html").as_uri())
    page.locator("#finder-filters > summary").press("Enter")
    for name in ("Passive (moved", "Assisted (part"):
        page.get_by_label(name).press("Space")
    page.locator("#limit-joint").select_option("shoulder flexion")
    page.locator("#limit-angle").press_sequentially("90")
    page.locator("#limit-angle").press("Enter")
    page.locator("#finder-limits", has_text="shoulder flexion no more than 90").wait_for()
    count = page.locator("#finder-count")
    assert "lightest first" in count.inner_text()
    assert page.locator("#finder-results-title").inner_text() == "What fits"
    row = page.locator("[data-option=pulley-raise]")
    assert "only to 90° of shoulder flexion instead of 110°" in row.inner_text()
    assert "assisted, 75 % of the limb carried" in row.inner_text()
    assert page.locator("[data-option=press-wall-near]").count() == 0
    hidden = page.locator("#finder-hidden summary", has_text="Only passive, assisted work hides")
    assert hidden.count() == 1


def test_an_order_asks_for_the_weeks_and_says_what_holds(
    page: Page, demo_site: pathlib.Path
) -> None:
    page.goto((demo_site / "finder.html").as_uri())
    page.locator("#finder-filters > summary").press("Enter")
    assert not page.locator("#finder-weeks").is_visible()
    page.get_by_role("checkbox", name="Rotator cuff repair, first").press("Space")
    page.locator("#finder-orders", has_text="all rows hold").wait_for()
    assert (
        "examples until the order for this patient is confirmed"
        in page.locator("#finder-orders").inner_text()
    )
    assert page.locator("[data-option=standing-raise]").count() == 0
    weeks = page.get_by_label("Weeks since the operation")
    assert weeks.get_attribute("autocomplete") == "off"
    weeks.press_sequentially("soon")
    weeks.press("Tab")
    assert "A number of weeks" in page.locator("#since-error").inner_text()
    weeks.fill("")
    weeks.press_sequentially("8")
    weeks.press("Tab")
    page.locator("#finder-orders", has_text="Week 8: a date opens a phase").wait_for()
    assert page.locator("[data-option=standing-raise]").count() == 0
    page.get_by_label("has ended what only they end: Rotator").press("Space")
    page.locator("[data-option=standing-raise]").wait_for()
    page.locator("#finder-clear").click()
    page.wait_for_function("!document.querySelector('#finder-since').value")


def test_limits_that_contradict_one_another_say_which_leaves_most_out(
    page: Page, demo_site: pathlib.Path
) -> None:
    page.goto((demo_site / "finder.html").as_uri())
    page.locator("#finder-filters > summary").press("Enter")
    page.get_by_label("Passive (moved").press("Space")
    page.locator("#limit-joint").select_option("hip flexion")
    page.locator("#limit-angle").press_sequentially("-60")
    page.locator("#limit-add").press("Enter")
    shown = page.locator("#finder-options", has_text="Most is left out by")
    shown.wait_for()
    # No exercise keeps the hip so far behind the body.
    every = page.evaluate("rungbook.load('names').then((names) => names.exercises.length)")
    assert f"{every} by it alone" in shown.inner_text()


def test_a_joint_limit_is_added_and_a_wrong_one_refused(
    page: Page, demo_site: pathlib.Path
) -> None:
    _go(page, demo_site, "finder.html", "exercise=squat-full&because=load")
    page.locator("#finder-filters summary").first.click()
    page.fill("#limit-angle", "ninety")
    page.click("#limit-add")
    assert "An angle in degrees" in page.inner_text("#limit-error")
    assert "max=" not in page.url
    page.select_option("#limit-joint", "hip flexion")
    page.fill("#limit-angle", "90")
    page.press("#limit-angle", "Enter")
    page.wait_for_selector("text=hip flexion no more than 90°")
    assert "hip" not in page.url, "what is ordered for the patient stays in the tab"
    page.fill("#finder-bearing", "150")
    page.press("#finder-bearing", "Tab")
    assert "from 0 to 100" in page.inner_text("#bearing-error")


def test_empty_states_say_what_to_do_next(page: Page, demo_site: pathlib.Path) -> None:
    _go(page, demo_site, "finder.html")
    assert "Choose the exercise above" in page.inner_text("#finder-count")
    _go(page, demo_site, "finder.html", "exercise=nothing-like-it")
    page.wait_for_selector("text=No exercise is called “nothing-like-it”")
    impossible = "exercise=heel-raise-one-leg&because=load&because=impact"
    _go(page, demo_site, "finder.html", impossible)
    page.wait_for_selector("text=Nothing with less load and impact")
    assert page.get_by_role("button", name="Without “impact”").is_visible()


def test_an_exercises_page_links_to_its_own_question(page: Page, demo_site: pathlib.Path) -> None:
    _go(page, demo_site, "exercises/heel-raise-one-leg.html")
    enter(page, mass="52")
    page.locator("a[href*='finder.html#exercise=heel-raise-one-leg']").first.click()
    page.wait_for_selector(".option")
    assert page.inner_text(".patient-now").startswith("52\u202fkg"), "the patient goes along"


def test_a_route_by_keyboard_alone(page: Page, demo_site: pathlib.Path) -> None:
    _go(page, demo_site, "route.html")
    for field, words in (
        ("#route-from", "heel raise sitting"),
        ("#route-to", "heel raise one leg"),
    ):
        _tab_to(page, field)
        page.keyboard.type(words)
        page.wait_for_selector(f"{field}-list [role=option]")
        page.keyboard.press("ArrowDown")
        page.keyboard.press("Enter")
    page.wait_for_selector(".way-rung")
    status = page.inner_text("#route-status")
    assert "largest step" in status and "not before" in status and "missing" in status
    assert page.locator(".way-step").count() == page.locator(".way-rung").count() - 1
    assert "Go on when all of these hold" in page.locator(".way-step").first.inner_text()
    _tab_to(page, ".way-rung a")


def test_the_first_thing_to_do_stands_first_and_is_number_one(
    page: Page, demo_site: pathlib.Path
) -> None:
    _go(page, demo_site, "route.html", "from=heel-raise-seated&to=heel-raise-one-leg")
    page.wait_for_selector(".way-rung")
    boxes = [one.bounding_box() for one in page.locator(".way-rung").all()]
    assert boxes == sorted(boxes, key=lambda box: box["y"])
    assert page.locator(".way-rung").first.inner_text().startswith("Heel raise, sitting")
    assert page.locator("ol.way").get_attribute("reversed") is None


def test_the_way_back_after_a_flare_up_by_keyboard(page: Page, demo_site: pathlib.Path) -> None:
    """The rule, where it leads, the way up from there; nothing of it in the address."""
    _go(page, demo_site, "route.html", "from=heel-raise-both-legs&to=heel-raise-one-leg")
    page.wait_for_selector(".way-rung")
    address = page.url
    _tab_to(page, "#route-flare-up")
    page.keyboard.press("ArrowDown")
    page.keyboard.press("ArrowDown")
    page.wait_for_selector(".way-back")
    first = page.inner_text(".way-back")
    assert "more than 24 hours and up to 3 days" in first
    assert "Back to Heel raise, both legs, leaning lightly on the hands." in first
    rung = page.locator(".way-rung").first.inner_text()
    assert rung.startswith("Heel raise, both legs, leaning lightly on the hands")
    assert page.url == address
    page.reload()
    page.wait_for_selector(".way-rung")
    assert page.locator(".way-back").count() == 0


def test_two_ends_on_different_ladders_say_so(page: Page, demo_site: pathlib.Path) -> None:
    _go(page, demo_site, "route.html", "from=heel-raise-seated&to=step-up")
    page.wait_for_selector("text=No ladder holds both")


def test_a_route_that_is_blocked_names_what_blocks_it(page: Page, demo_site: pathlib.Path) -> None:
    fragment = "from=heel-raise-seated&to=heel-raise-one-leg&not-in=standing"
    _go(page, demo_site, "route.html", fragment)
    page.wait_for_selector("text=No route.")
    assert "left out" in page.inner_text("#route-results")
    _go(page, demo_site, "route.html", "from=heel-raise-one-leg&to=heel-raise-seated")
    page.wait_for_selector("text=It is the other way round")
    page.get_by_role("link", name="Turn it round").click()
    page.wait_for_selector(".way-rung")


@pytest.mark.parametrize(
    ("name", "fragment"),
    [
        ("finder.html", "exercise=heel-raise-one-leg&because=load&not-in=sitting"),
        ("route.html", "from=heel-raise-seated&to=heel-raise-one-leg"),
        ("sheet.html", "sheet=heel-raise-one-leg~left&sheet=heel-raise-both-legs"),
        ("exercises/heel-raise-one-leg.html", ""),
        ("ladders/calf-loading.html", ""),
    ],
)
@pytest.mark.parametrize("width", [320, 390])
def test_no_sideways_scrolling(
    browser: Browser, demo_site: pathlib.Path, name: str, fragment: str, width: int
) -> None:
    page = browser.new_page(viewport={"width": width, "height": 700})
    _go(page, demo_site, name, fragment)
    page.wait_for_timeout(400)
    if "/" in name:
        enter(page, mass="52", stature="1.6")
    page.evaluate("document.querySelectorAll('details').forEach((d) => (d.open = true))")
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    page.close()


@pytest.mark.parametrize("name", TOOLS)
def test_without_scripts_a_page_says_what_is_missing(
    browser: Browser, demo_site: pathlib.Path, name: str
) -> None:
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    _go(page, demo_site, name)
    assert "scripts" in page.locator("noscript").first.inner_text()
    assert page.locator("form").first.is_hidden()
    assert page.locator("h1").is_visible()
    context.close()


def test_answers_go_as_soon_as_the_text_names_no_exercise(
    page: Page, demo_site: pathlib.Path
) -> None:
    """Nothing stands under a text that it is not the answer to."""
    _go(page, demo_site, "finder.html", "exercise=heel-raise-one-leg")
    page.wait_for_selector(".option")
    page.click("#finder-exercise")
    page.keyboard.type("zzz")
    page.keyboard.press("Enter")
    page.locator("#finder-count", has_text="names no exercise").wait_for()
    assert page.locator(".option").count() == 0
    assert page.input_value("#finder-exercise") == "zzz", "what is typed stays"
    assert "exercise=" not in page.url
    page.locator("#finder-filters > summary").click()
    page.get_by_label("Active").check()
    assert page.locator(".option").count() == 0, "nor what fits the limits: it was not asked"
    page.get_by_label("Active").uncheck()
    page.click("#finder-exercise")
    page.keyboard.type("heel raise one")
    page.wait_for_selector("#finder-exercise-list [role=option]")
    page.keyboard.press("ArrowDown")
    page.keyboard.press("Enter")
    page.wait_for_selector(".option")


def test_the_reason_in_use_can_be_unticked(page: Page, demo_site: pathlib.Path) -> None:
    _go(page, demo_site, "finder.html", "exercise=heel-raise-one-leg")
    page.wait_for_selector(".option")
    load = page.locator("input[name=because][value=load]")
    load.focus()
    page.keyboard.press("Space")
    page.locator("#finder-count", has_text="Tick at least one reason").wait_for()
    assert not load.is_checked() and page.locator(".option").count() == 0
    page.locator("input[name=because][value=bearing]").focus()
    page.keyboard.press("Space")
    page.locator("#finder-count", has_text="with less weight-bearing").wait_for()
    assert not load.is_checked()


def test_on_a_phone_choosing_leads_to_the_answers(
    browser: Browser, demo_site: pathlib.Path
) -> None:
    """By taps: the field, an exercise; the answers come into sight."""
    context = browser.new_context(
        viewport={"width": 390, "height": 844}, has_touch=True, is_mobile=True
    )
    page = context.new_page()
    _go(page, demo_site, "finder.html")
    page.tap("#finder-exercise")
    page.keyboard.type("heel raise one")
    page.tap("#finder-exercise-list [role=option]")
    page.wait_for_selector(".option")
    page.wait_for_function(
        "document.getElementById('finder-results-title').getBoundingClientRect().top < 200"
    )
    assert page.locator("#finder-results-title").bounding_box()["y"] >= 0  # type: ignore[index]
    context.close()
