"""All files of the site, made by as many processes as there are processors.

The exercises and ladders are the bulk of the work and do not depend on each other: each process
takes some, draws their maps with an engine of its own, and delivers finished files. What was
made by an earlier build of the same parts of the library is taken from the store. Where
processes cannot be forked, or there is little to make, everything is made here; the files are
the same.
"""

from __future__ import annotations

import itertools
import multiprocessing
import os
import sys
from collections.abc import Callable, Iterator, Mapping, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass

from rungbook.pipeline.store import Store
from rungbook.site import dependence
from rungbook.site.assets import files_without_exercises
from rungbook.site.catalogue import Catalogue
from rungbook.site.contents import all_pages
from rungbook.site.made_piece import Deliver, Piece, key_of, made_piece
from rungbook.site.page import Page

IN_PIECES = ("exercise", "ladder")  # kinds of pages
WORTH_A_PROCESS = 60  # exercises; for fewer, a process costs more than it brings
PARTS = 4  # for each process, so that none is done long before the others
Frame = Callable[[Page, Catalogue], str]


@dataclass(frozen=True, slots=True)
class MadePage:
    """A page with its finished HTML, "" where it was delivered."""

    page: Page
    html: str


@dataclass(frozen=True, slots=True)
class MadeSite:
    """Every page and every other file (path, bytes) of a site, in a stable order.

    The bytes are empty where they were delivered.
    """

    pages: tuple[MadePage, ...]
    files: tuple[tuple[str, bytes], ...]


@dataclass(frozen=True)
class _Work:
    catalogue: Catalogue
    frame: Frame
    pages: Sequence[Page]  # those to make a piece of
    keep: bool
    deliver: Deliver | None


@dataclass(frozen=True)
class _Part:
    pieces: tuple[Piece, ...]
    packed: tuple[bytes, ...]  # the same to be kept, if they are
    warning: str


_work: _Work | None = None  # what a forked process inherits


def _made_part(work: _Work, first: int, last: int) -> _Part:
    """The pieces of the pages from number `first` to before `last`."""
    catalogue, pages = work.catalogue, work.pages[first:last]
    catalogue.maps.prepare(
        exercises=[key_of(page) for page in pages if page.kind == "exercise"],
        ladders=[key_of(page) for page in pages if page.kind == "ladder"],
    )
    pieces, packed = [], []
    for page in pages:
        piece = made_piece(page, work.frame(page, catalogue), catalogue)
        if work.keep:
            packed.append(piece.packed())
        pieces.append(piece.delivered(page.path, work.deliver) if work.deliver else piece)
    return _Part(tuple(pieces), tuple(packed), catalogue.maps.warning)


def _in_child(first: int, last: int) -> _Part:
    assert _work is not None
    return _made_part(_work, first, last)


def processes(exercises: int) -> int:
    """How many processes are worth it."""
    if not sys.platform.startswith("linux"):
        return 1
    return max(1, min(len(os.sched_getaffinity(0)), exercises // WORTH_A_PROCESS))


def _made_parts(work: _Work, meanwhile: Callable[[], None], workers: int) -> Iterator[_Part]:
    global _work
    total = len(work.pages)
    if workers == 1:
        meanwhile()
        yield _made_part(work, 0, total)
        return
    parts = PARTS * workers
    edges = [total * part // parts for part in range(parts + 1)]
    _work = work
    try:
        with ProcessPoolExecutor(workers, multiprocessing.get_context("fork")) as pool:
            coming = [pool.submit(_in_child, *ends) for ends in itertools.pairwise(edges)]
            meanwhile()
            yield from (part.result() for part in coming)
    finally:
        _work = None


def _pieces(
    catalogue: Catalogue,
    frame: Frame,
    pages: Sequence[Page],
    meanwhile: Callable[[], None],
    workers: int | None,
    deliver: Deliver | None,
) -> Mapping[str, Piece]:
    """The piece around every page, by the page's path: kept, or made."""
    store = Store(catalogue.library.root)
    keys = dependence.keys(catalogue, pages, frame.__qualname__) if store.keeps else {}
    kept = store.find(keys.values())
    found = {}
    for path, key in keys.items():
        if key in kept:
            piece = Piece.unpacked(kept[key])
            found[path] = piece.delivered(path, deliver) if deliver else piece
    missing = [page for page in pages if page.path not in found]
    work = _Work(catalogue, frame, missing, store.keeps, deliver)
    coming = iter(missing)
    fresh: dict[str, bytes] = {}
    for part in _made_parts(work, meanwhile, workers or processes(len(missing))):
        catalogue.maps.warning = catalogue.maps.warning or part.warning
        for page, piece in zip(
            itertools.islice(coming, len(part.pieces)), part.pieces, strict=True
        ):
            found[page.path] = piece
        for page, packed in zip(missing[len(fresh) :], part.packed, strict=False):
            fresh[keys[page.path]] = packed
    if fresh and not catalogue.maps.warning:
        store.keep(fresh, keys.values())
    return found


class _Small:
    """What is made here while other processes make the pieces."""

    def __init__(self, catalogue: Catalogue, frame: Frame, deliver: Deliver | None) -> None:
        self._catalogue, self._frame, self._deliver = catalogue, frame, deliver
        self.html: dict[str, str] = {}
        self.files: list[tuple[str, bytes]] = []

    def page(self, page: Page) -> None:
        """Make a page."""
        html = self._frame(page, self._catalogue)
        if self._deliver:
            self._deliver(page.path, html.encode())
        self.html[page.path] = "" if self._deliver else html

    def file(self, path: str, content: bytes) -> None:
        """Take a file."""
        if self._deliver:
            self._deliver(path, content)
        self.files.append((path, b"" if self._deliver else content))


def made_site(
    catalogue: Catalogue,
    frame: Frame,
    workers: int | None = None,
    deliver: Deliver | None = None,
) -> MadeSite:
    """The whole site, each page by `frame`; `workers` processes, or as many as are worth it.

    With `deliver`, each file goes there as soon as it is made, from whatever process made it, in
    place of being handed back.
    """
    pages = tuple(all_pages(catalogue))
    small = _Small(catalogue, frame, deliver)

    def make_small_ones() -> None:
        for page in pages:
            if page.kind not in (*IN_PIECES, "downloads"):
                small.page(page)
        for path, content in files_without_exercises(catalogue):
            small.file(path, content)
        catalogue.drawn_downloads  # noqa: B018 - made now, while there is time

    in_pieces = [page for page in pages if page.kind in IN_PIECES]
    pieces = _pieces(catalogue, frame, in_pieces, make_small_ones, workers, deliver)
    for page in in_pieces:
        if page.kind == "exercise":
            catalogue.lines[key_of(page)] = dict(pieces[page.path].lines)
    for page in pages:
        if page.kind == "downloads":
            small.page(page)
    for path, content in catalogue.downloads.items():
        small.file(path, content)
    html = small.html | {page.path: pieces[page.path].html for page in in_pieces}
    of_pieces = (file for page in in_pieces for file in pieces[page.path].files)
    return MadeSite(
        tuple(MadePage(page, html[page.path]) for page in pages), (*small.files, *of_pieces)
    )
