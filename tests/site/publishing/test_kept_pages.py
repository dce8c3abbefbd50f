"""A build that takes finished pages from an earlier one makes the same files, and only makes what
has changed."""

from __future__ import annotations

import pathlib
from typing import Any

import pytest

from builders.sites import analysis, raise_arm
from rungbook.pipeline.analyse import Analysis
from rungbook.site.pages.catalogue import Catalogue
from rungbook.site.pages.page import Page
from rungbook.site.pages.render import whole_page
from rungbook.site.publishing.made_piece import Piece
from rungbook.site.publishing.making import MadeSite, made_site

IDS = [f"raise-{number}" for number in range(4)]


@pytest.fixture(autouse=True)
def kept(tmp_path: pathlib.Path, monkeypatch: pytest.MonkeyPatch) -> pathlib.Path:
    monkeypatch.setenv("RUNGBOOK_CACHE", str(tmp_path / "cache"))
    return tmp_path / "cache"


def _library(folder: pathlib.Path, titles: dict[str, str], **more: Any) -> Analysis:
    """Two rungs that lead to each other, and two more; a ladder to the second."""
    leads = dict(zip(IDS, [IDS[1], None, IDS[3], None], strict=True))
    exercises = {
        f"arm/{key}": raise_arm(titles.get(key, f"Arm raise {key}"), leads[key], 30 + number)
        for number, key in enumerate(IDS)
    }
    arm = {"title": "Arm", "works": "shoulder flexion", "goal": IDS[1], "entries": {"high": IDS[0]}}
    ladders = {"arm": arm}
    return analysis(folder, exercises=exercises, ladders=ladders, **more)


def _built(made: Analysis) -> tuple[MadeSite, set[str]]:
    """The site, and which pages of exercises and ladders were rendered."""
    rendered: set[str] = set()

    def frame(page: Page, catalogue: Catalogue) -> str:
        if page.kind in ("exercise", "ladder"):
            rendered.add(page.path)
        return whole_page(page, catalogue)

    return made_site(Catalogue(made), frame, workers=1), rendered


def _same(one: MadeSite, other: MadeSite) -> bool:
    return one.files == other.files and [made.html for made in one.pages] == [
        made.html for made in other.pages
    ]


def test_a_second_build_renders_nothing_and_is_the_same(tmp_path: pathlib.Path) -> None:
    library = _library(tmp_path / "library", {})
    first, rendered = _built(library)
    second, again = _built(library)
    assert len(rendered) == len(IDS) + 1
    assert again == set()
    assert _same(first, second)


def test_after_an_edit_only_its_part_is_rendered(
    tmp_path: pathlib.Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    _built(_library(tmp_path / "library", {}))
    edited = _library(tmp_path / "library", {IDS[2]: "Another name"})
    site, rendered = _built(edited)
    assert rendered == {f"exercises/{key}.html" for key in IDS[2:]}
    monkeypatch.setenv("RUNGBOOK_CACHE", "off")
    assert _same(site, _built(edited)[0])


def test_an_edit_of_a_rung_renders_its_ladder_anew(tmp_path: pathlib.Path) -> None:
    _built(_library(tmp_path / "library", {}))
    _, rendered = _built(_library(tmp_path / "library", {IDS[0]: "Another name"}))
    assert rendered == {*(f"exercises/{key}.html" for key in IDS[:2]), "ladders/arm.html"}


def test_other_settings_render_everything_anew(tmp_path: pathlib.Path) -> None:
    _built(_library(tmp_path / "library", {}))
    _, rendered = _built(_library(tmp_path / "library", {}, settings={"name": "Another library"}))
    assert len(rendered) == len(IDS) + 1


def test_a_damaged_store_changes_nothing(tmp_path: pathlib.Path, kept: pathlib.Path) -> None:
    library = _library(tmp_path / "library", {})
    first, _ = _built(library)
    for file in kept.iterdir():
        file.write_bytes(file.read_bytes()[: file.stat().st_size // 2])
    second, _ = _built(library)
    assert _same(first, second)


def test_a_piece_is_unpacked_as_it_was() -> None:
    piece = Piece("<p>é\n", (("data/a.js", b"\n\0"), ("data/b.js", b"")), (("json", "{}"),))  # type: ignore[arg-type]
    assert Piece.unpacked(piece.packed()) == piece
