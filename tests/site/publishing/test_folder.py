"""What stands unchanged in the site stays the same file; what anybody touched is made anew."""

from __future__ import annotations

import os
import pathlib
from collections.abc import Callable

import pytest

from builders.sites import analysis, raise_arm
from rungbook.pipeline.analyse import Analysis
from rungbook.site.publishing.folder import SiteFolder
from rungbook.site.publishing.publish import publish

SAME, OTHER = "exercises/low.html", "exercises/lone.html"


@pytest.fixture(autouse=True)
def kept(tmp_path: pathlib.Path, monkeypatch: pytest.MonkeyPatch) -> pathlib.Path:
    monkeypatch.setenv("RUNGBOOK_CACHE", str(tmp_path / "cache"))
    return tmp_path / "cache"


def library(folder: pathlib.Path, title: str = "Alone") -> Analysis:
    exercises = {
        "arm/low": raise_arm("Low", "high", 60),
        "arm/high": raise_arm("High", None, 70),
        "arm/lone": raise_arm(title, None, 50),
    }
    return analysis(folder, exercises=exercises)


def contents(site: pathlib.Path) -> dict[str, bytes]:
    return {
        path.relative_to(site).as_posix(): path.read_bytes()
        for path in site.rglob("*")
        if path.is_file()
    }


def fresh(found: Analysis, site: pathlib.Path, monkeypatch: pytest.MonkeyPatch) -> dict[str, bytes]:
    with monkeypatch.context() as patch:
        patch.setenv("RUNGBOOK_CACHE", "off")
        publish(found, site)
    return contents(site)


def test_what_is_the_same_stays_the_same_file(
    tmp_path: pathlib.Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    site = tmp_path / "site"
    publish(library(tmp_path / "library"), site)
    before = {path: os.stat(site / path).st_ino for path in (SAME, OTHER)}
    edited = library(tmp_path / "library", "Another name")
    publish(edited, site)
    assert os.stat(site / SAME).st_ino == before[SAME]
    assert os.stat(site / SAME).st_nlink == 1
    assert os.stat(site / OTHER).st_ino != before[OTHER]
    assert contents(site) == fresh(edited, tmp_path / "fresh", monkeypatch)


def _longer(file: pathlib.Path) -> None:
    file.write_bytes(file.read_bytes() + b"!")


def _as_long(file: pathlib.Path) -> None:
    file.write_bytes(file.read_bytes()[::-1])


@pytest.mark.parametrize("touch", [_longer, _as_long, pathlib.Path.unlink])
@pytest.mark.parametrize("touched", [SAME, "data/sheet/low.js"])
def test_a_file_that_somebody_touched_is_made_anew(
    tmp_path: pathlib.Path,
    monkeypatch: pytest.MonkeyPatch,
    touch: Callable[[pathlib.Path], None],
    touched: str,
) -> None:
    site, found = tmp_path / "site", library(tmp_path / "library")
    publish(found, site)
    touch(site / touched)
    publish(found, site)
    assert contents(site) == fresh(found, tmp_path / "fresh", monkeypatch)


def test_a_disk_without_links_gets_copies(
    tmp_path: pathlib.Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refused(*places: str) -> None:
        raise OSError(1, "Operation not permitted")

    site, found = tmp_path / "site", library(tmp_path / "library")
    publish(found, site)
    monkeypatch.setattr(os, "link", refused)
    publish(found, site)
    assert contents(site) == fresh(found, tmp_path / "fresh", monkeypatch)


def test_another_site_of_the_same_library_is_whole(tmp_path: pathlib.Path) -> None:
    found = library(tmp_path / "library")
    publish(found, tmp_path / "site")
    publish(found, tmp_path / "other")
    assert contents(tmp_path / "other") == contents(tmp_path / "site")


def test_what_was_linked_is_let_go_where_the_rest_has_to_be_written(tmp_path: pathlib.Path) -> None:
    now, new = tmp_path / "now", tmp_path / "new"
    for path in ("a.html", "data/a.js"):
        SiteFolder(str(now)).write(path, b"before")
    SiteFolder(str(now), now).keep({"a.html": "key"}, {"a.html": ["a.html", "data/a.js"]})
    (now / "data" / "a.js").unlink()
    folder = SiteFolder(str(new), now)
    assert folder.link("key", "a.html") is None
    folder.write("a.html", b"after")
    assert (now / "a.html").read_bytes() == b"before"
