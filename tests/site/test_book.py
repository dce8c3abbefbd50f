"""The library as one printed document: whole, in one file, its page numbers true."""

from __future__ import annotations

import pathlib
import re
from typing import TYPE_CHECKING, Any

import html5lib
import pytest
from click.testing import CliRunner

from builders.library import library_folder
from builders.sites import analysis, raise_arm
from rungbook.cli import main
from rungbook.pipeline.analyse import Analysis
from rungbook.site.book import book

if TYPE_CHECKING:
    from playwright.sync_api import Browser


@pytest.fixture(scope="module")
def text(demo: Analysis) -> str:
    return book(demo)


def _printed(browser: Browser, text: str, folder: pathlib.Path) -> list[str]:
    """The text of each page, as pdfminer.six reads it from what Chromium prints."""
    high: Any = pytest.importorskip("pdfminer.high_level", reason="pip install pdfminer.six")
    source, made = folder / "book.html", folder / "book.pdf"
    source.write_text(text, encoding="utf-8")
    page = browser.new_page()
    page.goto(source.as_uri())
    page.pdf(path=str(made), prefer_css_page_size=True)
    page.close()
    return str(high.extract_text(str(made))).split("\f")


def test_it_is_one_valid_file_that_needs_no_other(text: str) -> None:
    """By html5lib, the WHATWG parsing algorithm's reference implementation, in strict mode."""
    html5lib.HTMLParser(strict=True).parse(text)
    assert not re.findall(r'<(?:img|script|link|iframe)\b[^>]*(?:src|href)="', text)
    assert "default-src 'none'" in text and "url(" not in re.sub(r"url\(#[^)]*\)", "", text)


def test_every_link_leads_to_a_place_in_it(text: str) -> None:
    found = re.findall(r'\sid="([^"]*)"', text)
    assert len(found) == len(set(found))
    inside = [one for one in re.findall(r'href="([^"]*)"', text) if not one.startswith("http")]
    assert inside and [one for one in inside if one[:1] != "#" or one[1:] not in found] == []


def test_every_exercise_and_ladder_is_in_contents_and_index(text: str, demo: Analysis) -> None:
    library = demo.measured.library
    contents = text[text.index('id="contents"') : text.index('class="book-piece book-ladder"')]
    for id in library.exercises:
        assert f'href="#exercise-{id}"' in contents, id
        number = re.search(rf'href="#exercise-{id}">.*?book-number">(\d+)<', contents)
        assert number and f'<a href="#exercise-{id}">{number[1]}</a>' in text, id
    assert all(f'href="#ladder-{id}"' in contents for id in library.ladders)


def test_each_exercise_prints_on_one_page_under_the_number_the_contents_give(
    browser: Browser, tmp_path: pathlib.Path
) -> None:
    exercises = {
        f"shoulder/e{n}": raise_arm(f"Arm raise number {n}", text={"Do": f"Raise it {n} times."})
        for n in range(4)
    }
    pages = _printed(browser, book(analysis(tmp_path, exercises=exercises)), tmp_path)
    contents = " ".join(pages[1].split())
    for n in range(4):
        (holds,) = [at for at, words in enumerate(pages) if f"Raise it {n} times." in words]
        assert str(holds + 1) in pages[holds].split()
        assert f"Arm raise number {n}" in contents and str(holds + 1) in contents.split()
    assert "Arm raise number 0" in pages[-2] or "Arm raise number 0" in pages[-1]


def test_an_exercise_of_the_demo_takes_one_page(browser: Browser, text: str) -> None:
    """The largest three, by their own text, printed by themselves."""
    pieces = re.findall(
        r'<article class="book-piece rungbook-exercise".*?</article>', text, re.DOTALL
    )
    page = browser.new_page()
    for piece in sorted(
        pieces, key=lambda one: -len(re.sub(r"<svg.*?</svg>|<[^>]+>", "", one, flags=re.DOTALL))
    )[:3]:
        start, end = text.index('<section class="book-cover">'), text.index("</main>")
        page.set_content(text[:start] + piece + text[end:])
        printed = page.pdf(prefer_css_page_size=True)
        assert len(re.findall(rb"/MediaBox", printed)) == 1
    page.close()


def test_a_library_of_one_bare_exercise_makes_a_book(tmp_path: pathlib.Path) -> None:
    folder = library_folder(tmp_path, exercises={"arm": {"title": "Arm"}})
    made = CliRunner().invoke(
        main, ["book", "--library", str(folder), "--draft", "--output", str(tmp_path / "b.html")]
    )
    assert made.exit_code == 0, made.output
    text = (tmp_path / "b.html").read_text()
    assert "No dose is written." in text and "No caution is written" in text


def test_a_library_with_errors_makes_none_unasked(tmp_path: pathlib.Path) -> None:
    folder = library_folder(tmp_path, exercises={"arm": {"titel": "Arm"}})
    target = tmp_path / "book.html"
    made = CliRunner().invoke(main, ["book", "--library", str(folder), "--output", str(target)])
    assert made.exit_code == 1 and "--draft" in made.output
    assert not target.exists()
