"""How the numbers come about and what they are not: for a physiotherapist to follow."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from rungbook.site.catalogue import Catalogue
from rungbook.site.page import Page
from rungbook.site.words import NARROW, number


@dataclass(frozen=True, slots=True)
class Method:
    """The library's own settings, as far as the page quotes them."""

    mass: str
    stature: str
    body: str
    limits: tuple[tuple[str, str], ...]  # the library's own limits, where it sets any


def pages(catalogue: Catalogue) -> Iterator[Page]:
    """The method page."""
    settings = catalogue.library.settings
    yield Page(
        path="method.html",
        kind="method",
        title="Method and limits",
        description="How the loads and steps are computed, and what they do not say.",
        model=Method(
            mass=f"{number(settings.person.mass, 1)}{NARROW}kg",
            stature=f"{number(settings.person.stature, 2)}{NARROW}m",
            body=settings.person.body,
            limits=tuple(
                (axis, limit if isinstance(limit, str) else number(limit, 2))
                for axis, limit in sorted(settings.limits.items())
            ),
        ),
    )
