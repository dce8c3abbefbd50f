"""The page that builds a patient's sheet in the browser."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from rungbook.site.pages.catalogue import Catalogue
from rungbook.site.pages.page import Page
from rungbook.site.sheet.messages import languages, messages
from rungbook.site.sheet.sheet_document import WEEKS


@dataclass(frozen=True, slots=True)
class Choice:
    """An option of a select; `selected` by default."""

    value: str
    title: str
    selected: bool = False


@dataclass(frozen=True, slots=True)
class SheetPage:
    """The controls; the sheet itself is made by a script."""

    languages: tuple[Choice, ...]
    weeks: tuple[Choice, ...]
    command: str


def pages(catalogue: Catalogue) -> Iterator[Page]:
    """The sheet builder."""
    home = catalogue.library.settings.language.split("-")[0]
    first = next(iter(catalogue.library.exercises), "ID")
    yield Page(
        path="sheet.html",
        kind="sheet",
        title="Sheet to take home",
        description="Builds a patient's sheet in the browser.",
        updated=catalogue.newest_review,
        model=SheetPage(
            languages=tuple(
                Choice(code, messages(code)("language.name"), code == home) for code in languages()
            ),
            weeks=tuple(Choice(str(weeks), str(weeks), weeks == 2) for weeks in WEEKS),
            command=f"rungbook sheet {first}:left --output sheet.html",
        ),
    )
