"""A folder behind a plain web server on this machine, for what differs from the disk."""

from __future__ import annotations

import contextlib
import functools
import http
import http.server
import pathlib
import threading
from collections.abc import Iterator


class _Quiet(http.server.SimpleHTTPRequestHandler):
    def send_error(self, code: int, message: str | None = None, explain: str | None = None) -> None:
        """As hosts of static sites do: what is missing is answered with the site's own page."""
        page = pathlib.Path(self.directory, "404.html")
        if code != http.HTTPStatus.NOT_FOUND or not page.is_file():
            super().send_error(code, message, explain)
            return
        content = page.read_bytes()
        self.send_response(code)
        self.send_header("Content-Type", "text/html; charset=utf-8")
        self.send_header("Content-Length", str(len(content)))
        self.end_headers()
        self.wfile.write(content)

    def log_message(self, format: str, *args: object) -> None:
        """Nothing: the tests' own output is enough."""


@contextlib.contextmanager
def served(folder: pathlib.Path, host: str = "127.0.0.1", port: int = 0) -> Iterator[str]:
    """The address of the folder, without a slash at its end, while the server runs.

    `port` 0 takes any free one.
    """
    handler = functools.partial(_Quiet, directory=str(folder))
    server = http.server.ThreadingHTTPServer((host, port), handler)
    thread = threading.Thread(target=server.serve_forever, daemon=True)
    thread.start()
    try:
        yield f"http://{host}:{server.server_port}"
    finally:
        server.shutdown()
        server.server_close()
        thread.join()
