"""Search in the browser: by the beginnings of words, with a suggestion where nothing fits."""

from __future__ import annotations

import gzip
import pathlib
import random
from collections.abc import Iterator
from typing import TYPE_CHECKING

import pytest

from builders.loads import exercise
from builders.random_library import random_library
from rungbook.ladder.measure import measure
from rungbook.model.library import Library
from rungbook.pipeline.analyse import Analysis
from rungbook.site.data.browser_data import script, search_index
from rungbook.site.pages.catalogue import Catalogue

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

WORDS = [
    "heel",
    "raise",
    "bridge",
    "squat",
    "lunge",
    "press",
    "row",
    "pull",
    "reach",
    "step",
    "hinge",
    "plank",
    "march",
    "slide",
    "stretch",
    "curl",
    "rotation",
    "side",
    "lying",
    "seated",
    "standing",
    "kneeling",
    "prone",
    "supine",
    "wall",
    "band",
    "weight",
    "one",
    "leg",
    "both",
    "slow",
    "deep",
    "low",
    "high",
    "long",
    "short",
    "bench",
    "chair",
    "towel",
    "ball",
    "hip",
    "knee",
    "ankle",
    "shoulder",
    "elbow",
    "back",
    "neck",
    "calf",
]


@pytest.fixture
def home(browser: Browser, demo_site: pathlib.Path) -> Iterator[Page]:
    page = browser.new_page()
    page.on("pageerror", lambda error: pytest.fail(f"script error: {error}"))
    page.goto((demo_site / "exercises" / "heel-raise-both-legs.html").as_uri())
    yield page
    page.close()


def _found(page: Page, query: str) -> list[str]:
    page.locator("#search-field").fill(query)
    page.wait_for_function("document.querySelector('.search-status').textContent !== ''")
    page.wait_for_timeout(60)
    return page.locator("#search-results .search-title").all_inner_texts()


def test_the_beginnings_of_words_find_a_title(home: Page) -> None:
    found = _found(home, "hee rai one")
    assert found[0] == "Heel raise, one leg"
    assert "Heel raise, both legs" not in found


def test_other_names_areas_and_equipment_are_found(home: Page, demo: Analysis) -> None:
    known = demo.measured.library.exercises.values()
    named = next(one for one in known if one.also_called)
    assert named.title in _found(home, named.also_called[0])
    assert "Calf and tendon loading" in _found(home, "calf loading")
    term = demo.measured.library.vocabulary.equipment["counter"].title
    assert any("Heel raise" in title for title in _found(home, term))


def test_a_kind_of_work_is_found_with_whatever_else_is_asked(home: Page) -> None:
    found = _found(home, "raise assisted")
    assert any("carried" in title for title in found)
    alone = "Arm raise standing, arm straight"
    assert alone not in found and alone in _found(home, "raise active")


def test_accents_and_capitals_do_not_matter(home: Page) -> None:
    assert _found(home, "HÉEL") == _found(home, "heel")


def test_a_typing_error_is_met_with_the_nearest_word(home: Page) -> None:
    assert _found(home, "heal riase") == []
    home.get_by_role("button", name="heel raise").click()
    home.wait_for_selector("#search-results a")
    assert home.locator("#search-field").input_value() == "heel raise"
    assert home.locator("#search-results .search-title").first.inner_text().startswith("Heel raise")


def test_nonsense_says_what_to_do_next(home: Page) -> None:
    assert _found(home, "qqqqzzzz") == []
    assert (
        "Try the muscle, the joint or the equipment" in home.locator(".search-status").inner_text()
    )


def test_slash_focuses_and_arrows_walk(home: Page) -> None:
    """By keyboard alone: slash, type, down, Enter."""
    home.keyboard.press("/")
    home.keyboard.type("heel raise, one leg, over")
    home.wait_for_selector("#search-results a")
    home.keyboard.press("ArrowDown")
    home.keyboard.press("ArrowDown")
    home.keyboard.press("ArrowUp")
    href = home.evaluate("document.activeElement.getAttribute('href')")
    home.keyboard.press("Enter")
    home.wait_for_url("**/" + href.removeprefix("../"))


def test_escape_closes_and_slash_can_be_typed(home: Page) -> None:
    home.keyboard.press("/")
    home.keyboard.type("heel")
    home.wait_for_selector("#search-results a")
    home.keyboard.press("Escape")
    assert home.locator("#search-results").is_hidden()
    home.keyboard.type("a/b")
    assert home.locator("#search-field").input_value() == "a/b"


def _large() -> Catalogue:
    """Ten thousand exercises with titles of four to seven words of the trade."""
    dice = random.Random(1)
    exercises = {}
    for number in range(10_000):
        title = " ".join(dice.sample(WORDS, dice.randint(4, 7)))
        key = f"{title.replace(' ', '-')}-{number}"
        exercises[key] = exercise(
            key, title=title.capitalize(), area=dice.choice(("calf", "hip", "back")),
            also_called=(" ".join(dice.sample(WORDS, 3)),) if number % 3 == 0 else (),
            equipment=tuple(dice.sample(("band", "box", "counter", "sling"), 1)),
        )  # fmt: skip
    small = random_library(1, 12)
    library = Library(
        pathlib.Path("large"), vocabulary=small.library.vocabulary, exercises=exercises
    )
    found = Analysis(measure(library, {}), (), {"error": 0, "warning": 0, "note": 0})
    return Catalogue(found)


def test_the_first_pages_data_is_small_at_ten_thousand_exercises(
    browser: Browser, demo_site: pathlib.Path
) -> None:
    """Under 300 KB compressed, and an answer in under 50 ms, the nearest suggestion included."""
    index = search_index(_large())
    assert len(gzip.compress(script("search", index)[1], 6)) < 300_000
    page = browser.new_page()
    page.goto((demo_site / "index.html").as_uri())
    times = page.evaluate(
        """(data) => {
          const index = rungbook.search.entries(data);
          rungbook.search.suggest(index, "squatt");
          const took = (ask) => { const all = [];
            for (let i = 0; i < 9; i += 1) { const t = performance.now(); ask(); all.push(performance.now() - t); }
            return Math.min(...all); };
          return [took(() => rungbook.search.find(index, "heel rai")), took(() => rungbook.search.find(index, "s")),
            took(() => rungbook.search.suggest(index, "kneelling briidge"))];
        }""",
        index,
    )
    print("ms at 10,000:", [round(ms, 1) for ms in times], end=" ")
    assert all(ms < 50 for ms in times), times
