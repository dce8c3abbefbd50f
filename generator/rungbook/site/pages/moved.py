"""Pages at addresses that exercises and ladders had before they were renamed: they lead on."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from rungbook.site.pages.catalogue import Catalogue
from rungbook.site.pages.page import Link, Page


@dataclass(frozen=True, slots=True)
class Moved:
    """Where it is now."""

    link: Link


def pages(catalogue: Catalogue) -> Iterator[Page]:
    """A page for each id that somebody had, and that nobody has now."""
    library = catalogue.library
    made: set[str] = set()
    for folder, records in (("exercises", library.exercises), ("ladders", library.ladders)):
        for id, record in records.items():
            for old in record.formerly:
                path, href = f"{folder}/{old}.html", f"{folder}/{id}.html"
                if old in records or path in made:
                    continue
                made.add(path)
                yield Page(
                    path=path,
                    kind="moved",
                    title=record.title,
                    description=f"This page is now at {href}.",
                    model=Moved(Link(href, record.title)),
                    leads_to=href,
                )
