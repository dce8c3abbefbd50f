"""The page that offers the library's data as files."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import partial
from itertools import count

from markupsafe import Markup

from rungbook.exporting.format import Format
from rungbook.exporting.formats import FORMATS, path_of, rendered, shape_of
from rungbook.site.pages.catalogue import Catalogue
from rungbook.site.pages.page import Later, Page
from rungbook.site.pages.prose import prose
from rungbook.site.pages.words import number

PATH = "downloads.html"


@dataclass(frozen=True, slots=True)
class Download:
    """One file: where it is, how large, what it is, and what it holds as HTML."""

    name: str
    title: str
    href: str
    file: str
    size: str
    about: str
    shape: Markup


@dataclass(frozen=True, slots=True)
class Downloads:
    """The page's model."""

    files: tuple[Download, ...]


def pages(catalogue: Catalogue) -> Iterator[Page]:
    """The page of downloads."""
    yield Page(
        path=PATH,
        kind="downloads",
        title="The library as data",
        description="The exercises, ladders and computed loads as files for other programs.",
        updated=catalogue.newest_review,
        model=Later(partial(_model, catalogue)),
    )


def _model(catalogue: Catalogue) -> Downloads:
    return model({path_of(one): rendered(one, catalogue.measured) for one in FORMATS})


def model(files: Mapping[str, bytes]) -> Downloads:
    """The page about these files, by their path in the site."""
    return Downloads(tuple(_download(one, files) for one in FORMATS))


def _download(one: Format, files: Mapping[str, bytes]) -> Download:
    href = path_of(one)
    return Download(
        name=one.name,
        title=one.title,
        href=href,
        file=one.file,
        size=_size(len(files[href])),
        about=one.about,
        shape=_shape(one),
    )


def _shape(one: Format) -> Markup:
    """The description of the format below its title; every table has a name of its own."""
    body = shape_of(one).partition("\n")[2]
    parts = str(prose(body, "", {})).split('aria-label="Table"')
    numbers = count(1)
    named = parts[0] + "".join(
        f'aria-label="{Markup.escape(one.title)}, table {next(numbers)}"{part}'
        for part in parts[1:]
    )
    return Markup(named)


def _size(length: int) -> str:
    if length < 1_000_000:
        return f"{max(1, round(length / 1000))} kB"
    return f"{number(length / 1e6, 1)} MB"
