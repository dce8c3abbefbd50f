"""The library's tools and the patient's sheet inside MkDocs' two stock themes, in a browser.

The device likes the dark: the theme `readthedocs` has no dark scheme, and its pages stay light.
"""

from __future__ import annotations

import pathlib
from collections.abc import Iterator

import pytest
from mkdocs.commands.build import build
from mkdocs.config import load_config
from playwright.sync_api import Browser, Page

from builders.library import library_folder
from builders.sites import raise_arm

SKIN = {"mkdocs": "#39444b", "readthedocs": "#ece6d8"}  # of a figure, dark and light
OUTSIDE_THE_SHEET = """() => [...document.querySelectorAll("body *")].filter(one =>
    one.getBoundingClientRect().height > 0 && one.getBoundingClientRect().width > 0
    && !one.closest(".patient-sheet") && !one.querySelector(".patient-sheet"))
    .map(one => `${one.tagName}.${one.className}`)"""


@pytest.fixture(scope="module", params=["mkdocs", "readthedocs"])
def site(
    request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory
) -> tuple[str, pathlib.Path]:
    root, theme = tmp_path_factory.mktemp(request.param), str(request.param)
    exercises = {"arm/low": raise_arm("Low", "high", 60), "arm/high": raise_arm("High", None, 70)}
    library_folder(root, exercises=exercises)  # type: ignore[arg-type]
    (root / "docs").mkdir()
    (root / "docs" / "index.md").write_text("# Our clinic\n")
    auto = ", color_mode: auto" if theme == "mkdocs" else ""
    (root / "mkdocs.yml").write_text(
        f"site_name: Our clinic\ntheme: {{name: {theme}{auto}}}\n"
        "plugins: [{rungbook: {draft: true}}]\n"
    )
    build(load_config(str(root / "mkdocs.yml"), site_dir=str(root / "built")))
    return theme, root / "built" / "exercise-library"


@pytest.fixture
def page(browser: Browser) -> Iterator[Page]:
    context = browser.new_context(color_scheme="dark", viewport={"width": 1280, "height": 900})
    yield context.new_page()
    context.close()


def test_a_figure_has_the_scheme_of_the_hosts_page(
    site: tuple[str, pathlib.Path], page: Page
) -> None:
    theme, folder = site
    page.goto((folder / "exercises" / "low.html").as_uri())
    skin = page.locator(".drawn-figure").first.evaluate(
        "one => getComputedStyle(one).getPropertyValue('--limb').trim()"
    )
    assert skin == SKIN[theme]


def test_the_finders_choices_stand_beside_their_boxes(
    site: tuple[str, pathlib.Path], page: Page
) -> None:
    page.goto((site[1] / "finder.html").as_uri())
    checks = page.locator(".reasons .field-check")
    assert checks.count() > 3
    for number in range(3):
        box, label = (
            checks.nth(number).locator(kind).bounding_box() for kind in ("input", "label")
        )
        assert box and label and label["x"] > box["x"] and label["y"] < box["y"] + box["height"]
    hint = page.locator(".hint").first
    assert hint.evaluate("one => getComputedStyle(one).backgroundColor") == "rgba(0, 0, 0, 0)"


def test_nothing_but_the_sheet_is_printed_and_all_of_it(
    site: tuple[str, pathlib.Path], page: Page
) -> None:
    page.goto((site[1] / "sheet.html").as_uri() + "#sheet=low~left")
    page.locator(".patient-sheet .sheet-foot").wait_for()
    page.emulate_media(media="print")
    assert page.evaluate(OUTSIDE_THE_SHEET) == []
    for part in ("header, h1", ".sheet-foot", ".sheet-boxes", ".sheet-diary"):
        assert page.locator(f".patient-sheet :is({part})").first.is_visible(), part
    inks = "one => [getComputedStyle(one).color, getComputedStyle(one).borderTopColor]"
    assert page.locator(".patient-sheet td").first.evaluate(inks) == ["rgb(0, 0, 0)"] * 2
    sizes = "all => all.map(one => parseFloat(getComputedStyle(one).fontSize))"
    numerals, words = (
        page.locator(f".patient-sheet {one}").evaluate_all(sizes)[0]
        for one in (".sheet-numerals", ".sheet-exercise p:not([class])")
    )
    assert numerals >= 1.9 * words >= 1.9 * 16  # 12 pt on paper
