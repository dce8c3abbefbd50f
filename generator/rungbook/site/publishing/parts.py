"""A site as parts: which files each part makes, of what, and how.

Three take them: the writer of a build, which skips those that nothing has changed of, the preview,
which makes what a reader asks for, and the plugin, which hands them to a host's own MkDocs.

A part is made from its arguments and from what it looks up in the catalogue meanwhile, which is
noted (`rungbook.model.watched`): so nobody need say what a page depends on. It must look at
nothing else: no clock, no file, nothing that another part left behind.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from functools import partial
from typing import Any

from rungbook.exporting.formats import FORMATS, lines_of, path_of, rendered
from rungbook.exporting.json_text import Line, json_bytes
from rungbook.ladder.measured import MeasuredLadder
from rungbook.model.exercise import Exercise
from rungbook.model.watched import Watched
from rungbook.site.data.browser_data import (
    exercise_files,
    exercise_paths,
    script,
    script_of,
    shared_data,
)
from rungbook.site.data.relief import Relief
from rungbook.site.pages import downloads
from rungbook.site.pages.catalogue import Catalogue
from rungbook.site.pages.colour import stylesheet
from rungbook.site.pages.contents import all_pages
from rungbook.site.pages.page import Later, Page
from rungbook.site.pages.pictures import picture_names, picture_path, shown
from rungbook.site.publishing.inside import unsafe
from rungbook.site.publishing.kept import MANIFEST, manifest
from rungbook.site.publishing.pictures import picture_files
from rungbook.site.publishing.theme import SITEMAP, sitemap, theme_files

File = tuple[str, bytes]  # path in the site, with slashes, and bytes
Frame = Callable[[Page, Catalogue], str]
Lines = Mapping[str, Mapping[str, Line]]  # by exercise and format
DRAWN = ("exercise", "ladder")  # kinds of pages with drawings
STYLES = "styles/library.css"
NO_RELIEF = b'{"rows":[],"value":{}}'


@dataclass(frozen=True, slots=True)
class Part:
    """Files that are made together: `make` gives those of `paths` that there are.

    `about` is the kind and id of what it is about, None for the whole library; drawings of
    exercises and ladders are cheaper drawn with others.
    """

    paths: tuple[str, ...]
    make: partial[Iterator[File]]
    about: tuple[str, str] | None = None

    @property
    def name(self) -> str:
        """Its name among the parts."""
        return self.paths[0]


def told(value: Any, catalogue: Catalogue) -> object:
    """What a part is made from beside its look-ups, as values that `repr` tells whole."""
    match value:
        case Part():
            return value.paths, told(value.make, catalogue)
        case Catalogue() | Relief() | Watched():  # looked up in, or told by a key beside it
            return type(value).__name__
        case Exercise():
            pictures = shown(catalogue.analysed.measured.library.folders, value)
            return catalogue.looks.digest("exercises", value.id), list(pictures)
        case MeasuredLadder():
            return catalogue.looks.digest("ladders", value.ladder.id)
        case partial():
            return told((value.func, *value.args), catalogue)
        case Later():
            return told(value.make, catalogue)
        case Page():
            about = value.path, value.kind, value.title, value.description, value.updated
            return about, told(value.model, catalogue)
        case tuple():
            return [told(one, catalogue) for one in value]
    return value.__qualname__ if callable(value) else value


def site_parts(
    catalogue: Catalogue, frame: Frame, relief: Relief | None = None, lines: Lines | None = None
) -> tuple[Part, ...]:
    """All parts of the site, each page by `frame`; paths that no site can have are left out.

    Without `relief` no computed answers are offered. `lines` are those of the exercises in the
    formats of exchange, where somebody keeps them.
    """
    parts = _parts(catalogue, frame, relief, lines)
    return tuple(part for part in parts if not unsafe(part.paths))


def _parts(
    catalogue: Catalogue, frame: Frame, relief: Relief | None, lines: Lines | None
) -> Iterator[Part]:
    library = catalogue.analysed.measured.library
    for page in all_pages(catalogue):
        if page.path == downloads.PATH:
            paths = (page.path, *map(path_of, FORMATS))
            colour = library.settings.site.colour or ""  # library.json tells it; no page does
            yield Part(paths, partial(_downloads, catalogue, frame, page, lines, colour))
        else:
            id = page.path.rpartition("/")[2].removesuffix(".html")
            about = (page.kind, id) if page.kind in DRAWN else None
            yield Part((page.path,), partial(_page, catalogue, frame, page), about)
    for id, exercise in library.exercises.items():
        files = partial(exercise_files, catalogue, exercise)
        yield Part(exercise_paths(id), files, ("exercise", id))
        key = relief.key(id) if relief else None
        yield Part((f"data/relief/{id}.js",), partial(_relief, relief, id, key), ("relief", id))
    for name, make in shared_data(catalogue):
        yield Part((f"data/{name}.js",), partial(_data, name, make))
    yield Part((STYLES,), partial(_text, STYLES, stylesheet(library.settings.site.colour)))
    for name in picture_names(library):
        path = picture_path(library.folders, name)
        seen = path.stat() if path else None
        stamp = (seen.st_size, seen.st_mtime_ns) if seen else ()
        make = partial(_picture, catalogue, name, stamp)
        yield Part((f"pictures/{name}",), make, ("picture", name))


def own_parts(catalogue: Catalogue) -> Iterator[Part]:
    """What a site in our own theme has beside: styles, scripts, its manifest and sitemap."""
    for path, _ in theme_files():
        yield Part((path,), partial(_theme, path), ("theme", path))
    settings = catalogue.analysed.measured.library.settings
    yield Part((MANIFEST,), partial(_text, MANIFEST, manifest(settings)))
    url = settings.site.url
    if url:
        yield Part((SITEMAP,), partial(_text, SITEMAP, sitemap(all_pages(catalogue), url)))


def line_parts(catalogue: Catalogue) -> dict[str, Part]:
    """By exercise, what makes its lines in the formats of exchange, as one JSON text."""
    exercises = catalogue.analysed.measured.library.exercises
    return {
        id: Part((f"lines of {id}",), partial(_lines, catalogue, exercise), ("lines", id))
        for id, exercise in exercises.items()
    }


def _page(catalogue: Catalogue, frame: Frame, page: Page) -> Iterator[File]:
    yield page.path, frame(page, catalogue).encode()


def _downloads(
    catalogue: Catalogue, frame: Frame, page: Page, lines: Lines | None, colour: str
) -> Iterator[File]:
    """`colour` is what the files tell beyond what is watched: it is here to be part of the key."""
    files = {path_of(one): rendered(one, catalogue.measured, lines) for one in FORMATS}
    shown = replace(page, model=downloads.model(files))
    yield from [(page.path, frame(shown, catalogue).encode()), *files.items()]


def _lines(catalogue: Catalogue, exercise: Exercise) -> Iterator[File]:
    yield "", json_bytes(lines_of(catalogue.measured, exercise))


def _relief(relief: Relief | None, id: str, key: str | None) -> Iterator[File]:
    yield script_of(f"relief/{id}", relief.of(id) if relief and key else NO_RELIEF)


def _data(name: str, make: partial[Any]) -> Iterator[File]:
    yield script(name, make())


def _text(path: str, text: str) -> Iterator[File]:
    yield path, text.encode()


def _theme(path: str) -> Iterator[File]:
    yield path, dict(theme_files())[path].read_bytes()


def _picture(catalogue: Catalogue, name: str, stamp: tuple[int, ...]) -> Iterator[File]:
    return picture_files(catalogue.analysed.measured.library, [name])
