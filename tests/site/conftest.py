"""One demo site for all tests of pages."""

from __future__ import annotations

import datetime
import pathlib

import pytest

from rungbook.pipeline.analyse import Analysis, analyse
from rungbook.site.publishing.publish import publish

ROOT = pathlib.Path(__file__).parents[2]
TODAY = datetime.date(2026, 11, 25)


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
