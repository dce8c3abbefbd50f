"""Styles and scripts of our theme, and the sitemap: files that no library has a word in."""

from __future__ import annotations

import importlib.resources
from collections.abc import Iterable, Iterator
from pathlib import Path
from xml.sax.saxutils import escape

from rungbook.site.pages.page import Page

SITEMAP = "sitemap.xml"
FOLDERS = ("styles", "scripts")


def theme_files() -> Iterator[tuple[str, Path]]:
    """Styles and scripts: path in the site, and file."""
    theme = Path(str(importlib.resources.files("rungbook_theme")))
    for folder in FOLDERS:
        for path in sorted((theme / folder).rglob("*")):
            if path.suffix in (".css", ".js", ".svg"):
                yield path.relative_to(theme).as_posix(), path


def sitemap(pages: Iterable[Page], url: str) -> str:
    """The addresses of all pages, as sitemaps.org asks: absolute, with the last review."""
    lines = ['<?xml version="1.0" encoding="UTF-8"?>']
    lines.append('<urlset xmlns="http://www.sitemaps.org/schemas/sitemap/0.9">')
    for page in pages:
        if page.kind == "missing" or page.leads_to:
            continue
        changed = f"<lastmod>{page.updated.isoformat()}</lastmod>" if page.updated else ""
        address = escape(f"{url.rstrip('/')}/{page.path}")
        lines.append(f"<url><loc>{address}</loc>{changed}</url>")
    return "\n".join([*lines, "</urlset>", ""])
