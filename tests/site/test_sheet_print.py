"""The printed sheet, measured: paper, size of type, margins, page breaks, the code.

Chromium prints, other programs measure: pdfminer.six reads sizes and places of every letter,
zxing-cpp reads the codes.
"""

from __future__ import annotations

import dataclasses
import datetime
import pathlib
from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

import pytest

from rungbook.model.set_up import SetUp
from rungbook.pipeline.analyse import Analysis
from rungbook.site.sheet.choosing import Chosen
from rungbook.site.sheet.messages import messages
from rungbook.site.sheet.qr import page_address, qr_svg
from rungbook.site.sheet.sheet import missing_part
from rungbook.site.sheet.sheet_document import Paper, sheet_document

if TYPE_CHECKING:
    from playwright.sync_api import Browser

# ISO 216: A4 is 210 x 297 mm. ANSI/ASME Y14.1: letter is 8.5 x 11 in. A point is 1/72 in.
SIZES = {"a4": (210 / 25.4 * 72, 297 / 25.4 * 72), "letter": (8.5 * 72, 11 * 72)}
TODAY = datetime.date(2026, 11, 25)
MARGIN = 15 / 25.4 * 72


def _document(demo: Analysis, keys: list[str], language: str, paper: Paper) -> str:
    exercises = demo.measured.library.exercises
    chosen = [Chosen(key, "left" if exercises[key].sides == "one" else None) for key in keys]
    return sheet_document(demo.measured, chosen, messages(language), TODAY, 2, paper)


def _pdf(browser: Browser, html: str, folder: pathlib.Path) -> pathlib.Path:
    source, made = folder / "sheet.html", folder / "sheet.pdf"
    source.write_text(html, encoding="utf-8")
    page = browser.new_page()
    page.goto(source.as_uri())
    page.pdf(path=str(made), prefer_css_page_size=True)
    page.close()
    return made


def _pages(pdf: pathlib.Path) -> Iterator[tuple[Any, list[Any]]]:
    layout: Any = pytest.importorskip("pdfminer.layout", reason="pip install pdfminer.six")
    high: Any = pytest.importorskip("pdfminer.high_level")

    def letters(item: Any) -> Iterator[Any]:
        if isinstance(item, layout.LTChar):
            if item.get_text().strip():
                yield item
        elif hasattr(item, "__iter__"):
            for inner in item:
                yield from letters(inner)

    for page in high.extract_pages(str(pdf)):
        yield page, list(letters(page))


def _on_sheet(demo: Analysis, language: str = "en") -> list[str]:
    """Those that go home in a language."""
    say, exercises = messages(language), demo.measured.library.exercises.values()
    return [
        one.id
        for one in exercises
        if one.may_go_on_a_sheet and not one.needs_a_therapist
        if not missing_part(demo.measured, one, say)
    ]


@pytest.mark.parametrize(
    ("language", "size", "large"),
    [("en", "a4", False), ("de", "letter", False), ("de", "a4", True), ("en", "letter", True)],
)
def test_every_exercise_prints_on_its_paper_in_readable_type(
    browser: Browser, demo: Analysis, tmp_path: pathlib.Path, language: str, size: str, large: bool
) -> None:
    """No letter under 12 pt (16 in large print), figures included, and none off the page."""
    html = _document(demo, _on_sheet(demo, language), language, Paper(size, large))
    width, height = SIZES[size]
    pages = list(_pages(_pdf(browser, html, tmp_path)))
    assert len(pages) > 9
    for page, letters in pages:
        assert page.width == pytest.approx(width, abs=1)
        assert page.height == pytest.approx(height, abs=1)
        for letter in letters:
            assert letter.size >= (16 if large else 12) - 0.05, letter.get_text()
            assert letter.x0 >= MARGIN - 2, letter.get_text()
            assert letter.x1 <= width - MARGIN + 2, letter.get_text()
            assert letter.y0 >= 0 and letter.y1 <= height


def test_no_page_break_parts_an_exercise_from_its_figure(browser: Browser, demo: Analysis) -> None:
    """Title, figure and dose of every exercise are on one page, whatever stands before them."""
    html = _document(demo, _on_sheet(demo), "en", Paper())
    page = browser.new_page()
    page.set_content(html)
    page.emulate_media(media="print")
    kept = page.evaluate(
        """() => [...document.querySelectorAll(".sheet-top")].map((top) => [
          getComputedStyle(top).breakInside, getComputedStyle(top).breakAfter,
          getComputedStyle(top.closest(".sheet-exercise")).breakInside,
          top.getBoundingClientRect().height])"""
    )
    printable = (297 - 30) / 25.4 * 96
    assert kept
    for inside, after, whole, height in kept:
        assert (inside, after, whole) == ("avoid", "avoid", "avoid")
        assert height < printable


THREE = ["sit-to-stand", "heel-raise-one-leg-hands", "standing-raise-stick"]


@pytest.mark.parametrize(("large", "most"), [(False, 3), (True, 6)])
def test_three_exercises_fit_three_pages_and_six_in_large_print(
    browser: Browser, demo: Analysis, tmp_path: pathlib.Path, large: bool, most: int
) -> None:
    """Boxes, rules and the week on the first; then two exercises a page; the diary last."""
    pdf = _pdf(browser, _document(demo, THREE, "en", Paper("a4", large)), tmp_path)
    pages = ["".join(letter.get_text() for letter in letters) for _, letters in _pages(pdf)]
    assert len(pages) <= most
    say = messages("en")
    assert say("week.heading").replace(" ", "") in pages[1 if large else 0]
    assert say("diary.heading") in pages[-1]
    titles = [demo.measured.library.exercises[key].title.replace(" ", "") for key in THREE]
    if not large:
        assert titles[0] in pages[1] and titles[1] in pages[1] and titles[2] in pages[2]


KNEE, CALF, ARM = "sit-to-stand", "heel-raise-one-leg-hands", "standing-raise-stick"
# What a clinic hands out in a week: the exercises, how they are printed, the most pages.
SITUATIONS: dict[str, tuple[list[Chosen], dict[str, Any], int]] = {
    "three complaints": ([Chosen(KNEE), Chosen(CALF, "left"), Chosen(ARM, "right")], {}, 3),
    "after an operation": (
        [Chosen("heel-slide", "right"), Chosen("bent-leg-lift-half", "right"), Chosen("mini-squat-counter")],
        {"order": "No hip bend past 90 degrees until 14 January 2027."}, 3,
    ),
    "large print": ([Chosen("sit-to-stand-high"), Chosen("heel-raise-seated"), Chosen("press-wall-near")],
                    {"paper": Paper("a4", True)}, 6),
    "German": ([Chosen("heel-raise-both-legs"), Chosen("heel-raise-one-leg-weight", "left"),
                Chosen("calf-stretch-wall", "left")], {"language": "de"}, 3),
    "other weights": (
        [Chosen("hinge-four-kilos", set_up=SetUp(3.5, 2)), Chosen("lift-from-floor", set_up=SetUp(6.0)),
         Chosen("knee-straighten-cuff-heavy", "right", set_up=SetUp(1.5))], {}, 3,
    ),
    "half the way": (
        [Chosen("standing-raise", "left", set_up=SetUp(arc=(0, 150), share=50), line="To the window sill."),
         Chosen(KNEE, set_up=SetUp(height_m=0.55, height_of="seat")), Chosen("calf-stretch-board")], {}, 3,
    ),
    "one": ([Chosen("heel-raise-one-leg", "right")], {}, 2),
    "in the clinic": ([Chosen("supine-raise-therapist", "left"), Chosen("pulley-raise", "left"),
                       Chosen("shoulder-push-hold", "left")],
                      {"paper": Paper("letter"), "place": "clinic"}, 3),
    "four of the left": ([Chosen("split-squat", "left"), Chosen("step-up", "both"),
                          Chosen("all-fours-arm-leg", "left"), Chosen("side-lying-slide", "left")], {}, 4),
}  # fmt: skip


@pytest.mark.parametrize("situation", [*SITUATIONS, "thirty"])
def test_a_situations_sheet_fills_its_pages(
    browser: Browser, demo: Analysis, tmp_path: pathlib.Path, situation: str
) -> None:
    """Nothing off the paper, no page but the last under a third full, no more pages than said."""
    exercises = demo.measured.library.exercises
    thirty = [
        Chosen(key, "left" if exercises[key].sides == "one" else None)
        for key in _on_sheet(demo)[:30]
    ]
    chosen, how, most = SITUATIONS.get(situation, (thirty, {}, 22))
    how = dict(how)
    say, paper = messages(how.pop("language", "en")), how.get("paper", Paper())
    pages = list(
        _pages(_pdf(browser, sheet_document(demo.measured, chosen, say, TODAY, **how), tmp_path))
    )
    assert len(pages) <= most
    for number, (page, letters) in enumerate(pages, 1):
        assert (page.width, page.height) == pytest.approx(SIZES[paper.size], abs=1)
        lowest = min(letter.y0 for letter in letters)
        assert lowest >= 0 and max(letter.x1 for letter in letters) <= page.width - MARGIN + 2
        assert number == len(pages) or lowest < page.height * 2 / 3, (
            f"page {number} is nearly empty"
        )


def test_the_code_leads_to_the_exercises_page(browser: Browser, tmp_path: pathlib.Path) -> None:
    """Printed, rasterised, read by a program that shares nothing with the one that wrote it."""
    zxing: Any = pytest.importorskip("zxingcpp", reason="pip install zxing-cpp")
    image: Any = pytest.importorskip("PIL.Image")
    address = page_address("https://ladders.example/", "exercises/heel-raise.html")
    assert address == "https://ladders.example/exercises/heel-raise.html"
    page = browser.new_page(device_scale_factor=2)
    page.set_content(f'<div style="width:28mm;height:28mm">{qr_svg(address)}</div>')
    page.locator("svg").screenshot(path=str(tmp_path / "code.png"))
    codes = zxing.read_barcodes(image.open(tmp_path / "code.png"))
    assert [code.text for code in codes] == [address]


def test_codes_are_read_from_the_printed_sheet_and_cost_no_page(
    browser: Browser, demo: Analysis, tmp_path: pathlib.Path
) -> None:
    """Three exercises on three pages, each with its code; read off the paper at 200 dots an inch."""
    zxing: Any = pytest.importorskip("zxingcpp", reason="pip install zxing-cpp")
    image: Any = pytest.importorskip("PIL.Image")
    library = demo.measured.library
    site = library.settings.site.model_copy(update={"url": "https://ladders.example.org/library"})
    settings = library.settings.model_copy(update={"site": site})
    measured = dataclasses.replace(
        demo.measured, library=dataclasses.replace(library, settings=settings)
    )
    chosen = [Chosen(KNEE), Chosen(CALF, "left"), Chosen(ARM, "right")]
    html = sheet_document(measured, chosen, messages("en"), TODAY)
    assert len(list(_pages(_pdf(browser, html, tmp_path)))) == 3
    page = browser.new_page(device_scale_factor=200 / 96, viewport={"width": 680, "height": 900})
    page.set_content(html)
    page.emulate_media(media="print")
    page.screenshot(path=str(tmp_path / "sheet.png"), full_page=True)
    page.close()
    read = [code.text for code in zxing.read_barcodes(image.open(tmp_path / "sheet.png"))]
    assert sorted(read) == sorted(
        f"https://ladders.example.org/library/exercises/{one.id}.html" for one in chosen
    )


def test_a_site_without_an_address_has_no_code(demo: Analysis) -> None:
    assert page_address(None, "exercises/a.html") is None
    assert 'class="sheet-qr"' not in _document(demo, ["hop-both-feet"], "en", Paper())


def test_the_sheet_is_readable_without_colour(browser: Browser, demo: Analysis) -> None:
    """Everything on it is black, white or grey."""
    page = browser.new_page()
    page.set_content(_document(demo, _on_sheet(demo)[:6], "en", Paper()))
    colours = page.evaluate(
        """() => [...document.querySelectorAll(".patient-sheet, .patient-sheet *")].flatMap((e) => {
          const s = getComputedStyle(e);
          return [s.color, s.backgroundColor, s.borderTopColor, s.fill, s.stroke];
        })"""
    )
    for colour in set(colours):
        digits = [int(part) for part in colour.partition("(")[2].rstrip(")").split(",")[:3]
                  if part.strip().isdigit()]  # fmt: skip
        assert len(set(digits)) <= 1, colour
