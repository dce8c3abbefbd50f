"""One demo site for all tests of pages, and one browser."""

from __future__ import annotations

import datetime
import pathlib
from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

import pytest

from rungbook.pipeline.analyse import Analysis, analyse
from rungbook.site.publish import publish

if TYPE_CHECKING:
    from playwright.sync_api import Browser

ROOT = pathlib.Path(__file__).parents[2]
TODAY = datetime.date(2026, 11, 25)
CHROMIUM = "/usr/bin/chromium"
QUIET = [
    "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
]  # fmt: skip


@pytest.fixture(scope="session")
def demo() -> Analysis:
    """The demo library, analysed."""
    return analyse(ROOT / "library", TODAY)


@pytest.fixture(scope="session")
def demo_site(demo: Analysis, tmp_path_factory: pytest.TempPathFactory) -> pathlib.Path:
    """The demo library's site, built once."""
    site = tmp_path_factory.mktemp("demo") / "site"
    publish(demo, site, draft=True)
    return site


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """Chromium, as it comes with the system."""
    api: Any = pytest.importorskip("playwright.sync_api", reason="pip install playwright")
    if not pathlib.Path(CHROMIUM).exists():
        pytest.skip(f"no {CHROMIUM}: apt-get install chromium")
    with api.sync_playwright() as playwright:
        made = playwright.chromium.launch(executable_path=CHROMIUM, args=QUIET)
        yield made
        made.close()
