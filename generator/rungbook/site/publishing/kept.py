"""What keeps a published site on a reader's device: a manifest, and a service worker that knows
every file of the site by a digest, so that it takes a new version whole and fetches what changed.
"""

from __future__ import annotations

import hashlib
import importlib.resources
import json
import pathlib

from rungbook.model.library import Settings
from rungbook.site.publishing.folder import paths_below

MANIFEST, WORKER = "library.webmanifest", "worker.js"
PAPER, ACCENT = "#fbfaf6", "#0b5563"  # of styles/base.css
STREAMED = (".mp4", ".webm")  # browsers ask for parts of these, which a kept file cannot answer
LEFT_OUT = frozenset({WORKER, "sitemap.xml"})
MOST_BYTES = 300_000_000  # of a site that is kept; a larger one is read over the network


def write_worker(root: pathlib.Path) -> None:
    """Add the service worker to the finished site in `root`."""
    files = {
        path: hashlib.sha256((root / path).read_bytes()).hexdigest()[:16]
        for path in paths_below(root)
        if path not in LEFT_OUT and not path.endswith(STREAMED)
    }
    if sum((root / path).stat().st_size for path in files) > MOST_BYTES:
        files = {}
    (root / WORKER).write_bytes(worker(files))


def manifest(settings: Settings) -> str:
    """The web app manifest (W3C): how the library appears among what is on a device."""
    told = {
        "name": settings.name,
        "short_name": settings.name.split(",")[0][:30],
        "lang": settings.language,
        "start_url": "index.html",
        "scope": "./",
        "display": "minimal-ui",
        "background_color": PAPER,
        "theme_color": settings.site.colour or ACCENT,
        "icons": [{"src": "styles/icon.svg", "sizes": "any", "type": "image/svg+xml"}],
    }
    return json.dumps(told, ensure_ascii=False, indent=1) + "\n"


def worker(files: dict[str, str]) -> bytes:
    """The service worker for `files`, by path, each with a digest of what is in it."""
    theme = importlib.resources.files("rungbook_theme") / "documents"
    program = (theme / "worker.js").read_text("utf-8")
    listed = json.dumps(sorted(files.items()), separators=(",", ":"))
    version = hashlib.sha256((listed + program).encode()).hexdigest()[:16]
    head = f'"use strict";\nconst VERSION = "{version}";\nconst FILES = new Map({listed});\n'
    return (head + program).encode()
