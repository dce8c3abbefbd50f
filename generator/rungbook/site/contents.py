"""Every page of the site, from the page models; a new kind of page is added here."""

from __future__ import annotations

from collections.abc import Iterator

from rungbook.site import (
    area,
    exercise,
    finder_page,
    home,
    ladder,
    method,
    missing,
    route_page,
    sheet_page,
    state,
    vocabulary,
)
from rungbook.site.catalogue import Catalogue
from rungbook.site.page import Page

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
    missing,
)

# What the pages of a kind load, in this order, relative to the theme's folder.
EVERYWHERE: tuple[str, ...] = ("elements", "data", "state", "search", "sheet_state")
_LOADS = ("patient_dose", "steps", "scaling", "patient", "prescription")
SCRIPTS: dict[str, tuple[str, ...]] = {
    "exercise": (*_LOADS, "prescribe"),
    "ladder": _LOADS,
    "finder": (*_LOADS, "picker", "answers", "easier", "finder"),
    "route": (*_LOADS, "picker", "answers", "routes", "route"),
    "sheet": (*_LOADS, "picker", "sheet_print", "sheet"),
}


def all_pages(catalogue: Catalogue) -> Iterator[Page]:
    """All pages, in a stable order."""
    for module in PAGE_MODELS:
        yield from module.pages(catalogue)


def scripts_of(kind: str) -> tuple[str, ...]:
    """The scripts of a kind of page."""
    return tuple(f"scripts/{name}.js" for name in (*EVERYWHERE, *SCRIPTS.get(kind, ())))
