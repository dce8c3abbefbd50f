"""Some cases of each kind, the same every time; `python -m tests.fuzz` tries others."""

from __future__ import annotations

import pathlib
from collections.abc import Iterator
from typing import TYPE_CHECKING

import pytest

from . import addresses, libraries, requests, tables
from .__main__ import small_site
from .judging import page_faults

if TYPE_CHECKING:
    from playwright.sync_api import Browser


@pytest.mark.parametrize("seed", range(4))
def test_a_damaged_library_is_told_and_nothing_runs(tmp_path: pathlib.Path, seed: int) -> None:
    assert libraries.case(seed, tmp_path) == []


@pytest.mark.parametrize("seed", range(8))
def test_a_damaged_table_is_told_and_brings_no_review(tmp_path: pathlib.Path, seed: int) -> None:
    assert tables.case(seed, tmp_path) == []


def test_a_damaged_request_is_answered_with_nothing_of_outside() -> None:
    with requests.opened() as case:
        assert [fault for seed in range(500) for fault in case(seed)] == []


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Iterator[pathlib.Path]:
    yield small_site(tmp_path_factory.mktemp("fuzz"))


def test_a_damaged_address_runs_nothing(browser: Browser, site: pathlib.Path) -> None:
    with addresses.opened(browser, site) as case:
        assert [fault for seed in range(24) for fault in case(seed)] == []


def test_what_could_run_in_a_page_is_seen(tmp_path: pathlib.Path) -> None:
    for number, words in enumerate(
        ("<script>x</script>", "<p onclick=x>", "<a href=' java\nscript:x'>", "<img src=//x>")
    ):
        (tmp_path / f"{number}.html").write_text(f"<!DOCTYPE html><body>{words}")
    assert len(page_faults(tmp_path)) == 4
