"""A preview follows the library and serves this machine only."""

from __future__ import annotations

import datetime
import pathlib
import re
import shutil
import subprocess
import sys
import time
import urllib.error
import urllib.request
from collections.abc import Iterator
from typing import TYPE_CHECKING

import pytest

from builders.library import library_folder, markdown
from builders.sites import raise_arm
from rungbook.site.publishing.live import LiveSite, signature
from rungbook.site.publishing.serve import PreviewServer

if TYPE_CHECKING:
    from playwright.sync_api import Browser

TODAY = datetime.date(2026, 11, 25)


@pytest.fixture
def library(tmp_path: pathlib.Path) -> pathlib.Path:
    low, high = raise_arm("Arm raise, low", "high", 60), raise_arm("Arm raise", None, 70)
    return library_folder(tmp_path, exercises={"arm/low": low, "arm/high": high})


@pytest.fixture
def server(library: pathlib.Path) -> Iterator[PreviewServer]:
    site = LiveSite(library)
    site.rebuild(TODAY)
    made = PreviewServer(site, 0)
    made.start()
    yield made
    made.shutdown()


def fetch(url: str, **headers: str) -> tuple[int, str]:
    request = urllib.request.Request(url, headers=headers)
    try:
        with urllib.request.urlopen(request, timeout=10) as answer:
            return answer.status, answer.read().decode()
    except urllib.error.HTTPError as error:
        return error.code, error.read().decode()


def write(library: pathlib.Path, **keys: object) -> None:
    text = markdown(raise_arm("Arm raise, low", "high", 60, **keys))
    (library / "exercises" / "arm" / "low.md").write_text(text)


def test_pages_styles_scripts_and_data_are_served(server: PreviewServer) -> None:
    for path in ("", "index.html", "exercises/low.html", "styles/base.css", "scripts/due.js",
                 "styles/library.css", "data/search.js"):  # fmt: skip
        status, text = fetch(server.url + path)
        assert status == 200, path
        assert text, path


def test_what_is_not_there_gets_the_missing_page_with_links_from_the_top(
    server: PreviewServer,
) -> None:
    status, text = fetch(server.url + "deep/er/nothing.html")
    assert status == 404
    assert 'href="/styles/base.css"' in text


@pytest.mark.parametrize("path", ["../library.yml", "%2e%2e/library.yml", "..%2f..%2fetc/passwd"])
def test_nothing_outside_the_site_is_served(server: PreviewServer, path: str) -> None:
    status, text = fetch(server.url + path)
    assert status == 404
    assert "root:" not in text


def test_another_machines_name_is_turned_away(server: PreviewServer) -> None:
    status, _ = fetch(server.url, Host="attacker.example")
    assert status == 403


def test_a_change_is_seen_and_shown(library: pathlib.Path, server: PreviewServer) -> None:
    before = signature(library)
    write(library, **{"also-called": ["new name"]})
    assert signature(library) != before
    server.site.rebuild(TODAY)
    assert "new name" in fetch(server.url + "exercises/low.html")[1]


def test_news_waits_until_there_is_some(library: pathlib.Path, server: PreviewServer) -> None:
    version = server.site.built.version if server.site.built else 0
    started = time.monotonic()
    assert server.site.wait_for_news(version, 0.2) == server.site.built
    assert time.monotonic() - started >= 0.2
    server.site.rebuild(TODAY)
    news = server.site.wait_for_news(version, 10)
    assert news and news.version == version + 1


def test_an_error_does_not_stop_a_preview(library: pathlib.Path, server: PreviewServer) -> None:
    write(library, nonsense=1)
    built = server.site.rebuild(TODAY)
    assert built.counts["error"] == 1
    assert "Draft: the library has errors" in fetch(server.url)[1]


def test_the_library_may_vanish_and_come_back(library: pathlib.Path, server: PreviewServer) -> None:
    from rungbook.reading.read import NoLibrary

    shutil.move(library, library.with_name("away"))
    with pytest.raises(NoLibrary):
        server.site.rebuild(TODAY)
    assert fetch(server.url)[0] == 200


def test_an_open_page_reloads_and_shows_findings(
    browser: Browser, library: pathlib.Path, server: PreviewServer
) -> None:
    page = browser.new_page()
    page.goto(server.url + "exercises/low.html")
    page.wait_for_timeout(300)
    write(library, **{"also-called": ["quite new"], "progressions": [{"to": "high"}]})
    server.site.rebuild(TODAY)
    page.wait_for_selector("text=quite new", timeout=10_000)
    banner = page.wait_for_selector(".preview-banner", timeout=10_000)
    assert banner and re.search(r"[1-9] errors?", banner.inner_text())
    page.close()


def test_the_command_serves_and_says_where(library: pathlib.Path) -> None:
    command = [
        sys.executable,
        "-m",
        "rungbook.cli",
        "preview",
        "--library",
        str(library),
        "--port",
        "0",
    ]
    process = subprocess.Popen(command, stdout=subprocess.PIPE, text=True)
    try:
        assert process.stdout
        told = ""
        while "Serving" not in told:
            told += process.stdout.readline()
        url = re.search(r"http://127\.0\.0\.1:\d+/", told)
        assert url and "Arm raise" in fetch(url[0] + "exercises/low.html")[1]
        write(library, nonsense=1)
        while "unknown-field" not in told:
            told += process.stdout.readline()
    finally:
        process.terminate()
        process.wait(10)
