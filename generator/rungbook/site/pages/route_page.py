"""The page that finds the way with the smallest steps; its script does the finding."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from rungbook.ladder.flare_up import flare_up_rules
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
    """What a route may avoid, and how long a flare-up may have lasted."""

    equipment: tuple[Choice, ...]
    positions: tuple[Choice, ...]
    cautions: tuple[Choice, ...]
    flare_ups: tuple[str, ...]  # how long each rule's flare-up lasts, in the library's words
    command: str


def pages(catalogue: Catalogue) -> Iterator[Page]:
    """The route page."""
    yield Page(
        path="route.html",
        kind="route",
        title="Route",
        description="From one exercise to another by the way whose largest step is smallest.",
        updated=catalogue.newest_review,
        model=RoutePage(
            equipment=equipment_choices(catalogue),
            positions=position_choices(catalogue),
            cautions=caution_choices(catalogue),
            flare_ups=tuple(rule.lasts for rule in flare_up_rules(catalogue.measured)),
            command="rungbook route FROM TO",
        ),
    )
