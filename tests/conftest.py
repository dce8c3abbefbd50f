"""One browser for all tests that look at what readers see."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

import pytest

if TYPE_CHECKING:
    from playwright.sync_api import Browser

QUIET = [
    "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
]  # fmt: skip


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """Chromium, as it comes with the system. Only one may drive it in a process."""
    api: Any = pytest.importorskip("playwright.sync_api", reason="pip install playwright")
    chromium = shutil.which("chromium") or shutil.which("chromium-browser")
    if chromium is None:
        pytest.skip("no Chromium here: apt-get install chromium")
    with api.sync_playwright() as playwright:
        made = playwright.chromium.launch(executable_path=chromium, args=QUIET)
        yield made
        made.close()
