"""Claims about every page of the demo site, read from its files."""

from __future__ import annotations

import json
import pathlib
import re
from collections.abc import Iterator
from urllib.parse import unquote, urljoin, urlsplit

import html5lib
import pytest

from rungbook.pipeline.analyse import Analysis

URL = "http://site.example/"


def pages(site: pathlib.Path) -> Iterator[tuple[str, str]]:
    for path in sorted(site.rglob("*.html")):
        yield path.relative_to(site).as_posix(), path.read_text(encoding="utf-8")


@pytest.fixture(scope="module")
def texts(demo_site: pathlib.Path) -> dict[str, str]:
    return dict(pages(demo_site))


def test_every_kind_of_page_is_there(texts: dict[str, str]) -> None:
    kinds = {re.search(r'<body data-page="([a-z]+)"', text)[1] for text in texts.values()}  # type: ignore[index]
    assert kinds >= {
        "home", "area", "ladder", "exercise", "finder", "route", "sheet", "vocabulary", "method",
        "state", "words", "missing",
    }  # fmt: skip


def test_every_page_is_valid_html(texts: dict[str, str]) -> None:
    """By html5lib, the WHATWG parsing algorithm's reference implementation, in strict mode."""
    for path, text in texts.items():
        try:
            html5lib.HTMLParser(strict=True).parse(text)
        except html5lib.html5parser.ParseError as error:
            pytest.fail(f"{path}: {error}")


def test_no_page_has_inline_script_style_or_handler(texts: dict[str, str]) -> None:
    for path, text in texts.items():
        assert not re.search(r"<[^>]*\sstyle=", text), path
        assert not re.search(r"<[a-z][^>]*\son[a-z]+=", text), path
        assert "<style" not in text, path
        for tag in re.findall(r"<script[^>]*>", text):
            assert 'src="' in tag or 'type="application/ld+json"' in tag, (path, tag)


def test_every_page_has_the_policy_before_anything_it_governs(texts: dict[str, str]) -> None:
    for path, text in texts.items():
        policy = text.index('http-equiv="Content-Security-Policy"')
        assert policy < text.index("<link"), path
        assert "default-src 'none'" in text[policy : policy + 200], path
        assert "unsafe" not in text[policy : policy + 300], path


def test_no_page_asks_another_host_for_anything(texts: dict[str, str]) -> None:
    for path, text in texts.items():
        fetched = re.findall(r'<(?:script|img|source|iframe)[^>]*\ssrc="([^"]*)"', text)
        fetched += re.findall(r'<link[^>]*rel="(?:stylesheet|icon)"[^>]*href="([^"]*)"', text)
        assert not [address for address in fetched if "//" in address], path


def test_every_page_carries_the_usual_cautions(texts: dict[str, str]) -> None:
    for path, text in texts.items():
        assert "licensed clinician" in text, path
        assert "local protocol come first" in text, path
        assert "Stop the exercise" in text, path
        assert "urgent help" in text, path


def test_no_page_calls_an_exercise_safe(texts: dict[str, str]) -> None:
    for path, text in texts.items():
        assert not re.search(r"\bsafer\b", text), path


def anchors(text: str) -> set[str]:
    return set(re.findall(r'\sid="([^"]*)"', text))


def test_every_link_inside_the_site_leads_somewhere(
    texts: dict[str, str], demo_site: pathlib.Path
) -> None:
    known = {path: anchors(text) for path, text in texts.items()}
    broken = []
    for path, text in texts.items():
        for address in re.findall(r'(?:href|src)="([^"]*)"', text):
            parts = urlsplit(urljoin(URL + path, address.replace("&amp;", "&")))
            if not parts.geturl().startswith(URL) or path == "404.html":
                continue
            target = unquote(parts.path.lstrip("/")) or "index.html"
            if not (demo_site / target).is_file() or (
                parts.fragment
                and "=" not in parts.fragment
                and target in known
                and unquote(parts.fragment) not in known[target]
            ):
                broken.append((path, address))
    assert broken == []


def test_ids_are_unique_on_every_page(texts: dict[str, str]) -> None:
    for path, text in texts.items():
        found = re.findall(r'\sid="([^"]*)"', text)
        twice = {one for one in found if found.count(one) > 1}
        assert not twice, (path, twice)


def test_every_page_has_one_title_of_its_own(texts: dict[str, str]) -> None:
    titles = [re.search(r"<title>(.*?)</title>", text)[1] for text in texts.values()]  # type: ignore[index]
    assert all(titles)
    for path, text in texts.items():
        assert text.count("<h1") == 1, path


def test_exercise_pages_carry_a_plan_that_schema_org_knows(texts: dict[str, str]) -> None:
    """Properties of ExercisePlan and its parents, as listed on schema.org (from memory)."""
    known = {
        "@context", "@type", "@id", "identifier", "name", "alternateName", "url", "inLanguage",
        "exerciseType", "category", "dateModified", "repetitions", "restPeriods", "workload",
        "activityDuration", "activityFrequency", "intensity", "additionalVariable", "citation",
    }  # fmt: skip
    for path, text in texts.items():
        found = re.findall(r'<script type="application/ld\+json">(.*?)</script>', text)
        assert len(found) == path.startswith("exercises/")
        for block in found:
            plan = json.loads(block)
            assert plan["@type"] == "ExercisePlan"
            assert plan.keys() <= known


def test_an_exercise_page_keeps_its_order(texts: dict[str, str]) -> None:
    """Danger signs, figure, dose, easier and harder, what to do and when; numbers and sources last."""
    marks = [
        "<h1", 'class="safety', 'id="dose"', 'class="tiles"', 'id="go-on"', 'id="back-off"',
        'id="easier"', 'id="harder"', 'id="load"', 'id="sources"',
    ]  # fmt: skip
    for path, text in texts.items():
        if path.startswith("exercises/"):
            places = [text.index(mark) for mark in marks]
            assert places == sorted(places), path


def test_an_areas_page_has_every_progression_between_its_exercises(
    texts: dict[str, str], demo: Analysis
) -> None:
    """Drawn and in words, folded; each exercise on the map leads to its page."""
    measured = demo.measured
    areas = {id: one.area for id, one in measured.library.exercises.items()}
    for area in set(areas.values()):
        text = texts[f"areas/{area}.html"]
        drawn = text[text.index('class="ladder-map"') : text.index('aria-labelledby="exercises"')]
        inside = [(a, b) for a, b in measured.graph.edges if areas[a] == areas[b] == area]
        assert len(inside) > 5
        for id in {one for edge in inside for one in edge}:
            assert f'href="../exercises/{id}.html"' in drawn, (area, id)
        assert drawn.count('class="edge') == len(inside)
