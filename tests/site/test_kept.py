"""A site over http is kept whole on the device: opened with its server gone, updated, forgotten."""

from __future__ import annotations

import json
import pathlib
from collections.abc import Iterator
from typing import TYPE_CHECKING

import pytest

from builders.served import served
from builders.sites import analysis, raise_arm
from rungbook.site.publishing.publish import publish

if TYPE_CHECKING:
    from playwright.sync_api import Browser, BrowserContext, Page

KEPT = "The whole library is kept on this device"


@pytest.fixture
def device(browser: Browser) -> Iterator[BrowserContext]:
    context = browser.new_context()
    yield context
    context.close()


def _publish(tmp_path: pathlib.Path, title: str) -> pathlib.Path:
    site = tmp_path / "site"
    exercises = {
        "shoulder/low": raise_arm(title, "high", up_to=45),
        "shoulder/high": raise_arm("Arm raise high"),
    }
    publish(analysis(tmp_path / title, exercises=exercises), site, draft=True)
    return site


def _port(address: str) -> int:
    return int(address.rsplit(":", 1)[1])


def _visit(page: Page, address: str) -> None:
    page.goto(f"{address}/index.html")
    page.get_by_text(KEPT).wait_for()


def test_after_one_visit_all_of_it_opens_without_a_network(
    device: BrowserContext, tmp_path: pathlib.Path
) -> None:
    page = device.new_page()
    troubles: list[str] = []
    page.on("pageerror", lambda error: troubles.append(str(error)))
    page.on("console", lambda message: troubles.append(message.text))
    with served(_publish(tmp_path, "Arm raise low")) as address:
        _visit(page, address)
        assert troubles == []
    page.goto(f"{address}/exercises/low.html")  # never opened before, and its server is gone
    assert page.locator("h1").inner_text() == "Arm raise low"
    serif = page.locator("h1").evaluate("one => getComputedStyle(one).fontFamily")
    assert "Georgia" in serif
    page.locator(".exercise-figure svg").wait_for()
    page.locator("#search-field").fill("arm raise high")
    page.locator(".search-results a").first.click()
    page.wait_for_url("**/exercises/high.html")
    page.goto(f"{address}/sheet.html#sheet=low~left")
    page.locator("#sheet-output article, #sheet-output section").first.wait_for()
    page.goto(f"{address}/exercises/nowhere.html")
    assert page.locator("h1").inner_text() == "Page not found"


def test_what_is_kept_is_the_sites_files_and_nothing_that_was_entered(
    device: BrowserContext, tmp_path: pathlib.Path
) -> None:
    page = device.new_page()
    site = _publish(tmp_path, "Arm raise low")
    with served(site) as address:
        _visit(page, address)
        page.goto(f"{address}/finder.html?private=61.73930625#exercise=low&because=load")
        page.wait_for_load_state("networkidle")
        kept = page.evaluate(
            """async () => { const found = [];
              for (const name of await caches.keys())
                for (const one of await (await caches.open(name)).keys()) found.push(one.url);
              return found; }"""
        )
    files = {path.relative_to(site).as_posix() for path in site.rglob("*") if path.is_file()}
    files -= {"worker.js", ".rungbook-site"}
    assert sorted(kept) == sorted(f"{address}/{path}" for path in {*files, "kept-files.json"})


def test_a_newer_library_is_offered_quietly_and_taken_whole(
    device: BrowserContext, tmp_path: pathlib.Path
) -> None:
    page = device.new_page()
    site = _publish(tmp_path, "Arm raise low")
    with served(site) as address:
        _visit(page, address)
    _publish(tmp_path, "Arm raise lower")
    asked: list[str] = []
    with served(site, port=_port(address)):
        page.goto(f"{address}/exercises/low.html")
        assert page.locator("h1").inner_text() == "Arm raise low"  # one version, whole
        page.on("request", lambda request: asked.append(request.url))
        page.get_by_role("button", name="Show it").click()
        page.get_by_role("heading", name="Arm raise lower").wait_for()
    page.goto(f"{address}/index.html")  # the old version is gone, the new one whole
    page.goto(f"{address}/exercises/low.html")
    assert page.locator("h1").inner_text() == "Arm raise lower"
    assert page.evaluate("caches.keys().then((names) => names.length)") == 1


def test_the_manifest_names_the_library_and_starts_at_its_first_page(
    tmp_path: pathlib.Path,
) -> None:
    """Members as in the W3C's Web Application Manifest (from memory)."""
    site = _publish(tmp_path, "Arm raise low")
    told = json.loads((site / "library.webmanifest").read_text())
    assert told["name"] == "Exercise library" and told["start_url"] == "index.html"
    assert all((site / icon["src"]).is_file() for icon in told["icons"])


def test_from_the_disk_nothing_is_kept_or_asked_for(
    device: BrowserContext, tmp_path: pathlib.Path
) -> None:
    page = device.new_page()
    troubles: list[str] = []
    page.on("console", lambda message: troubles.append(message.text))
    page.goto((_publish(tmp_path, "Arm raise low") / "index.html").as_uri())
    page.wait_for_timeout(3000)
    assert page.locator("link[rel=manifest], .kept-status").count() == 0
    assert troubles == []
