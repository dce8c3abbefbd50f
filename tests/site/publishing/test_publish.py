"""A library becomes a site: what is refused, what stays, what is the same every time."""

from __future__ import annotations

import datetime
import hashlib
import os
import pathlib
import subprocess
import sys

import pytest

from builders.library import library_folder
from builders.sites import analysis, raise_arm
from rungbook.pipeline.analyse import analyse
from rungbook.site.publishing.publish import NotPublished, publish

GOOD = {
    "arm/low": raise_arm("Arm raise, low", "high", 60),
    "arm/high": raise_arm("Arm raise", None, 70),
}
BAD = {"arm/low": raise_arm("Arm raise, low", "nowhere")}


def fingerprint(site: pathlib.Path) -> dict[str, str]:
    return {
        path.relative_to(site).as_posix(): hashlib.sha256(path.read_bytes()).hexdigest()
        for path in sorted(site.rglob("*"))
        if path.is_file()
    }


def test_a_library_of_nothing_has_a_site(tmp_path: pathlib.Path) -> None:
    publish(analysis(tmp_path), tmp_path / "site", draft=True)
    home = (tmp_path / "site" / "index.html").read_text()
    assert "No exercise yet" in home
    assert "No ladder yet" in home


def test_errors_are_in_the_way_and_the_old_site_stays(tmp_path: pathlib.Path) -> None:
    site = tmp_path / "site"
    publish(analysis(tmp_path / "a", exercises=GOOD), site)
    before = fingerprint(site)
    with pytest.raises(NotPublished, match="errors are in the way"):
        publish(analysis(tmp_path / "b", exercises=BAD), site)
    assert fingerprint(site) == before


def test_a_draft_is_published_despite_errors_and_says_so_on_every_page(
    tmp_path: pathlib.Path,
) -> None:
    site = tmp_path / "site"
    publish(analysis(tmp_path, exercises=BAD), site, draft=True)
    pages = list(site.rglob("*.html"))
    assert len(pages) > 10
    assert all("Draft: the library has errors" in page.read_text() for page in pages)


def test_a_draft_without_errors_is_no_draft(tmp_path: pathlib.Path) -> None:
    site = tmp_path / "site"
    publish(analysis(tmp_path, exercises=GOOD), site, draft=True)
    assert "Draft:" not in (site / "index.html").read_text()


def test_a_page_that_left_the_library_leaves_the_site(tmp_path: pathlib.Path) -> None:
    site = tmp_path / "site"
    publish(analysis(tmp_path / "a", exercises=GOOD), site)
    assert (site / "exercises" / "low.html").exists()
    publish(analysis(tmp_path / "b", exercises={"arm/high": GOOD["arm/high"]}), site)
    assert not (site / "exercises" / "low.html").exists()
    assert (site / "exercises" / "high.html").exists()


def test_addresses_are_told_only_where_the_site_has_one(tmp_path: pathlib.Path) -> None:
    publish(analysis(tmp_path / "a", exercises=GOOD), tmp_path / "without")
    assert not (tmp_path / "without" / "sitemap.xml").exists()
    settings = {"site": {"url": "https://clinic.example/library/"}}
    publish(analysis(tmp_path / "b", exercises=GOOD, settings=settings), tmp_path / "with")
    sitemap = (tmp_path / "with" / "sitemap.xml").read_text()
    assert "<loc>https://clinic.example/library/exercises/low.html</loc>" in sitemap
    assert "<lastmod>2026-05-01</lastmod>" in sitemap
    missing = (tmp_path / "with" / "404.html").read_text()
    assert 'href="/library/styles/base.css"' in missing
    assert "404.html" not in sitemap


BUILD = """
import datetime, pathlib, sys
from rungbook.pipeline.analyse import analyse
from rungbook.site.publishing.publish import publish
publish(analyse(pathlib.Path(sys.argv[1]), datetime.date.fromisoformat(sys.argv[3])),
        pathlib.Path(sys.argv[2]), draft=True)
"""


def test_the_same_library_gives_the_same_bytes_anywhere_and_any_day(tmp_path: pathlib.Path) -> None:
    """Another day, folder, locale, time zone, hash seed and SOURCE_DATE_EPOCH."""
    accepted = [{"check": "missing-source", "because": "habit", "until": "2026-12-31"}]
    exercises = {**GOOD, "arm/old": raise_arm("Old", None, 50, accepts=accepted)}
    prints = []
    for number, (day, seed, zone, epoch) in enumerate(
        [("2026-11-25", "1", "UTC", ""), ("2031-02-03", "77", "Pacific/Auckland", "1234567")]
    ):
        root = tmp_path / ("a" * (number + 1))
        library = library_folder(
            root, exercises=exercises, settings={"site": {"url": "https://x.example"}}
        )
        environment = {**os.environ, "PYTHONHASHSEED": seed, "TZ": zone, "LC_ALL": "C.UTF-8"}
        environment |= {"SOURCE_DATE_EPOCH": epoch} if epoch else {}
        subprocess.run(
            [sys.executable, "-c", BUILD, str(library), str(root / "site"), day],
            env=environment, check=True, cwd=root,
        )  # fmt: skip
        prints.append(fingerprint(root / "site"))
    assert prints[0] == prints[1]


def test_the_hosts_own_settings_for_mkdocs_are_not_read(
    tmp_path: pathlib.Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "mkdocs.yml").write_text("site_name: Other\ntheme: no-such-theme\n")
    (tmp_path / "docs").mkdir()
    (tmp_path / "docs" / "private.md").write_text("# Private")
    monkeypatch.chdir(tmp_path)
    publish(analysis(tmp_path, exercises=GOOD), tmp_path / "site")
    assert not (tmp_path / "site" / "private.html").exists()


def test_without_an_engine_for_diagrams_the_site_has_words_in_place_of_maps(
    tmp_path: pathlib.Path,
) -> None:
    settings = {"diagrams": {"engine": "dot-99.9"}}
    found = analysis(tmp_path, exercises=GOOD, settings=settings)
    published = publish(found, tmp_path / "site", draft=True)
    assert any("dot-99.9" in warning for warning in published.warnings)
    page = (tmp_path / "site" / "exercises" / "low.html").read_text()
    assert "drawn-map" not in page
    assert "The diagram in words" in page


HOSTILE = '<script>alert("x")</script> & <b>bold</b> {{ 7*7 }} "quoted" \'single\''


def test_words_of_the_library_never_become_markup(tmp_path: pathlib.Path) -> None:
    everywhere = {
        **{key: [HOSTILE] for key in ("also-called", "back-off", "purpose")},
        **{key: ["one"] for key in ("cautions", "equipment", "sources")},
        "area": "one",
        "text": {"Set up": HOSTILE, "Do": HOSTILE, "For the patient": HOSTILE},
    }
    found = analysis(
        tmp_path,
        settings={"name": HOSTILE, "contact": HOSTILE, "urgent": HOSTILE},
        vocabulary={
            key: {"one": {"title": HOSTILE, "text": HOSTILE}}
            for key in ("areas", "cautions", "equipment", "sources")
        },
        exercises={
            "arm/low": raise_arm(HOSTILE, "high", 60, **everywhere),
            "arm/high": raise_arm(HOSTILE, None, 70),
        },
        ladders={"arm": {"title": HOSTILE, "works": "shoulder flexion", "goal": "high",
                         "goal-met": [HOSTILE], "entries": {"high": "low"}, "text": HOSTILE}},
    )  # fmt: skip
    site = tmp_path / "site"
    publish(found, site, draft=True)
    for page in site.rglob("*.html"):
        text = page.read_text()
        assert "<script>" not in text, page
        assert "<b>bold" not in text, page
        assert "49" not in text.split("<title>")[1].split("</title>")[0], page
    for script in (site / "data").rglob("*.js"):
        assert "</script" not in script.read_text(), script


def test_reading_the_library_again_changes_nothing(tmp_path: pathlib.Path) -> None:
    library = library_folder(tmp_path, exercises=GOOD)
    publish(analyse(library, datetime.date(2026, 1, 1)), tmp_path / "site")
    first = fingerprint(tmp_path / "site")
    publish(analyse(library, datetime.date(2030, 1, 1)), tmp_path / "site")
    assert fingerprint(tmp_path / "site") == first
