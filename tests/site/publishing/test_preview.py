"""A preview follows the library and serves this machine only."""

from __future__ import annotations

import datetime
import http.server
import pathlib
import re
import shutil
import socket
import subprocess
import sys
import threading
import time
import urllib.error
import urllib.request
from collections.abc import Iterator
from functools import partial
from typing import TYPE_CHECKING

import pytest

from builders.library import library_folder, markdown
from builders.sites import raise_arm
from rungbook.site.publishing.live import LiveSite, signature
from rungbook.site.publishing.serve import PreviewServer

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Route

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


@pytest.mark.parametrize(
    "headers",
    [
        {"Sec-Fetch-Site": "cross-site", "Sec-Fetch-Mode": "no-cors", "Sec-Fetch-Dest": "script"},
        # Another port of this machine is the same site, and another origin.
        {"Sec-Fetch-Site": "same-site", "Sec-Fetch-Mode": "no-cors", "Sec-Fetch-Dest": "script"},
        {"Sec-Fetch-Site": "cross-site", "Sec-Fetch-Mode": "navigate", "Sec-Fetch-Dest": "iframe"},
        {"Origin": "https://other.example"},
        {"Origin": "http://localhost:1"},
        {"Origin": "null"},
    ],
)
@pytest.mark.parametrize("path", ["", "data/library.js", "-preview/news.js", "data/sheet/low.js"])
def test_pages_of_other_sites_are_turned_away(
    server: PreviewServer, headers: dict[str, str], path: str
) -> None:
    """The fetch metadata that browsers send: W3C, Fetch Metadata Request Headers."""
    status, text = fetch(server.url + path, **headers)
    assert status == 403
    assert "Arm raise" not in text


def test_a_reader_may_come_from_elsewhere_and_the_page_may_ask_for_its_own(
    server: PreviewServer,
) -> None:
    led = {"Sec-Fetch-Site": "cross-site", "Sec-Fetch-Mode": "navigate"}
    assert fetch(server.url, **led, **{"Sec-Fetch-Dest": "document"})[0] == 200
    for site in ("same-origin", "none"):
        assert fetch(server.url + "data/library.js", **{"Sec-Fetch-Site": site})[0] == 200
    own = server.url.rstrip("/")
    assert fetch(server.url + "data/library.js", Origin=own)[0] == 200


def test_every_answer_says_that_nobody_else_may_read_or_frame_it(server: PreviewServer) -> None:
    for path in ("", "data/library.js", "-preview/news.js", "nothing.html"):
        request = urllib.request.Request(server.url + path)
        try:
            with urllib.request.urlopen(request, timeout=10) as answer:
                headers = answer.headers
        except urllib.error.HTTPError as error:
            headers = error.headers
        assert headers["Cross-Origin-Resource-Policy"] == "same-origin"
        assert headers["Content-Security-Policy"] == "frame-ancestors 'self'"
        assert headers["X-Content-Type-Options"] == "nosniff"


@pytest.mark.parametrize(
    "query",
    ["since=%C2%B2", "since=-1", "since=1e9", "since=", "since", "", "since=" + "9" * 5000,
     "since=%00", "&&&=;", "since=[", "%ff%fe"],
)  # fmt: skip
def test_odd_queries_get_an_answer(server: PreviewServer, query: str) -> None:
    status, text = fetch(f"{server.url}-preview/news.js?{query}")
    assert status == 200
    assert text.startswith("rungbook.preview({")


@pytest.mark.parametrize("path", ["%00", "%ff", "//[::1", "http://[x/y", "a" * 60_000, "?", "%"])
def test_odd_paths_lead_nowhere(server: PreviewServer, path: str) -> None:
    with socket.create_connection(server.server_address, timeout=10) as connection:
        host = f"127.0.0.1:{server.server_address[1]}"
        connection.sendall(f"GET /{path} HTTP/1.1\r\nHost: {host}\r\n\r\n".encode())
        assert re.match(rb"HTTP/1\.1 (404|200|414) ", connection.recv(100))


def test_another_site_in_the_same_browser_reads_and_frames_nothing(
    browser: Browser, server: PreviewServer, tmp_path: pathlib.Path
) -> None:
    other = tmp_path / "other"
    other.mkdir()
    (other / "index.html").write_text(
        f"""<script>window.rungbook = {{ register(name) {{ window.got = name; }},
        preview() {{ window.got = "news"; }} }};</script>
        <iframe src="{server.url}"></iframe>
        <script src="{server.url}data/library.js"></script>
        <script src="{server.url}-preview/news.js?since=0"></script>"""
    )
    serving = http.server.ThreadingHTTPServer(
        ("127.0.0.1", 0), partial(QuietFiles, directory=str(other))
    )
    threading.Thread(target=serving.serve_forever, daemon=True).start()
    page = browser.new_page()
    page.goto(f"http://localhost:{serving.server_address[1]}/")
    page.wait_for_load_state("load")
    assert page.evaluate("window.got") is None
    framed = [frame for frame in page.frames if frame != page.main_frame]
    assert all("Arm raise" not in frame.content() for frame in framed)
    page.close()
    serving.shutdown()


class QuietFiles(http.server.SimpleHTTPRequestHandler):
    def log_message(self, format: str, *args: object) -> None:
        pass


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


def test_a_page_that_stops_being_valid_keeps_its_last_good_content_with_the_fault_on_top(
    library: pathlib.Path, server: PreviewServer
) -> None:
    page = server.url + "exercises/low.html"
    write(library, **{"also-called": ["still good"]})
    server.site.rebuild(TODAY)
    for fault in ("nonsense", "humbug"):  # the second of two faulty states tells its own
        write(library, **{fault: 1})
        server.site.rebuild(TODAY)
        status, text = fetch(page)
        assert status == 200
        assert "still good" in text
        body = text.partition("<body")[2]
        fault_at = body.index(f"unknown key &#x27;{fault}&#x27;")
        assert fault_at < body.index("still good")
    write(library, **{"also-called": ["mended"]})
    server.site.rebuild(TODAY)
    assert "mended" in fetch(page)[1]
    assert "before the last change" not in fetch(page)[1]
    (library / "exercises" / "arm" / "low.md").unlink()
    server.site.rebuild(TODAY)
    assert fetch(page)[0] == 404


def test_the_fault_that_was_just_made_is_told_first(
    library: pathlib.Path, server: PreviewServer
) -> None:
    """By name the other faulty file would come first."""
    text = markdown(raise_arm("Arm raise", None, 70, humbug=1))
    (library / "exercises" / "arm" / "high.md").write_text(text)
    assert server.site.rebuild(TODAY).findings[0].place.file == "exercises/arm/high.md"
    write(library, nonsense=1)
    first, second = server.site.rebuild(TODAY).findings[:2]
    assert [one.place.file for one in (first, second)] == [
        "exercises/arm/low.md",
        "exercises/arm/high.md",
    ]
    assert {first.level, second.level} == {"error"}


def test_of_two_states_made_while_a_page_loads_the_page_shows_the_last(
    browser: Browser, library: pathlib.Path, server: PreviewServer
) -> None:
    """The second is made after the page was sent and before its script first asks for news."""
    page = browser.new_page()
    page.goto(server.url + "exercises/low.html")
    made = []

    def save_again(route: Route) -> None:
        if not made:
            made.append(write(library, **{"also-called": ["second save"]}))
            server.site.rebuild(TODAY)
        route.continue_()

    write(library, **{"also-called": ["first save"]})
    page.route("**/-preview/news.js?since=0*", save_again)
    server.site.rebuild(TODAY)
    page.wait_for_selector("text=second save", timeout=10_000)
    assert made
    page.close()
