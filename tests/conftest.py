"""One browser for all tests that look at what readers see; the same random cases in every CI run."""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

import pytest
from hypothesis import settings

if TYPE_CHECKING:
    from playwright.sync_api import Browser

# What one test keeps is nothing to another; tests of what is kept name a folder of their own.
os.environ["RUNGBOOK_CACHE"] = "off"

# At a desk new cases are tried every time; a change is judged by the same ones as the last.
settings.register_profile("same-cases", derandomize=True)
if os.environ.get("CI"):
    settings.load_profile("same-cases")

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
