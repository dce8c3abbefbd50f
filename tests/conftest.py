"""One browser for all tests that look at what readers see; the same random cases in every CI run."""

from __future__ import annotations

import os
import pathlib
import shutil
import tempfile
from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

import pytest
from hypothesis import settings

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Playwright

# One run of the tests keeps the demo's loads and answers for all of them, as a desk does, and no
# longer; tests of what is kept name a folder of their own, or none.
RUN = os.environ.setdefault("RUNGBOOK_TESTS_RUN", str(os.getpid()))  # workers inherit it
KEPT = pathlib.Path(tempfile.gettempdir(), f"rungbook-tests-{RUN}")
os.environ["RUNGBOOK_CACHE"] = str(KEPT)

# At a desk new cases are tried every time; a change is judged by the same ones as the last.
settings.register_profile("new-cases", deadline=None)  # a busy machine is no fault
settings.register_profile("same-cases", deadline=None, derandomize=True)
settings.load_profile("same-cases" if os.environ.get("CI") else "new-cases")

QUIET = [
    "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
]  # fmt: skip


def pytest_sessionfinish(session: pytest.Session) -> None:
    """Nothing is left behind; of several workers none ends before the one that started them."""
    if not hasattr(session.config, "workerinput"):
        shutil.rmtree(KEPT, ignore_errors=True)


@pytest.fixture(scope="session")
def playwright_started() -> Iterator[Playwright]:
    """What drives browsers. Only one may in a process."""
    api: Any = pytest.importorskip("playwright.sync_api", reason="pip install playwright")
    with api.sync_playwright() as playwright:
        yield playwright


@pytest.fixture(scope="session")
def chromium() -> str:
    """Chromium, as it comes with the system."""
    found = shutil.which("chromium") or shutil.which("chromium-browser")
    if found is None:
        pytest.skip("no Chromium here: apt-get install chromium")
    return found


@pytest.fixture(scope="session")
def browser(playwright_started: Playwright, chromium: str) -> Iterator[Browser]:
    """One browser for all tests, without a profile of its own."""
    made = playwright_started.chromium.launch(executable_path=chromium, args=QUIET)
    yield made
    made.close()
