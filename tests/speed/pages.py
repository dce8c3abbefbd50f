"""What pages load, and how soon they answer, in Chromium."""

from __future__ import annotations

import datetime
import pathlib
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any
from urllib.parse import unquote, urlsplit

if TYPE_CHECKING:
    from playwright.sync_api import Page

TODAY = datetime.date(2026, 6, 1)
PHONE = {"width": 390, "height": 844}
WATCH = """() => {
  document.addEventListener("keydown", (event) => { if (event.key === "Enter") window.asked = performance.now(); }, true);
  new MutationObserver(() => {
    if (window.asked && !window.answered && document.querySelector(".option")) {
      requestAnimationFrame(() => { window.answered = window.answered || performance.now(); });
    }
  }).observe(document.body, { childList: true, subtree: true });
}"""


@contextmanager
def _page() -> Iterator[tuple[Page, list[pathlib.Path]]]:
    """A phone's page, and the files that it loads, as they come."""
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        chromium: Any = playwright.chromium.launch(
            executable_path=shutil.which("chromium"), args=["--no-sandbox", "--disable-gpu"]
        )
        page, loaded = chromium.new_page(viewport=PHONE), list[pathlib.Path]()
        page.on(
            "request",
            lambda request: loaded.append(pathlib.Path(unquote(urlsplit(request.url).path))),
        )
        yield page, loaded
        chromium.close()


def _size(files: list[pathlib.Path]) -> int:
    return sum(file.stat().st_size for file in set(files) if file.is_file())


def first_finder_answer(library: pathlib.Path, site: pathlib.Path) -> tuple[int, float]:
    """Raw bytes until the finder's first answer, and milliseconds with the processor slowed."""
    from rungbook.pipeline.analyse import analyse
    from rungbook.site.publishing.publish import publish

    publish(analyse(library, TODAY), site, draft=True)
    with _page() as (page, loaded):
        page.context.new_cdp_session(page).send("Emulation.setCPUThrottlingRate", {"rate": 4})
        page.goto((site / "finder.html").as_uri())
        page.evaluate(WATCH)
        page.locator("#finder-exercise").press_sequentially("Half squat 3.17")
        page.wait_for_selector("#finder-exercise-list [role=option]")
        page.keyboard.press("ArrowDown")
        page.keyboard.press("Enter")
        page.wait_for_selector(".option")
        page.wait_for_timeout(200)
        return _size(loaded), float(page.evaluate("window.answered - window.asked"))


def largest_page(site: pathlib.Path) -> tuple[str, int]:
    """The kind of page that loads most with a patient set, and its raw bytes."""
    id = sorted(path.stem for path in (site / "exercises").glob("*.html"))[23]
    ladder = sorted(path.stem for path in (site / "ladders").glob("*.html"))[0]
    found = {}
    for kind, name, fragment in (
        ("exercise", f"exercises/{id}.html", ""),
        ("ladder", f"ladders/{ladder}.html", ""),
        ("sheet", "sheet.html", f"#sheet={id}"),
    ):
        with _page() as (page, loaded):
            page.goto((site / name).as_uri() + fragment)
            page.wait_for_timeout(300)
            panel = page.locator("[data-patient] details > summary").first
            if panel.count():
                panel.click()
                page.locator("#patient-mass").first.press_sequentially("82")
                page.keyboard.press("Tab")
            page.wait_for_timeout(1500)
            found[kind] = _size(loaded)
    kind = max(found, key=lambda name: found[name])
    return kind, found[kind]
