"""Addresses of pages with damaged words behind `#`: no script error, nothing fetched, nothing run."""

from __future__ import annotations

import contextlib
import pathlib
import random
from collections.abc import Iterator
from typing import TYPE_CHECKING

from . import damage
from .requests import Case

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

ADDRESSES = (
    "finder.html#exercise={0}&restriction=arm-90&weeks=3", "finder.html#exercise={0}&max=knee%20flexion%2060",
    "finder.html#exercise={0}&bearing=50&without=dumbbell&not-in=standing&irritability=high",
    "finder.html#restriction=arm-90&kind=active", "route.html#from={0}&to={1}&bearing=20",
    "route.html#from={0}&to={1}&irritability=low&avoid=sore-arm", "sheet.html#sheet={0}~left",
    "sheet.html#sheet={0}~left~3x10,{1}~right&language=en", "exercises/{0}.html#mass=70&stature=1.7",
    "ladders/arm.html#view=map", "index.html#q=arm", "sheet.html#sheet={0}~both~100x9999",
)  # fmt: skip
IDS = ("arm-low", "arm-middle", "arm-high", "arm-high-weight", "constructor", "__proto__", "x", "")


@contextlib.contextmanager
def opened(browser: Browser, site: pathlib.Path) -> Iterator[Case]:
    """A page of a built site, and the function that tries a case in it."""
    context = browser.new_context()
    page = context.new_page()
    wrong: list[str] = []
    page.on("pageerror", lambda error: wrong.append(f"script error: {error}"))
    page.on("dialog", lambda dialog: (wrong.append("a dialog"), dialog.dismiss()))
    home = site.as_uri() + "/"

    def asked(url: str) -> None:
        if not url.startswith((home, "data:", "blob:")):
            wrong.append(f"fetches {url[:100]}")

    page.on("request", lambda request: asked(request.url))
    yield lambda seed: _case(seed, page, home, wrong)
    context.close()


def _case(seed: int, page: Page, home: str, wrong: list[str]) -> list[str]:
    dice = random.Random(seed)
    address = dice.choice(ADDRESSES).format(dice.choice(IDS[:4]), dice.choice(IDS))
    file, _, words = address.partition("#")
    if dice.random() < 0.9:
        words = damage.text(dice, words)[:20_000]
    wrong.clear()
    page.goto("about:blank")
    try:
        page.goto(f"{home}{file}#{words}", wait_until="load", timeout=20_000)
        page.wait_for_timeout(40)
        if page.evaluate("'trapped' in window"):
            wrong.append("words of the address ran")
        if page.locator("h1").count() == 0 or not page.locator("main").inner_text().strip():
            wrong.append("an empty page")
    except Exception as error:
        wrong.append(f"{type(error).__name__}: {str(error)[:100]}")
    return [f"{file}#{words[:120]!r}: {one}" for one in wrong]
