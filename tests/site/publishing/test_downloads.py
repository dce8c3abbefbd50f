"""The page of downloads offers every format of exchange, and the files are the exports."""

from __future__ import annotations

import pathlib
import re

from builders.exports import DEMO, measured_library
from rungbook.exporting.formats import FOLDER, FORMATS


def test_every_format_is_offered_and_described(demo_site: pathlib.Path) -> None:
    page = (demo_site / "downloads.html").read_text("utf-8")
    links = re.findall(r'<a href="(data/[^"]+)" download="([^"]+)"', page)
    assert links == [(f"{FOLDER}/{one.file}", one.file) for one in FORMATS]
    assert page.count("<summary>What ") == len(FORMATS)
    assert "they do not say that one suits a patient" in page


def test_the_files_are_what_the_command_exports(demo_site: pathlib.Path) -> None:
    measured = measured_library(DEMO)
    for one in FORMATS:
        assert (demo_site / FOLDER / one.file).read_bytes() == one.render(measured).encode()


def test_every_page_leads_there(demo_site: pathlib.Path) -> None:
    assert 'href="downloads.html"' in (demo_site / "index.html").read_text("utf-8")
    page = next((demo_site / "exercises").glob("*.html")).read_text("utf-8")
    assert 'href="../downloads.html"' in page
