"""Every kind of page in a real browser: contrast and structure, width, policy, quiet."""

from __future__ import annotations

import os
import pathlib
from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

import pytest

from builders.served import served

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page, Request

ROOT = pathlib.Path(__file__).parents[2]
MISSING = "404"  # shown by a server only, at any depth
SINGLE = [
    "index", "finder", "route", "sheet", "cautions", "restrictions", "equipment", "positions",
    "sources", "method", "state", "words", "downloads", MISSING,
]  # fmt: skip
# Pages with what an address may ask of them.
FILLED = [
    "finder#exercise=heel-raise-one-leg&because=load",
    "finder#kind-of-work=active&bearing=20",
    "route#from=sit-to-stand-high&to=one-leg-squat",
    "sheet#sheet=heel-raise-both-legs",
]  # fmt: skip
ANSWERS = ("#finder-options li", "#route-way li", "#sheet-output h1, #sheet-output h2")
OWN = ("file:", "http://127.0.0.1:")
FOLDERS = ["areas", "ladders", "exercises"]
# WCAG 2.2 A and AA, with everything they took over.
# Landmarks of one name are no criterion of WCAG, and leave people guessing all the same.
AXE = """tags => axe.run(document, {runOnly: {type: 'tag', values: tags},
                                    rules: {'landmark-unique': {enabled: true}}})"""
TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22a", "wcag22aa"]


def kinds(site: pathlib.Path) -> list[str]:
    """One page of each kind; of exercises three, the longest files, for what they show."""
    found = list(SINGLE)
    for folder in FOLDERS:
        biggest = sorted((site / folder).glob("*.html"), key=lambda p: -p.stat().st_size)
        found += [f"{folder}/{path.stem}" for path in biggest[: 3 if folder == "exercises" else 1]]
    return found


def axe_source() -> str:
    """axe-core, from RUNGBOOK_AXE or a node_modules folder here or above."""
    places = [pathlib.Path(os.environ.get("RUNGBOOK_AXE", "/nowhere"))]
    places += [
        parent / "node_modules" / "axe-core" / "axe.min.js" for parent in (ROOT, *ROOT.parents)
    ]
    for place in places:
        if place.is_file():
            return place.read_text(encoding="utf-8")
    pytest.skip("axe-core is not here: npm install axe-core, or set RUNGBOOK_AXE to axe.min.js")


class Watched:
    """A browser page whose messages and requests are kept."""

    def __init__(self, page: Page) -> None:
        self.page = page
        self.troubles: list[str] = []
        self.requests: list[str] = []
        page.on("console", lambda message: self.troubles.append(message.text))
        page.on("pageerror", lambda error: self.troubles.append(str(error)))
        page.on("requestfailed", self._failed)
        page.on("request", lambda request: self.requests.append(request.url))

    def _failed(self, request: Request) -> None:
        # The browser gives up its own late fetch of the icon when the next page opens.
        if request.failure != "net::ERR_ABORTED":
            self.troubles.append(request.url)

    def open(self, site: pathlib.Path, name: str) -> None:
        if name == MISSING:
            with served(site) as address:
                self.page.goto(f"{address}/exercises/of-old/renamed.html", wait_until="networkidle")
        else:
            path, _, state = name.partition("#")
            self.page.goto("about:blank")
            self.page.goto((site / f"{path}.html").as_uri() + (state and f"#{state}"))
            self.page.wait_for_load_state("load")
            if state:
                self.page.locator(f"main :is({', '.join(ANSWERS)})").first.wait_for()


@pytest.fixture
def watched(browser: Browser, request: pytest.FixtureRequest) -> Iterator[Watched]:
    settings: dict[str, Any] = getattr(request, "param", {})
    context = browser.new_context(**{"viewport": {"width": 1280, "height": 900}, **settings})
    yield Watched(context.new_page())
    context.close()


PHONE = {"width": 390, "height": 844}


@pytest.mark.parametrize(
    "watched",
    [{"color_scheme": "light"}, {"color_scheme": "dark", "viewport": PHONE}],
    indirect=True,
    ids=["light-desk", "dark-phone"],
)
def test_no_kind_of_page_breaks_wcag(watched: Watched, demo_site: pathlib.Path) -> None:
    axe = axe_source()
    found = []
    for name in [*kinds(demo_site), *FILLED]:
        watched.open(demo_site, name)
        watched.page.evaluate("for (const d of document.querySelectorAll('details')) d.open = true")
        watched.page.evaluate(axe)
        result = watched.page.evaluate(AXE, TAGS)
        for fault in result["violations"]:
            nodes = [node["html"][:160] for node in fault["nodes"][:3]]
            found.append((name, fault["id"], nodes))
    assert found == []


def test_pages_are_quiet_and_ask_nobody_else(watched: Watched, demo_site: pathlib.Path) -> None:
    for name in kinds(demo_site):
        watched.open(demo_site, name)
        watched.page.wait_for_timeout(50)
    assert [one for one in watched.troubles if "404 (Not Found)" not in one] == []
    assert [url for url in watched.requests if not url.startswith(OWN)] == []


def test_the_page_for_a_missing_one_is_styled_and_leads_on_at_any_depth(
    watched: Watched, demo_site: pathlib.Path
) -> None:
    with served(demo_site) as address:
        answer = watched.page.goto(f"{address}/exercises/of-old/renamed.html")
        assert answer and answer.status == 404
        serif = watched.page.locator("h1").evaluate("one => getComputedStyle(one).fontFamily")
        assert "serif" in serif and "Georgia" in serif
        watched.page.locator("#search-field").fill("bird dog")
        watched.page.locator(".search-results a").first.click()
        watched.page.wait_for_url(f"{address}/exercises/all-fours-arm-leg.html")
        watched.page.goto(f"{address}/exercises/of-old/renamed.html")
        watched.page.get_by_role("link", name="Areas").last.click()
        watched.page.wait_for_url(f"{address}/index.html#areas")


# From the first frame on, text in place or not yet: what moves, and how much of the screen.
SHIFTS = """
  window.shifted = 0;
  new PerformanceObserver((list) => {
    for (const entry of list.getEntries()) if (!entry.hadRecentInput) window.shifted += entry.value;
  }).observe({ type: "layout-shift", buffered: true });
"""


@pytest.mark.parametrize(
    "watched",
    [{"viewport": {"width": 390, "height": 844}}, {"viewport": {"width": 1280, "height": 900}}],
    indirect=True,
    ids=["390", "1280"],
)
def test_no_page_shifts_while_it_loads(watched: Watched, demo_site: pathlib.Path) -> None:
    """Cumulative layout shift as the Layout Instability API measures it; good is under 0.1."""
    watched.page.add_init_script(SHIFTS)
    pages = [*kinds(demo_site), *FILLED]
    shifted = {}
    with served(demo_site) as address:
        for name in pages:
            path, _, state = name.partition("#")
            watched.page.goto("about:blank")
            watched.page.goto(f"{address}/{path}.html{'#' + state if state else ''}")
            watched.page.wait_for_timeout(150)
            shifted[name] = watched.page.evaluate("window.shifted")
    print("largest shift:", max(shifted.values()), end=" ")
    assert {name: round(by, 3) for name, by in shifted.items() if by >= 0.1} == {}


@pytest.mark.parametrize(
    "watched",
    [{"viewport": {"width": width, "height": 700}} for width in (320, 390, 768)],
    indirect=True,
    ids=["320", "390", "768"],
)
def test_no_page_scrolls_sideways(watched: Watched, demo_site: pathlib.Path) -> None:
    wide = []
    for name in kinds(demo_site):
        watched.open(demo_site, name)
        watched.page.evaluate("for (const d of document.querySelectorAll('details')) d.open = true")
        excess = watched.page.evaluate(
            "document.documentElement.scrollWidth - document.documentElement.clientWidth"
        )
        if excess > 0:
            wide.append((name, excess))
    assert wide == []


def test_a_script_written_into_a_page_does_not_run(
    watched: Watched, demo_site: pathlib.Path, tmp_path: pathlib.Path
) -> None:
    text = (demo_site / "index.html").read_text(encoding="utf-8")
    trap = "document.documentElement.dataset.trapped='yes'"
    injected = f'<script>{trap}</script><img src="x" onerror="{trap}"><a href="javascript:{trap}" id="trap">x</a>'
    hostile = demo_site / "hostile-copy.html"
    hostile.write_text(text.replace("<h1", f"{injected}<h1"), encoding="utf-8")
    try:
        watched.open(demo_site, "hostile-copy")
        watched.page.evaluate("document.getElementById('trap').click()")
        watched.page.wait_for_timeout(100)
        assert watched.page.evaluate("document.documentElement.dataset.trapped") is None
        assert any("Content Security Policy" in trouble for trouble in watched.troubles)
    finally:
        hostile.unlink()


def test_the_sites_own_scripts_run_from_the_disk(watched: Watched, demo_site: pathlib.Path) -> None:
    watched.open(demo_site, "state")
    assert watched.page.evaluate("typeof window.rungbook") == "object"


def test_the_first_stop_of_the_keyboard_skips_to_the_content(
    watched: Watched, demo_site: pathlib.Path
) -> None:
    watched.open(demo_site, "index")
    watched.page.keyboard.press("Tab")
    assert watched.page.evaluate("document.activeElement.className") == "skip"
    watched.page.keyboard.press("Enter")
    assert watched.page.evaluate("document.activeElement.id") == "content"


@pytest.mark.parametrize("watched", [{"viewport": {"width": 390, "height": 844}}], indirect=True)
def test_on_a_phone_easier_and_harder_are_at_the_thumb(
    watched: Watched, demo_site: pathlib.Path
) -> None:
    watched.open(demo_site, next(name for name in kinds(demo_site) if "exercises/" in name))
    bar = watched.page.locator(".thumb-bar")
    assert bar.is_visible()
    box = bar.bounding_box()
    assert box and box["y"] + box["height"] == pytest.approx(844, abs=1)
    assert min(link.bounding_box()["height"] for link in bar.locator("a").all()) >= 44  # type: ignore[index]


def test_an_overdue_review_is_marked_by_the_readers_own_day(
    browser: Browser, demo_site: pathlib.Path
) -> None:
    for day, overdue in (("2026-11-25", False), ("2040-01-01", True)):
        context = browser.new_context()
        page = context.new_page()
        page.clock.set_fixed_time(f"{day}T12:00:00")
        page.goto((demo_site / "state.html").as_uri())
        assert (page.locator(".overdue").count() > 0) is overdue
        context.close()


def test_printed_pages_leave_out_what_only_a_screen_needs(
    watched: Watched, demo_site: pathlib.Path
) -> None:
    watched.open(demo_site, next(name for name in kinds(demo_site) if "exercises/" in name))
    watched.page.emulate_media(media="print")
    assert not watched.page.locator(".thumb-bar").is_visible()
    assert not watched.page.locator(".masthead-nav").is_visible()
    assert watched.page.locator(".usual-cautions").is_visible()
