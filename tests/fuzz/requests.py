"""Requests to the preview, as bytes: answered or refused, with nothing of outside the site."""

from __future__ import annotations

import contextlib
import pathlib
import random
import socket
import tempfile
from collections.abc import Callable, Iterator

from builders.library import library_folder
from builders.sites import TODAY
from builders.sound import sound_files
from rungbook.site.publishing.live import LiveSite
from rungbook.site.publishing.serve import PreviewServer

from . import damage

SECRET = "nothing of this may be seen"
PATHS = (
    "/", "/index.html", "/exercises/arm-low.html", "/data/library.js", "/-preview/news.js?since=0",
    "/../secret.txt", "/..%2fsecret.txt", "/%2e%2e/secret.txt", "/....//secret.txt", "//secret.txt",
    "/..%5csecret.txt", "/%00", "/%c0%ae%c0%ae/secret.txt", "/library.yml", "/-preview/news.js?since=²",
    "http://elsewhere.example/", "/index.html?%", "/exercises/",
)  # fmt: skip
HEADERS = (
    "Host: 127.0.0.1", "Host: elsewhere.example", "Host: [::1", "Host:", "Origin: null",
    "Origin: http://127.0.0.1", "Sec-Fetch-Site: cross-site", "Sec-Fetch-Site: same-origin",
    "Sec-Fetch-Mode: navigate", "Content-Length: 9", "Transfer-Encoding: chunked", "Range: bytes=0-1",
    "Connection: close", "X: " + "y" * 5000, "Expect: 100-continue", "Cookie: a=b",
)  # fmt: skip
Case = Callable[[int], list[str]]


@contextlib.contextmanager
def opened() -> Iterator[Case]:
    """A preview of a small library, and the function that tries a case on it."""
    with tempfile.TemporaryDirectory(prefix="rungbook-fuzz-") as name:
        root = pathlib.Path(name)
        (root / "secret.txt").write_text(SECRET)
        files: dict[str, str | bytes] = dict(sound_files())
        library = library_folder(root, settings=str(files.pop("library.yml")), files=files)
        (library / "secret.txt").write_text(SECRET)
        site = LiveSite(library)
        site.rebuild(TODAY)
        server = _Watched(site, 0)
        server.start()
        yield lambda seed: _case(seed, server)
        server.shutdown()
        server.server_close()


class _Watched(PreviewServer):
    """Remembers what went wrong in answering."""

    wrong: str = ""

    def handle_error(self, request: object, client_address: object) -> None:
        import sys

        kind = sys.exc_info()[0]
        if kind is not None and not issubclass(kind, OSError):
            self.wrong = f"{kind.__name__}: {sys.exc_info()[1]}"


def _asked(dice: random.Random) -> bytes:
    method = dice.choice(("GET", "GET", "GET", "GET", "HEAD", "POST", "OPTIONS", "\0"))
    path = dice.choice(PATHS)
    if dice.random() < 0.4:
        path = damage.text(dice, path)[:3000]
    headers = dice.sample(HEADERS, dice.randrange(5))
    if dice.random() < 0.6:
        headers.insert(0, HEADERS[0])
    whole = "\r\n".join((f"{method} {path} HTTP/1.1", *headers, "", "")).encode("utf-8", "replace")
    return damage.content(dice, whole) if dice.random() < 0.3 else whole


def _case(seed: int, server: _Watched) -> list[str]:
    asked = _asked(random.Random(seed))
    server.wrong = ""
    answer = b""
    line = socket.create_connection(server.server_address[:2], timeout=0.5)
    with line, contextlib.suppress(OSError):
        line.sendall(asked)
        line.shutdown(socket.SHUT_WR)
        while piece := line.recv(1 << 16):
            answer += piece
    faults = [server.wrong] if server.wrong else []
    if SECRET.encode() in answer:
        faults.append(f"a file outside the site was sent for {asked[:80]!r}")
    elsewhere = b"elsewhere.example" in asked.split(b"\r\n\r\n")[0] and b"Host: else" in asked
    if elsewhere and b" 200 " in answer[:20] and b"Host: 127" not in asked:
        faults.append("another host's page was answered")
    return faults
