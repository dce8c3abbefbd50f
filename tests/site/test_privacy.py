"""What is entered about a patient stays in the tab: looked for where a browser keeps things."""

from __future__ import annotations

import pathlib
import re
from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any
from urllib.parse import quote

import pytest

from builders.patients import enter, typed
from builders.served import served

if TYPE_CHECKING:
    from playwright.sync_api import Browser, BrowserContext, Page, Playwright

ONE_LEG = "exercises/heel-raise-one-leg.html"
# Numbers of which no page, script or data file of the site has one.
MASS, STATURE, MAXIMUM, FROM, TO, LIMIT, BEARING = (
    "83.19370417", "1.61738492", "151.37790613", "3.17130958", "27.91712046", "87.19310877",
    "61.73930625",
)  # fmt: skip
ENTERED = (MASS, STATURE, MAXIMUM, FROM, TO, LIMIT, BEARING)
ORDER = "restriction=hip-posterior"


def _enter_all(page: Page) -> None:
    enter(
        page, MASS, STATURE, "male",
        arc=("ankle plantarflexion", FROM, TO), maximum=("ankle plantarflexion", "left", MAXIMUM),
    )  # fmt: skip


def _limits(page: Page) -> None:
    """Everything about orders on the finder: an order, an angle, weight bearing."""
    page.locator("#finder-filters > summary").click()
    page.locator("input[name=restriction]").first.check()
    page.select_option("#limit-joint", "ankle plantarflexion")
    typed(page, "#limit-angle", LIMIT)
    page.click("#limit-add")
    typed(page, "#finder-bearing", BEARING)


def _back(page: Page) -> None:
    """Playwright's own way waits for a load, which a page that was kept alive never has."""
    before = page.url
    page.evaluate("setTimeout(() => history.back(), 0)")
    page.wait_for_timeout(800)
    assert page.url != before


def _use(page: Page, site: str) -> None:
    """A clinician's few minutes: figures, links, finder with orders, sheet, Back, reload."""
    page.goto(f"{site}/{ONE_LEG}")
    _enter_all(page)
    page.wait_for_selector(".load-number.rescaled")
    page.get_by_role("button", name="Left", exact=True).click()
    page.locator(".neighbour a").first.click()
    page.wait_for_selector(".load-number.rescaled")
    page.locator("a[href*='finder.html#exercise']").first.click()
    page.wait_for_selector("#finder-results")
    _limits(page)
    page.locator(".masthead-nav a[href*='sheet.html']").click()
    page.wait_for_selector(".patient-sheet")
    page.locator(".masthead-name").click()
    page.wait_for_selector("#home-search-field")
    _back(page)
    page.wait_for_selector(".patient-sheet")
    page.reload()


class Profile:
    """A profile folder of a real Chromium, which keeps what browsers keep."""

    def __init__(self, playwright: Playwright, chromium: str, folder: pathlib.Path) -> None:
        self.folder, self._playwright, self._chromium = folder, playwright, chromium

    @contextmanager
    def run(self) -> Iterator[BrowserContext]:
        """The browser with this profile; on leaving it has written everything."""
        context = self._playwright.chromium.launch_persistent_context(
            self.folder,
            executable_path=self._chromium,
            args=["--no-sandbox", "--disable-gpu", "--no-first-run"],
            # What these switch off is what may keep something.
            ignore_default_args=["--disable-back-forward-cache", "--enable-automation"],
            viewport={"width": 1280, "height": 900},
        )
        context.set_default_timeout(15_000)
        try:
            yield context
        finally:
            context.close()

    def holding(self, words: str) -> list[str]:
        """The files in which words stand: as they are, as addresses have them, in UTF-16."""
        spellings = {words, quote(words), words.replace(" ", "+"), words.replace("-", "%2D")}
        wanted = [one.encode(code) for one in spellings for code in ("utf-8", "utf-16-le")]
        found = []
        for path in sorted(self.folder.rglob("*")):
            if path.is_file() and not path.is_symlink():
                content = path.read_bytes()
                if any(one in content for one in wanted):
                    found.append(path.relative_to(self.folder).as_posix())
        return found


@pytest.fixture
def profile(playwright_started: Playwright, chromium: str, tmp_path: pathlib.Path) -> Profile:
    return Profile(playwright_started, chromium, tmp_path / "profile")


@pytest.fixture(params=["http", "file"])
def site(request: pytest.FixtureRequest, demo_site: pathlib.Path) -> Iterator[str]:
    if request.param == "file":
        yield demo_site.as_uri()
        return
    with served(demo_site) as address:
        yield address


@pytest.fixture
def other_origin(tmp_path: pathlib.Path) -> Iterator[str]:
    """Another website, which writes into its page what name its window has."""
    (tmp_path / "other").mkdir()
    (tmp_path / "other" / "index.html").write_text(
        "<!doctype html><title>Other</title><p id=name></p>"
        "<script>document.getElementById('name').textContent = '[' + window.name + ']'</script>"
    )
    with served(tmp_path / "other", "localhost") as address:
        yield address


@pytest.mark.parametrize("end", ["left open", "cleared", "gone elsewhere"])
def test_nothing_entered_reaches_the_browsers_profile(
    profile: Profile, site: str, other_origin: str, end: str
) -> None:
    """History, sessions, favicons, form entries, caches: every file of the profile folder."""
    with profile.run() as context:
        page = context.pages[0]
        _use(page, site)
        page.goto(f"{site}/{ONE_LEG}#sheet=heel-raise-one-leg~left")
        _enter_all(page)
        page.wait_for_selector(".load-number.rescaled")
        if end == "cleared":
            page.get_by_role("button", name="Clear the patient").click()
        elif end == "gone elsewhere":
            page.goto(other_origin)
            assert page.inner_text("#name") == "[]"
        page.wait_for_timeout(2500)  # sessions are written some time after what they keep
    # That the search finds what is kept: addresses are, with what is on the sheet.
    kept = profile.holding("sheet=heel-raise-one-leg~left")
    assert "Default/History" in kept and any(path.startswith("Default/Sessions/") for path in kept)
    for words in (*ENTERED, ORDER, 'rungbook-tab:{"to"'):
        assert profile.holding(words) == [], words


def test_the_search_would_find_what_an_address_holds(
    profile: Profile, demo_site: pathlib.Path
) -> None:
    """The same search over an address that somebody wrote by hand."""
    with served(demo_site) as site, profile.run() as context:
        context.pages[0].goto(f"{site}/{ONE_LEG}#mass={MASS}")
        context.pages[0].wait_for_timeout(2500)
    assert "Default/History" in profile.holding(MASS)


@pytest.fixture
def page(browser: Browser) -> Iterator[Page]:
    context = browser.new_context(viewport={"width": 1280, "height": 900})
    made = context.new_page()
    made.on("pageerror", lambda error: pytest.fail(f"script error: {error}"))
    yield made
    context.close()


def _whose(page: Page) -> str:
    page.wait_for_selector("[data-patient] details")
    return page.inner_text(".patient-now")


def test_figures_go_along_with_every_way_of_following_a_link(page: Page, site: str) -> None:
    """A press, the Enter key, a result of the search; with the figures in no address."""
    page.goto(f"{site}/{ONE_LEG}")
    enter(page, MASS)
    page.locator(".neighbour a").first.click()
    assert _whose(page).startswith("83.2")
    page.locator(".neighbour a").first.focus()
    page.keyboard.press("Enter")
    page.wait_for_load_state()
    assert _whose(page).startswith("83.2")
    page.keyboard.press("/")
    page.keyboard.type("heel raise one leg")
    page.wait_for_selector(".search-results a")
    page.keyboard.press("ArrowDown")
    page.keyboard.press("Enter")
    page.wait_for_url("**/heel-raise-one-leg.html*")
    assert _whose(page).startswith("83.2")
    assert "83" not in page.url.partition("/exercises/")[2]


def test_a_page_reads_and_empties_the_name_before_anything_else(page: Page, site: str) -> None:
    """Also where every other script is blocked: nothing is left for the next origin."""
    page.goto(f"{site}/{ONE_LEG}")
    enter(page, MASS)
    page.route(re.compile(r"scripts/(?!tab)"), lambda route: route.abort())
    page.locator(".neighbour a").first.click()
    page.wait_for_load_state()
    assert page.evaluate("[window.name, typeof rungbook.state]") == ["", "undefined"]


def test_a_reload_and_a_new_tab_start_without_figures(page: Page, site: str) -> None:
    page.goto(f"{site}/{ONE_LEG}")
    enter(page, MASS)
    with page.context.expect_page() as opened:
        page.locator(".neighbour a").first.click(modifiers=["ControlOrMeta"])
    assert "the reference" in _whose(opened.value)
    assert _whose(page).startswith("83.2")
    assert page.evaluate("window.name") == ""
    page.reload()
    assert "the reference" in _whose(page)
    assert "A reload or a new tab loses it" in (page.text_content("[data-patient]") or "")


def test_the_name_is_empty_unless_a_link_of_the_site_is_being_followed(
    page: Page, demo_site: pathlib.Path, other_origin: str
) -> None:
    """A link that leads away, one that something else catches, one that opens nothing."""
    with served(demo_site) as site:
        _follow_three(page, site, other_origin)


def _follow_three(page: Page, site: str, other_origin: str) -> None:
    page.goto(f"{site}/{ONE_LEG}")
    enter(page, MASS)
    page.evaluate(
        """(away) => { const main = document.querySelector("main");
          for (const [id, href] of [["away", away], ["caught", "../finder.html"], ["slow", "../route.html"]]) {
            const link = document.createElement("a");
            link.id = id; link.href = href; link.textContent = id; main.prepend(link); }
          document.getElementById("caught").addEventListener("click", (event) => event.preventDefault()); }""",
        other_origin,
    )
    page.click("#caught")
    assert page.evaluate("window.name") == ""
    page.route("**/route.html*", lambda route: route.fulfill(status=204))  # and nothing opens
    page.click("#slow")
    page.wait_for_timeout(300)
    assert page.evaluate("window.name").startswith("rungbook-tab:")
    page.keyboard.press("Escape")
    assert page.evaluate("window.name") == ""
    page.click("#away")
    page.wait_for_selector("#name")
    assert page.inner_text("#name") == "[]"


def test_another_page_cannot_hand_over_at_leisure(page: Page, site: str) -> None:
    """What was meant for another page, or long ago, or is no such thing, is thrown away."""
    here = f"{site}/{ONE_LEG}"
    handed: list[dict[str, Any] | str] = [
        {"to": f"{site}/finder.html", "at": 0, "given": "mass=52"}, {"to": here, "at": 10**15, "given": "mass=52"},
        {"to": here, "given": "mass=52"}, "{", "null", "[]", "mass=52",
    ]  # fmt: skip
    for one in handed:
        page.goto(here)
        page.evaluate(
            "(one) => { window.name = 'rungbook-tab:' + (typeof one === 'string' ? one : JSON.stringify(one)); }",
            one,
        )
        page.reload()
        assert "the reference" in _whose(page)
        assert page.evaluate("window.name") == ""


def test_figures_in_an_address_are_left_out_and_said(page: Page, site: str) -> None:
    page.goto(
        f"{site}/{ONE_LEG}#mass=52&arc=ankle+plantarflexion~3~9&sheet=heel-raise-one-leg~left"
    )
    assert "the reference" in _whose(page)
    notice = page.locator("[data-patient] [role=status]").inner_text()
    assert "body mass, a tolerated arc" in notice and "Enter it here" in notice
    assert "mass" not in page.url and "arc" not in page.url
    assert "sheet=heel-raise-one-leg~left" in page.url


def test_a_patient_who_was_cleared_does_not_come_back_with_back(
    playwright_started: Playwright, chromium: str, demo_site: pathlib.Path
) -> None:
    """Pages that the browser keeps alive keep their figures only as long as these hold."""
    alive = playwright_started.chromium.launch(
        executable_path=chromium,
        args=["--no-sandbox", "--disable-gpu"],
        ignore_default_args=["--disable-back-forward-cache"],
    )
    with served(demo_site) as site:
        for clear in (False, True):
            page = alive.new_context(viewport={"width": 1280, "height": 900}).new_page()
            page.goto(f"{site}/{ONE_LEG}")
            enter(page, MASS)
            page.locator(".neighbour a").first.click()
            page.wait_for_url(lambda url: ONE_LEG not in url)
            assert _whose(page).startswith("83.2")
            if clear:
                page.locator("[data-patient] summary").first.click()
                page.get_by_role("button", name="Clear the patient").click()
            _back(page)
            assert ONE_LEG in page.url
            assert ("the reference" in _whose(page)) is clear
            assert page.evaluate("window.name") == ""
    alive.close()


def test_nothing_is_stored_and_nothing_is_sent(page: Page, site: str) -> None:
    """No request but to the site's own files, no cookie, no storage, on any tool's page."""
    requests: list[str] = []
    page.on("request", lambda request: requests.append(request.url))
    _use(page, site)
    assert requests and all(url.startswith(site) for url in requests)
    assert not [url for url in requests if any(figure in url for figure in ENTERED)]
    kept = page.evaluate(
        """async () => [localStorage.length, sessionStorage.length, document.cookie, window.name,
          JSON.stringify(history.state)]"""
    )
    assert kept == [0, 0, "", "", "null"]
    assert page.context.cookies() == []
    assert MASS not in page.title()
