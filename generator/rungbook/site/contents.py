"""Every page of the site, from the page models; a new kind of page is added here."""

from __future__ import annotations

from collections.abc import Iterator

from rungbook.site import area, exercise, home, ladder, method, missing, state, vocabulary
from rungbook.site.catalogue import Catalogue
from rungbook.site.page import Page

PAGE_MODELS = (home, area, ladder, exercise, vocabulary, method, state, missing)

# What the pages of a kind load, in this order, relative to the theme's folder.
SCRIPTS: dict[str, tuple[str, ...]] = {}
EVERYWHERE: tuple[str, ...] = ()


def all_pages(catalogue: Catalogue) -> Iterator[Page]:
    """All pages, in a stable order."""
    for module in PAGE_MODELS:
        yield from module.pages(catalogue)


def scripts_of(kind: str) -> tuple[str, ...]:
    """The scripts of a kind of page."""
    return (*EVERYWHERE, *SCRIPTS.get(kind, ()))
