"""A build makes what has changed and leaves the rest; the files are those of a build anew."""

from __future__ import annotations

import io
import os
import pathlib
import random
import sys
from collections.abc import Callable, Iterator
from typing import Any

import pytest
from PIL import Image

from builders.sites import analysis, raise_arm
from rungbook.pipeline.analyse import Analysis
from rungbook.site.publishing import writing
from rungbook.site.publishing.publish import publish

IDS = [f"raise-{number}" for number in range(5)]


@pytest.fixture(autouse=True)
def kept(tmp_path: pathlib.Path, monkeypatch: pytest.MonkeyPatch) -> pathlib.Path:
    monkeypatch.setenv("RUNGBOOK_CACHE", str(tmp_path / "cache"))
    return tmp_path / "cache"


@pytest.fixture
def made(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The names of the parts that are made, in this process."""
    names: list[str] = []
    make = writing._Writer._made_one

    def watched(writer: Any, part: Any) -> Any:
        names.append(part.name)
        return make(writer, part)

    monkeypatch.setattr(writing._Writer, "_made_one", watched)
    return names


LEADS = dict(zip(IDS, [IDS[1], None, IDS[3], None, None], strict=True))
WORDS: dict[str, dict[str, dict[str, Any]]] = {
    "areas": {"arm": {"title": "Arm"}},
    "cautions": {"wound": {"title": "Wound", "text": "Look at it."}},
    "equipment": {"dumbbell": {"title": "Dumbbell"}},
    "sources": {"book": {"title": "A book", "year": 1999}},
}


def library(folder: pathlib.Path, /, **changed: Any) -> Analysis:
    """Two rungs that lead to each other, two more, and one alone; a ladder to the second.

    `changed` are keys of exercises by id with hyphens as underscores, or whole parts.
    """
    exercises = {}
    for number, id in enumerate(IDS):
        keys = {"cautions": ["wound"]} if number == 0 else {}
        keys |= {"equipment": ["dumbbell"], "sources": ["book"]} if number == 2 else {}
        keys |= changed.pop(id.replace("-", "_"), {})
        title = keys.pop("title", f"Arm raise {id}")
        exercises[f"arm/{id}"] = raise_arm(title, LEADS[id], 30 + 5 * number, **keys)
    exercises |= changed.pop("more", {})
    arm = {"title": "Arm", "works": "shoulder flexion", "goal": IDS[1], "entries": {"high": IDS[0]}}
    words = {kind: {**terms, **changed.pop(kind, {})} for kind, terms in WORDS.items()}
    ladders = {"arm": {**arm, **changed.pop("ladder", {})}}
    return analysis(folder, exercises=exercises, ladders=ladders, vocabulary=words, **changed)


def contents(site: pathlib.Path) -> dict[str, bytes]:
    return {
        path.relative_to(site).as_posix(): path.read_bytes()
        for path in site.rglob("*")
        if path.is_file()
    }


def anew(found: Analysis, site: pathlib.Path, monkeypatch: pytest.MonkeyPatch) -> dict[str, bytes]:
    with monkeypatch.context() as patch:
        patch.setenv("RUNGBOOK_CACHE", "off")
        publish(found, site, draft=True)
    return contents(site)


def pages(names: list[str]) -> set[str]:
    """The pages of exercises and ladders among parts."""
    return {name for name in names if name.startswith(("exercises/", "ladders/"))}


def of(*ids: str) -> set[str]:
    return {f"exercises/{id}.html" for id in ids}


def test_a_second_build_makes_nothing(tmp_path: pathlib.Path, made: list[str]) -> None:
    publish(library(tmp_path / "library"), tmp_path / "site")
    first = contents(tmp_path / "site")
    assert pages(made) == {*of(*IDS), "ladders/arm.html"}
    made.clear()
    publish(library(tmp_path / "library"), tmp_path / "site")
    assert made == []
    assert contents(tmp_path / "site") == first


def test_everything_of_a_site_is_made_once(tmp_path: pathlib.Path, made: list[str]) -> None:
    publish(library(tmp_path / "library"), tmp_path / "site")
    assert len(made) == len(set(made))


# What changes, and the pages of exercises and ladders that show it.
LADDER = "ladders/arm.html"
EDITS: list[tuple[dict[str, Any], set[str]]] = [
    ({"raise_4": {"title": "Another name"}}, of(IDS[4])),
    ({"raise_4": {"reviewed": {"date": "2026-04-01", "by": "Me"}}}, of(IDS[4])),
    ({"raise_2": {"title": "Another name"}}, of(IDS[2], IDS[3])),
    ({"raise_0": {"title": "Another name"}}, {*of(IDS[0], IDS[1]), LADDER}),
    ({"raise_0": {"resistance": [{"weight": "1 kg", "at": "hand"}]}}, {*of(IDS[0], IDS[1]), LADDER}),
    ({"more": {"arm/new": raise_arm("New", None, 80)}}, {*of("new"), LADDER}),
    ({"cautions": {"another": {"title": "Another"}}}, set()),
    ({"cautions": {"wound": {"title": "Open wound"}}}, of(IDS[0])),
    ({"sources": {"book": {"title": "Another book"}}}, of(IDS[2])),
    ({"equipment": {"dumbbell": {"title": "Weight"}}}, of(IDS[2], IDS[3])),  # "no weight"
    ({"ladder": {"title": "Arms"}}, {*of(IDS[0], IDS[1]), LADDER}),
    ({"settings": {"site": {"colour": "#123456"}}}, set()),
]  # fmt: skip


@pytest.mark.parametrize(("changed", "shown"), EDITS)
def test_an_edit_makes_anew_what_shows_it(
    tmp_path: pathlib.Path,
    made: list[str],
    monkeypatch: pytest.MonkeyPatch,
    changed: dict[str, Any],
    shown: set[str],
) -> None:
    site = tmp_path / "site"
    publish(library(tmp_path / "library"), site)
    made.clear()
    edited = library(tmp_path / "library", **changed)
    publish(edited, site)
    assert pages(made) == shown
    assert contents(site) == anew(edited, tmp_path / "anew", monkeypatch)


def test_a_newer_review_than_all_others_is_on_every_page(
    tmp_path: pathlib.Path, made: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    publish(library(tmp_path / "library"), tmp_path / "site")
    made.clear()
    edited = library(tmp_path / "library", raise_4={"reviewed": {"date": "2026-11-01", "by": "Me"}})
    publish(edited, tmp_path / "site")
    assert pages(made) == {*of(*IDS), LADDER}
    assert not any(name.startswith("data/sheet/") and IDS[4] not in name for name in made)
    assert contents(tmp_path / "site") == anew(edited, tmp_path / "anew", monkeypatch)


def test_other_settings_make_everything_anew(tmp_path: pathlib.Path, made: list[str]) -> None:
    publish(library(tmp_path / "library"), tmp_path / "site")
    first = set(made)
    made.clear()
    publish(library(tmp_path / "library", settings={"name": "Another library"}), tmp_path / "site")
    assert set(made) == first


@pytest.mark.parametrize("seed", range(4))
def test_any_row_of_edits_gives_the_site_that_a_build_anew_gives(
    tmp_path: pathlib.Path, monkeypatch: pytest.MonkeyPatch, seed: int
) -> None:
    dice = random.Random(seed)
    for turn in range(4):
        changed: dict[str, Any] = {}
        for some, _ in dice.sample(EDITS, dice.randrange(4)):
            for key, value in some.items():
                changed[key] = {**changed.get(key, {}), **value}
        found = library(tmp_path / "library", **changed)
        publish(found, tmp_path / "site", draft=True)
        assert contents(tmp_path / "site") == anew(found, tmp_path / f"anew-{turn}", monkeypatch)


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="processes are forked on Linux")
def test_one_process_and_three_make_the_same_files(tmp_path: pathlib.Path) -> None:
    found = library(tmp_path / "library")
    publish(found, tmp_path / "one", workers=1)
    publish(found, tmp_path / "three", workers=3)
    assert contents(tmp_path / "one") == contents(tmp_path / "three")


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="processes are forked on Linux")
@pytest.mark.parametrize("workers", [1, 3])
def test_a_fault_while_making_is_not_swallowed_and_leaves_the_old_site(
    tmp_path: pathlib.Path, monkeypatch: pytest.MonkeyPatch, workers: int
) -> None:
    def broken(*about: object) -> str:
        raise ZeroDivisionError("broken frame")

    publish(library(tmp_path / "library"), tmp_path / "site")
    before = contents(tmp_path / "site")
    monkeypatch.setattr("rungbook.site.publishing.publish._kept_page", broken)
    with pytest.raises(ZeroDivisionError, match="broken frame"):
        publish(library(tmp_path / "library"), tmp_path / "site", workers=workers)
    assert contents(tmp_path / "site") == before


SAME, OTHER = f"exercises/{IDS[0]}.html", f"exercises/{IDS[4]}.html"


def test_what_is_the_same_stays_the_same_file(tmp_path: pathlib.Path) -> None:
    site = tmp_path / "site"
    publish(library(tmp_path / "library"), site)
    before = {path: os.stat(site / path).st_ino for path in (SAME, OTHER)}
    publish(library(tmp_path / "library", raise_4={"title": "Another name"}), site)
    assert os.stat(site / SAME).st_ino == before[SAME]
    assert os.stat(site / SAME).st_nlink == 1
    assert os.stat(site / OTHER).st_ino != before[OTHER]


def _longer(file: pathlib.Path) -> None:
    file.write_bytes(file.read_bytes() + b"!")


def _as_long(file: pathlib.Path) -> None:
    file.write_bytes(file.read_bytes()[::-1])


@pytest.mark.parametrize("touch", [_longer, _as_long, pathlib.Path.unlink])
@pytest.mark.parametrize("touched", [SAME, f"data/sheet/{IDS[0]}.js", "styles/base.css"])
def test_a_file_that_somebody_touched_is_made_anew(
    tmp_path: pathlib.Path, touch: Callable[[pathlib.Path], None], touched: str
) -> None:
    site, found = tmp_path / "site", library(tmp_path / "library")
    publish(found, site)
    before = contents(site)
    touch(site / touched)
    publish(found, site)
    assert contents(site) == before


def test_a_disk_without_links_gets_copies(
    tmp_path: pathlib.Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refused(*places: str, **how: object) -> None:
        raise OSError(1, "Operation not permitted")

    site, found = tmp_path / "site", library(tmp_path / "library")
    publish(found, site)
    before = contents(site)
    monkeypatch.setattr(os, "link", refused)
    publish(found, site)
    assert contents(site) == before


def test_a_damaged_store_changes_nothing(tmp_path: pathlib.Path, kept: pathlib.Path) -> None:
    site, found = tmp_path / "site", library(tmp_path / "library")
    publish(found, site)
    before = contents(site)
    for file in kept.iterdir():
        file.write_bytes(file.read_bytes()[: file.stat().st_size // 2])
    publish(library(tmp_path / "library"), site)
    assert contents(site) == before


def test_lines_that_were_lost_are_made_again(
    tmp_path: pathlib.Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    site = tmp_path / "site"
    publish(library(tmp_path / "library"), site)
    find = writing.store.find

    def lost(keys: Any) -> dict[str, bytes]:
        return find(keys) if len(keys) == 1 else {}

    edited = library(tmp_path / "library", raise_4={"title": "Another name"})
    with monkeypatch.context() as patch:
        patch.setattr(writing.store, "find", lost)
        publish(edited, site)
    assert contents(site) == anew(edited, tmp_path / "anew", monkeypatch)


def test_another_site_of_the_same_library_is_whole(tmp_path: pathlib.Path) -> None:
    found = library(tmp_path / "library")
    publish(found, tmp_path / "site")
    publish(found, tmp_path / "other")
    assert contents(tmp_path / "other") == contents(tmp_path / "site")


def test_a_picture_that_was_replaced_is_taken_anew(tmp_path: pathlib.Path) -> None:
    shown = {"pictures": [{"file": "a.jpg", "alt": "An arm"}]}
    published = []
    for colour in ("red", "blue"):
        made = io.BytesIO()
        Image.new("RGB", (40, 30), colour).save(made, "JPEG")
        files = {"pictures/a.jpg": made.getvalue()}
        publish(library(tmp_path / "library", raise_4=shown, files=files), tmp_path / "site")
        picture = Image.open(tmp_path / "site" / "pictures" / "a.jpg").convert("RGB")
        published.append(picture.getpixel((20, 15)))
    assert published[0][0] > 200 and published[1][2] > 200


@pytest.fixture(autouse=True)
def _no_leftovers(tmp_path: pathlib.Path) -> Iterator[None]:
    yield
    assert not [path.name for path in tmp_path.iterdir() if path.name.startswith(".")]
