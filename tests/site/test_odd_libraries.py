"""Libraries at the edges: bare exercises, long titles, ladders of one, two and forty rungs."""

from __future__ import annotations

import pathlib
from typing import TYPE_CHECKING, Any

import pytest

from builders.sites import analysis, raise_arm
from rungbook.site.publishing.publish import publish

if TYPE_CHECKING:
    from playwright.sync_api import Browser

LONG = "Arm raise standing with the elbow straight and the thumb up, slowly, " + "x" * 51
WORDS = "Armraise" * 15
RUNGS = 40

# Boxes that stand beside or below each other and may not lie on each other; what shows nothing.
FAULTS = """() => {
  const found = [];
  const root = document.documentElement;
  if (root.scrollWidth > root.clientWidth) found.push(["wider than the screen", root.scrollWidth]);
  const box = (one) => one.getBoundingClientRect();
  const shown = (one) => one.checkVisibility() && box(one).width > 1 && box(one).height > 1 &&
    !["fixed", "absolute"].includes(getComputedStyle(one).position);
  for (const around of document.querySelectorAll("article, .rung-list, .rung, .tiles, .exercise-top, .exercise-beside, .ladder-list, .exercise-list, .area-list, .masthead")) {
    const inside = [...around.children].filter(shown);
    inside.forEach((one, n) => inside.slice(n + 1).forEach((other) => {
      const a = box(one), b = box(other);
      const wide = Math.min(a.right, b.right) - Math.max(a.left, b.left);
      const high = Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top);
      if (wide > 1 && high > 1) found.push(["overlap", one.className, other.className, Math.round(wide), Math.round(high)]);
    }));
  }
  for (const part of document.querySelectorAll("section, .ruled-body, ul, ol, dl, .tile, .dose-now")) {
    if (shown(part) && !part.innerText.trim() && !part.querySelector("svg, img, input")) found.push(["empty", part.outerHTML.slice(0, 80)]);
  }
  return found;
}"""


def _odd() -> dict[str, Any]:
    # Bare ones first: a title is enough to begin with.
    exercises: dict[str, Any] = {"shoulder/bare": {"title": "Bare"}}
    exercises |= {"shoulder/long": raise_arm(LONG, "words"), "shoulder/words": raise_arm(WORDS)}
    for n in range(RUNGS):
        onward = f"r{n + 1}" if n + 1 < RUNGS else None
        exercises[f"shoulder/r{n}"] = raise_arm(f"Arm raise {n}", onward, up_to=30 + 2 * n)
    ladder = {"works": "shoulder flexion"}
    ladders = {
        "forty": {**ladder, "title": "Forty", "goal": f"r{RUNGS - 1}", "entries": {"high": "r0"}},
        "two": {**ladder, "title": LONG, "goal": "words", "entries": {"high": "long"}},
        "one": {**ladder, "title": "One", "goal": "words", "entries": {"high": "words"}},
    }
    return {"exercises": exercises, "ladders": ladders}


def _faults(browser: Browser, site: pathlib.Path, names: list[str]) -> dict[str, Any]:
    found = {}
    for width in (320, 390, 1280):
        page = browser.new_page(viewport={"width": width, "height": 844})
        for name in names:
            page.goto((site / f"{name}.html").as_uri())
            page.wait_for_timeout(60)
            said = page.evaluate(FAULTS)
            if said:
                found[f"{name} at {width}"] = said[:4]
        page.close()
    return found


@pytest.fixture(scope="module")
def odd_site(tmp_path_factory: pytest.TempPathFactory) -> pathlib.Path:
    folder = tmp_path_factory.mktemp("odd")
    publish(analysis(folder, **_odd()), folder / "site", draft=True)
    return folder / "site"


def test_nothing_overlaps_and_nothing_is_empty_without_a_word(
    browser: Browser, odd_site: pathlib.Path
) -> None:
    names = ["exercises/bare", "exercises/long", "exercises/words", "exercises/r7"]
    names += ["ladders/forty", "ladders/two", "ladders/one", "index", "areas/shoulder", "state"]
    assert _faults(browser, odd_site, names) == {}


def test_every_rung_of_forty_is_there_and_the_ends_say_so(
    browser: Browser, odd_site: pathlib.Path
) -> None:
    page = browser.new_page(viewport={"width": 390, "height": 844})
    page.goto((odd_site / "ladders" / "forty.html").as_uri())
    assert page.locator("li.rung[data-rung]").count() == RUNGS
    page.goto((odd_site / "exercises" / "bare.html").as_uri())
    said = page.locator("main").inner_text()
    for words in ("No caution is written", "No dose is written", "No easier exercise is linked",
                  "No harder exercise is linked", "No load is computed", "No source is named"):  # fmt: skip
        assert words in said
    page.close()


def test_a_library_of_one_exercise_is_a_site(browser: Browser, tmp_path: pathlib.Path) -> None:
    publish(analysis(tmp_path, exercises={"arm": {"title": "Arm"}}), tmp_path / "site", draft=True)
    names = ["index", "exercises/arm", "areas/other", "finder", "route", "sheet", "cautions"]
    assert _faults(browser, tmp_path / "site", [*names, "restrictions", "downloads"]) == {}
