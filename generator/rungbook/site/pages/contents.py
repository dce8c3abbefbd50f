"""Every page of the site, from the page models; a new kind of page is added here."""

from __future__ import annotations

from collections.abc import Iterator

from rungbook.site.pages import (
    area,
    downloads,
    exercise,
    finder_page,
    format_words,
    home,
    ladder,
    method,
    missing,
    moved,
    route_page,
    sheet_page,
    state,
    vocabulary,
)
from rungbook.site.pages.catalogue import Catalogue
from rungbook.site.pages.page import Page

PAGE_MODELS = (
    home,
    area,
    ladder,
    exercise,
    finder_page,
    route_page,
    sheet_page,
    vocabulary,
    method,
    state,
    format_words,
    downloads,
    moved,
    missing,
)


def all_pages(catalogue: Catalogue) -> Iterator[Page]:
    """All pages, in a stable order."""
    for module in PAGE_MODELS:
        yield from module.pages(catalogue)
