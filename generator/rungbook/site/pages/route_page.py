"""The page that finds the way with the smallest steps; its script does the finding."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from rungbook.site.pages.catalogue import Catalogue
from rungbook.site.pages.finder_page import (
    Choice,
    caution_choices,
    equipment_choices,
    position_choices,
)
from rungbook.site.pages.page import Page


@dataclass(frozen=True, slots=True)
class RoutePage:
    """What a route may avoid."""

    equipment: tuple[Choice, ...]
    positions: tuple[Choice, ...]
    cautions: tuple[Choice, ...]
    command: str


def pages(catalogue: Catalogue) -> Iterator[Page]:
    """The route page."""
    yield Page(
        path="route.html",
        kind="route",
        title="Route",
        description="The way from one exercise to another whose largest step is smallest.",
        updated=catalogue.newest_review,
        model=RoutePage(
            equipment=equipment_choices(catalogue),
            positions=position_choices(catalogue),
            cautions=caution_choices(catalogue),
            command="rungbook route FROM TO",
        ),
    )
