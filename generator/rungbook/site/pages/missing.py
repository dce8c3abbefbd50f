"""The page for an address that leads nowhere."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from rungbook.site.pages.catalogue import Catalogue
from rungbook.site.pages.page import Page


@dataclass(frozen=True, slots=True)
class Missing:
    """Nothing to say but the way back."""

    name: str


def pages(catalogue: Catalogue) -> Iterator[Page]:
    """The page web servers show for a missing one."""
    yield Page(
        path="404.html",
        kind="missing",
        title="Page not found",
        model=Missing(catalogue.library.settings.name),
    )
