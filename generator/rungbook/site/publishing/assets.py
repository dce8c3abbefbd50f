"""Files of the whole site that are not pages: shared data, colours, the sitemap."""

from __future__ import annotations

import importlib.resources
from collections.abc import Iterable, Iterator
from pathlib import Path
from xml.sax.saxutils import escape

from rungbook.site.data.browser_data import shared_files
from rungbook.site.pages.catalogue import Catalogue
from rungbook.site.pages.colour import stylesheet
from rungbook.site.pages.page import Page

THEME_FOLDERS = ("styles", "scripts")


def library_files(catalogue: Catalogue) -> Iterator[tuple[str, bytes]]:
    """What is about this whole library but pictures, with any theme: path in the site and bytes."""
    yield from files_without_exercises(catalogue)
    yield from catalogue.downloads.items()


def files_without_exercises(catalogue: Catalogue) -> Iterator[tuple[str, bytes]]:
    """Those in which no finished exercise is put together: all but the downloads."""
    yield "styles/library.css", stylesheet(catalogue.library.settings.site.colour).encode()
    yield from shared_files(catalogue)


def theme_files() -> Iterator[tuple[str, Path]]:
    """Styles and scripts of our theme, for sites that use another one."""
    theme = Path(str(importlib.resources.files("rungbook_theme")))
    for folder in THEME_FOLDERS:
        for path in sorted((theme / folder).rglob("*")):
            if path.suffix in (".css", ".js", ".svg"):
                yield path.relative_to(theme).as_posix(), path


def sitemap(pages: Iterable[Page], url: str) -> str:
    """The addresses of all pages, as sitemaps.org asks: absolute, with the last review."""
    lines = ['<?xml version="1.0" encoding="UTF-8"?>']
    lines.append('<urlset xmlns="http://www.sitemaps.org/schemas/sitemap/0.9">')
    for page in pages:
        if page.kind == "missing":
            continue
        changed = f"<lastmod>{page.updated.isoformat()}</lastmod>" if page.updated else ""
        address = escape(f"{url.rstrip('/')}/{page.path}")
        lines.append(f"<url><loc>{address}</loc>{changed}</url>")
    return "\n".join([*lines, "</urlset>", ""])
