"""What an address may make a page do: it names things of the library, and never a file."""

from __future__ import annotations

import pathlib
from collections.abc import Iterator
from typing import TYPE_CHECKING

import pytest

from builders.served import served

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

# Ways out of the folder `data/sheet/`, as the OWASP notes on path traversal list them (from
# memory): plain, encoded once and twice, with the other slash, from the root, by another host.
OUTSIDE = (
    "../../../stranger", "..%2F..%2F..%2Fstranger", "%2e%2e/%2e%2e/%2e%2e/stranger",
    "..%252f..%252f..%252fstranger", "..\\..\\..\\stranger", "....//....//....//stranger",
    "/stranger", "//127.0.0.1/stranger", "./../../../stranger", "heel-raise-seated/../../../../stranger",
)  # fmt: skip
PLACES = (
    ("sheet.html", "sheet={}~left"), ("sheet.html", "language={}"),
    ("sheet.html", "sheet=heel-raise-seated&language={}"), ("finder.html", "exercise={}"),
    ("route.html", "from={}&to=heel-raise-one-leg"), ("route.html", "from=heel-raise-seated&to={}"),
)  # fmt: skip
STRANGE = ("constructor", "__proto__", "toString", "hasOwnProperty", "%", "%E0%A4%A", "~", "")


@pytest.fixture(scope="module")
def beside(demo_site: pathlib.Path) -> Iterator[pathlib.Path]:
    """A script that lies beside the site, as in a folder of downloads."""
    stranger = demo_site.parent / "stranger.js"
    stranger.write_text("document.documentElement.dataset.stranger = 'ran';")
    yield demo_site.parent
    stranger.unlink()


@pytest.fixture(scope="module", params=["file", "http"])
def site(request: pytest.FixtureRequest, beside: pathlib.Path) -> Iterator[str]:
    """Where the site is: on the disk, and behind a server."""
    if request.param == "file":
        yield (beside / "site").as_uri()
    else:
        with served(beside) as address:
            yield f"{address}/site"


@pytest.fixture
def page(browser: Browser) -> Iterator[Page]:
    context = browser.new_context()
    made = context.new_page()
    made.on("pageerror", lambda error: pytest.fail(f"script error: {error}"))
    yield made
    context.close()


def test_the_trap_would_run_if_a_page_asked_for_it(page: Page, site: str) -> None:
    page.goto(f"{site}/sheet.html")
    page.evaluate(
        """() => new Promise((done) => { const script = document.createElement("script");
          script.src = "data/sheet/../../../stranger.js"; script.onload = done; script.onerror = done;
          document.head.append(script); })"""
    )
    assert page.evaluate("document.documentElement.dataset.stranger") == "ran"


@pytest.mark.parametrize(("name", "fragment"), PLACES)
def test_no_address_loads_a_script_that_is_not_the_librarys(
    page: Page, site: str, name: str, fragment: str
) -> None:
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    for way in OUTSIDE:
        page.goto("about:blank")
        page.goto(f"{site}/{name}#{fragment.format(way)}")
        page.wait_for_function("window.rungbook && rungbook.state")
        page.wait_for_timeout(120)
        assert page.evaluate("document.documentElement.dataset.stranger") is None, way
    assert [url for url in asked if "stranger" in url.partition("#")[0]] == []


def test_the_loader_itself_refuses_what_the_library_does_not_list(page: Page, site: str) -> None:
    """Whoever calls it, and by whichever folder."""
    page.goto(f"{site}/route.html")
    folders = ("", "sheet/", "exercise/", "joints/", "words/", "frame/", "profiles/", "../")
    for folder in folders:
        for way in (*OUTSIDE, *STRANGE, "profiles/99", "names/en"):
            refused = page.evaluate(
                "(name) => rungbook.load(name).then(() => false, () => true)", folder + way
            )
            assert refused, folder + way
    assert page.evaluate("document.documentElement.dataset.stranger") is None
    assert page.evaluate("rungbook.load('sheet/heel-raise-seated').then((found) => found.id)")


@pytest.mark.parametrize(("name", "fragment"), PLACES)
def test_odd_words_in_an_address_are_named_and_break_nothing(
    page: Page, site: str, name: str, fragment: str
) -> None:
    for word in STRANGE:
        page.goto("about:blank")
        page.goto(f"{site}/{name}#{fragment.format(word)}")
        page.wait_for_function(
            """() => document.querySelector(".patient-sheet") ||
              [...document.querySelectorAll(".tool-status")].some((one) => one.textContent.length > 15)"""
        )
        assert page.locator(".patient-sheet, .option, .way-rung").count() == 0 or not word
