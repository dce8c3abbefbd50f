"""A page of the site, before it is rendered."""

from __future__ import annotations

import datetime
from collections.abc import Callable
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Link:
    """A link inside the site: `href` is relative to the site's own top folder."""

    href: str
    title: str


@dataclass(frozen=True, slots=True)
class Later:
    """A page model that is made when its page is rendered."""

    make: Callable[[], object]


@dataclass(frozen=True, slots=True)
class Page:
    """One page: where it goes, what it is called, and the model its template shows.

    `kind` names the template (`pages/<kind>.html`), the scripts and `data-page`; `path` is
    relative to the site's top folder; `title` is plain text; `model` may be a `Later`. A page
    that only leads on to another path says so in `leads_to`.
    """

    path: str
    kind: str
    title: str
    model: object
    description: str = ""
    updated: datetime.date | None = None
    leads_to: str = ""

    def made(self) -> object:
        """The model its template shows."""
        return self.model.make() if isinstance(self.model, Later) else self.model

    @property
    def root(self) -> str:
        """The way from this page to the site's top folder: "" or "../"."""
        return "../" * self.path.count("/")
