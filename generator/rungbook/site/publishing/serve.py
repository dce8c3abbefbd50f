"""A web server for one reader on this machine: the live site and news of its changes."""

from __future__ import annotations

import json
import mimetypes
import threading
from http import HTTPStatus
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from urllib.parse import parse_qs, unquote, urlsplit

from rungbook.site.publishing.live import Built, LiveSite

HOST = "127.0.0.1"
NEWS = "-preview/news.js"
SCRIPT = '<script src="/scripts/preview.js" defer></script></body>'
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


class _Handler(BaseHTTPRequestHandler):
    protocol_version = "HTTP/1.1"
    server: PreviewServer

    def do_GET(self) -> None:
        """Answer one request; only names of this machine are answered at all."""
        host = (self.headers.get("Host") or "").rsplit(":", 1)[0]
        if host not in (HOST, "localhost", "[::1]"):
            self._send(HTTPStatus.FORBIDDEN, b"Only this machine may look.", "text/plain")
            return
        address = urlsplit(self.path)
        path = unquote(address.path).lstrip("/")
        if path == NEWS:
            since = parse_qs(address.query).get("since", ["0"])[0]
            built = self.server.site.wait_for_news(int(since) if since.isdigit() else 0, WAIT_S)
            self._send(HTTPStatus.OK, news(built).encode(), "text/javascript")
            return
        content, status = self.server.site.get(path), HTTPStatus.OK
        if content is None:
            path, status = "404.html", HTTPStatus.NOT_FOUND
            content = self.server.site.get(path) or b"Not found"
        kind = mimetypes.guess_type(path or "index.html")[0] or "application/octet-stream"
        if kind == "text/html":
            content = content.replace(b"</body>", SCRIPT.encode())
        self._send(status, content, kind)

    def _send(self, status: HTTPStatus, content: bytes, kind: str) -> None:
        self.send_response(status)
        self.send_header("Content-Type", f"{kind}; charset=utf-8")
        self.send_header("Content-Length", str(len(content)))
        self.send_header("Cache-Control", "no-store")
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
