"""A web server for one reader on this machine: the live site and news of its changes."""

from __future__ import annotations

import json
import mimetypes
import re
import threading
from email.message import Message
from http import HTTPStatus
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from urllib.parse import unquote

from rungbook.site.publishing.live import Built, LiveSite

HOST = "127.0.0.1"
NEWS = "-preview/news.js"
SCRIPT = '<script src="/scripts/preview.js" data-version="{}" defer></script></body>'
WAIT_S = 20.0
SHOWN = 5  # findings in the page's banner


def news(built: Built | None) -> str:
    """The state as a script that tells `preview.js`: scripts need no connection of their own."""
    if built is None:
        return "rungbook.preview(null);\n"
    told = {
        "version": built.version,
        "counts": dict(built.counts),
        "findings": [
            f"{finding.place}: {finding.message}"
            for finding in built.findings
            if finding.level != "note"
        ][:SHOWN],
    }
    text = json.dumps(told).replace("</", "<\\/")
    return f"rungbook.preview({text});\n"


def _asked_here(headers: Message) -> bool:
    """Whether a request was made on this machine, by its reader or by a page of this very site.

    Any other site that is open in the same browser, another port of this machine included, may
    lead a reader here, and may neither read nor frame anything: a library before it is published
    is nobody else's.
    """
    host = headers.get("Host") or ""
    if host.rsplit(":", 1)[0] not in (HOST, "localhost", "[::1]"):
        return False
    if headers.get("Origin", f"http://{host}") != f"http://{host}":
        return False
    led_here = (headers.get("Sec-Fetch-Mode"), headers.get("Sec-Fetch-Dest"))
    return headers.get("Sec-Fetch-Site", "none") in ("same-origin", "none") or led_here == (
        "navigate",
        "document",
    )


# Sent with everything: for browsers that do not say who asks, and against frames and guesses.
_KEPT_IN = {
    "Cache-Control": "no-store",
    "Content-Security-Policy": "frame-ancestors 'self'",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Referrer-Policy": "no-referrer",
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "SAMEORIGIN",
}


class _Handler(BaseHTTPRequestHandler):
    protocol_version = "HTTP/1.1"
    server: PreviewServer

    def do_GET(self) -> None:
        """Answer one request, if it comes from this machine and from a page of this site."""
        if not _asked_here(self.headers):
            self._send(HTTPStatus.FORBIDDEN, b"Only this machine may look.", "text/plain")
            return
        path, _, query = self.path.partition("?")
        path = unquote(path).lstrip("/")
        if path == NEWS:
            since = re.search(r"(?:^|&)since=([0-9]{1,15})(?:&|$)", query)
            built = self.server.site.wait_for_news(int(since[1]) if since else 0, WAIT_S)
            self._send(HTTPStatus.OK, news(built).encode(), "text/javascript")
            return
        built = self.server.site.built  # before the page: a state made meanwhile is news to it
        content, status = self.server.site.get(path), HTTPStatus.OK
        if content is None:
            path, status = "404.html", HTTPStatus.NOT_FOUND
            content = self.server.site.get(path) or b"Not found"
        kind = mimetypes.guess_type(path or "index.html")[0] or "application/octet-stream"
        if kind == "text/html":
            script = SCRIPT.format(built.version if built else 0)
            content = content.replace(b"</body>", script.encode())
        self._send(status, content, kind)

    def _send(self, status: HTTPStatus, content: bytes, kind: str) -> None:
        self.send_response(status)
        self.send_header("Content-Type", f"{kind}; charset=utf-8")
        self.send_header("Content-Length", str(len(content)))
        for name, value in _KEPT_IN.items():
            self.send_header(name, value)
        self.end_headers()
        self.wfile.write(content)

    def log_message(self, format: str, *args: object) -> None:
        """Say nothing: the terminal is for findings."""


class PreviewServer(ThreadingHTTPServer):
    """Serves `site` on this machine; `port` 0 takes any free one."""

    daemon_threads = True

    def __init__(self, site: LiveSite, port: int) -> None:
        super().__init__((HOST, port), _Handler)
        self.site = site

    @property
    def url(self) -> str:
        """Where to look."""
        return f"http://{HOST}:{self.server_address[1]}/"

    def start(self) -> None:
        """Serve in a thread of its own."""
        threading.Thread(target=self.serve_forever, daemon=True).start()

    def handle_error(self, request: object, client_address: object) -> None:
        """A reader who leaves early is no news."""
