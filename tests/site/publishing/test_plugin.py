"""The plugin in a clinic's own MkDocs site, with MkDocs' two stock themes."""

from __future__ import annotations

import json
import pathlib
import re

import pytest
from mkdocs.commands.build import build
from mkdocs.config import load_config
from mkdocs.exceptions import Abort, PluginError

from builders.library import library_folder
from builders.sites import raise_arm

TITLE = 'Arm <script>alert(1)</script> & "raise"'
EXERCISES = {"arm/low": raise_arm(TITLE, "high", 60), "arm/high": raise_arm("Arm raise", None, 70)}
THEMES = ["mkdocs", "readthedocs"]


def host(
    root: pathlib.Path, theme: str, options: str = "{}", exercises: object = EXERCISES
) -> pathlib.Path:
    """A clinic's own site with the plugin added; returns the built site."""
    library_folder(root, exercises=exercises)  # type: ignore[arg-type]
    (root / "docs").mkdir()
    (root / "docs" / "index.md").write_text(
        "# Our clinic\n\nSee [the library](exercise-library/index.md).\n"
    )
    (root / "docs" / "about.md").write_text("# About us\n")
    (root / "mkdocs.yml").write_text(
        f"site_name: Our clinic\nsite_url: https://clinic.example/\ntheme: {theme}\n"
        f"plugins: [search, {{rungbook: {options}}}]\nstrict: true\n"
    )
    site = root / "built"
    build(load_config(str(root / "mkdocs.yml"), site_dir=str(site)))
    return site


@pytest.mark.parametrize("theme", THEMES)
def test_pages_are_framed_by_the_hosts_theme(tmp_path: pathlib.Path, theme: str) -> None:
    site = host(tmp_path, theme)
    page = (site / "exercise-library" / "exercises" / "low.html").read_text()
    assert 'class="rungbook rungbook-exercise"' in page
    assert "Our clinic" in page
    assert page.count("<h1") - page.count("<h1 class") >= 1
    assert "licensed clinician" in page


@pytest.mark.parametrize("theme", THEMES)
def test_titles_reach_the_hosts_theme_escaped(tmp_path: pathlib.Path, theme: str) -> None:
    site = host(tmp_path, theme)
    for path in site.rglob("*.html"):
        assert "<script>alert" not in path.read_text(), path
    page = (site / "exercise-library" / "exercises" / "low.html").read_text()
    title = re.search(r"<title>(.*?)</title>", page, re.S)
    assert title and "&lt;script&gt;" in title[1]


@pytest.mark.parametrize("theme", THEMES)
def test_titles_are_escaped_once_in_pages_and_not_in_the_search(
    tmp_path: pathlib.Path, theme: str
) -> None:
    site = host(tmp_path, theme)
    for path in site.rglob("*.html"):
        assert not re.search(r"&amp;(?:#\d|lt|gt|quot|amp)", path.read_text()), path
    found = json.loads((site / "search" / "search_index.json").read_text())["docs"]
    assert TITLE in {one["title"] for one in found}


@pytest.mark.parametrize("theme", THEMES)
def test_the_hosts_navigation_stays_its_own(tmp_path: pathlib.Path, theme: str) -> None:
    site = host(tmp_path, theme)
    home = (site / "index.html").read_text()
    assert "about" in home
    assert "exercise-library/exercises" not in home


@pytest.mark.parametrize("theme", THEMES)
def test_links_styles_and_scripts_of_the_pages_are_there(
    tmp_path: pathlib.Path, theme: str
) -> None:
    site = host(tmp_path, theme)
    for path in (site / "exercise-library").rglob("*.html"):
        text = path.read_text()
        inside = text[text.index('<article class="rungbook') :]
        inside = inside[: inside.index("</article>")]
        for address in re.findall(r'(?:href|src)="([^"#:]+)(?:#[^"]*)?"', inside):
            assert (path.parent / address).resolve().is_file(), (path, address)
    page = (site / "exercise-library" / "exercises" / "low.html").read_text()
    for address in re.findall(
        r'(?:href|src)="([^"]*exercise-library/(?:styles|scripts)/[^"]*)"', page
    ):
        target = site / "exercise-library" / "exercises" / address
        assert target.resolve().is_file(), address
    assert "content.css" in page


def test_the_hosts_search_and_sitemap_take_the_pages_in(tmp_path: pathlib.Path) -> None:
    site = host(tmp_path, "mkdocs")
    index = json.loads((site / "search" / "search_index.json").read_text())
    assert any(doc["location"].endswith("exercises/low.html") for doc in index["docs"])
    sitemap = (site / "sitemap.xml").read_text()
    assert "https://clinic.example/exercise-library/exercises/low.html" in sitemap
    assert "<lastmod>2026-05-01</lastmod>" in sitemap


def test_the_folder_can_be_chosen(tmp_path: pathlib.Path) -> None:
    library_folder(tmp_path, exercises=EXERCISES)
    (tmp_path / "docs").mkdir()
    (tmp_path / "docs" / "index.md").write_text("# Home\n")
    (tmp_path / "mkdocs.yml").write_text(
        "site_name: x\nplugins: [{rungbook: {folder: moves/ours}}]\n"
    )
    build(load_config(str(tmp_path / "mkdocs.yml"), site_dir=str(tmp_path / "built")))
    assert (tmp_path / "built" / "moves" / "ours" / "exercises" / "low.html").is_file()


def test_a_library_with_errors_stops_the_build_unless_it_is_a_draft(tmp_path: pathlib.Path) -> None:
    bad = {"arm/low": raise_arm("Low", "nowhere")}
    with pytest.raises((PluginError, Abort)):
        host(tmp_path / "a", "mkdocs", exercises=bad)
    (tmp_path / "b").mkdir()
    site = host(tmp_path / "b", "mkdocs", "{draft: true}", exercises=bad)
    page = (site / "exercise-library" / "exercises" / "low.html").read_text()
    assert "Draft: the library has errors" in page


def test_no_library_is_told_in_words(tmp_path: pathlib.Path) -> None:
    (tmp_path / "docs").mkdir()
    (tmp_path / "docs" / "index.md").write_text("# Home\n")
    (tmp_path / "mkdocs.yml").write_text("site_name: x\nplugins: [{rungbook: {library: gone}}]\n")
    with pytest.raises((PluginError, Abort)):
        build(load_config(str(tmp_path / "mkdocs.yml"), site_dir=str(tmp_path / "built")))


def test_our_theme_frames_a_clinics_own_pages_too(tmp_path: pathlib.Path) -> None:
    library_folder(tmp_path, exercises=EXERCISES)
    (tmp_path / "docs").mkdir()
    (tmp_path / "docs" / "visit.md").write_text("# Visit <us>\n\nCome *in*.\n")
    (tmp_path / "mkdocs.yml").write_text(
        "site_name: 'A & B'\ntheme: rungbook\nuse_directory_urls: false\nplugins: [rungbook]\n"
    )
    build(load_config(str(tmp_path / "mkdocs.yml"), site_dir=str(tmp_path / "built")))
    page = (tmp_path / "built" / "visit.html").read_text()
    assert "<em>in</em>" in page
    assert "A &amp; B" in page
    assert 'href="./styles/base.css"' in page
    assert 'href="./finder.html"' in page
