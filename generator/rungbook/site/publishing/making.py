"""All files of the site, made by as many processes as there are processors.

The work is cut into tasks that do not depend on each other: some exercises and ladders with the
maps around them, the other pages, the files about the whole library. Each process takes the next
task, writes finished files and hands back what others need of them. What was made by an earlier
build of the same parts of the library is left in place or taken from the store. Where processes
cannot be forked, or there is little to make, everything is made here; the files are the same.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import partial
from typing import Any

from rungbook.exporting.formats import Early
from rungbook.pipeline import store
from rungbook.pipeline.workers import all_of
from rungbook.site.pages.catalogue import Catalogue
from rungbook.site.pages.contents import all_pages
from rungbook.site.pages.page import Page
from rungbook.site.pages.pictures import picture_names
from rungbook.site.publishing import dependence
from rungbook.site.publishing.assets import files_without_exercises
from rungbook.site.publishing.folder import SiteFolder
from rungbook.site.publishing.inside import unsafe
from rungbook.site.publishing.made_piece import Piece, key_of, made_piece
from rungbook.site.publishing.pictures import picture_files
from rungbook.site.publishing.tasks import cut, processes

IN_PIECES = ("exercise", "ladder")  # kinds of pages
Frame = Callable[[Page, Catalogue], str]
Files = list[tuple[str, bytes]]


@dataclass(frozen=True, slots=True)
class MadePage:
    """A page with its finished HTML, "" where it was written."""

    page: Page
    html: str


@dataclass(frozen=True, slots=True)
class MadeSite:
    """Every page and every other file (path, bytes) of a site, in a stable order.

    The bytes are empty where they were written.
    """

    pages: tuple[MadePage, ...]
    files: tuple[tuple[str, bytes], ...]


@dataclass(frozen=True)
class _Work:
    """What the tasks work on. Their answers go from process to process."""

    catalogue: Catalogue
    frame: Frame
    folder: SiteFolder | None
    keep: bool
    small: Sequence[Page]  # those made one by one
    missing: Sequence[Page] = ()  # those to make a piece of
    pictures: Sequence[str] = ()  # files of the clinic's own

    def pieces(self, first: int, last: int) -> _Part:
        """The pieces of the missing pages from number `first` to before `last`."""
        catalogue, pages = self.catalogue, self.missing[first:last]
        exercises = [key_of(page) for page in pages if page.kind == "exercise"]
        ladders = [key_of(page) for page in pages if page.kind == "ladder"]
        catalogue.maps.prepare(exercises=exercises, ladders=ladders)
        catalogue.figures.prepare(exercises)
        part = _Part()
        for page in pages:
            piece = made_piece(page, self.frame(page, catalogue), catalogue)
            if self.keep:
                part.packed.append(piece.packed())
            part.pieces.append(piece.delivered(page.path, self.folder) if self.folder else piece)
        part.warning = catalogue.maps.warning
        catalogue.maps.forget()
        catalogue.figures.forget()
        return part

    def small_pages(self) -> dict[str, str]:
        """The pages that are made one by one, by path."""
        return {page.path: self.page(page) for page in self.small}

    def page(self, page: Page) -> str:
        """A page, "" where it was written."""
        html = self.frame(page, self.catalogue)
        if self.folder:
            self.folder.write(page.path, html.encode())
        return "" if self.folder else html

    def shared_files(self) -> Files:
        """The files about the whole library but the downloads."""
        files = files_without_exercises(self.catalogue)
        return [self.file(*one) for one in files if not unsafe([one[0]])]

    def some_pictures(self, first: int, last: int) -> Files:
        """The clinic's pictures from number `first` to before `last`."""
        names = self.pictures[first:last]
        return [self.file(*one) for one in picture_files(self.catalogue.library, names)]

    def file(self, path: str, content: bytes) -> tuple[str, bytes]:
        """A file, without its content where it was written."""
        if self.folder:
            self.folder.write(path, content)
        return path, b"" if self.folder else content

    def early_downloads(self) -> Early:
        """What of the downloads is not made of the pieces."""
        return self.catalogue.early_downloads


@dataclass
class _Part:
    pieces: list[Piece] = field(default_factory=list)
    packed: list[bytes] = field(default_factory=list)  # the same to be kept, if they are
    warning: str = ""


def _kept(
    pages: Sequence[Page], keys: Mapping[str, str], kept: Mapping[str, bytes], work: _Work
) -> dict[str, Piece]:
    """The pieces that an earlier build made, by their pages' path; their files in the site."""
    found = {}
    for page in pages:
        packed = kept[keys[page.path]]
        files = work.folder.link(keys[page.path], page.path) if work.folder else None
        if files is not None:
            lines = Piece.only_lines(packed).lines
            found[page.path] = Piece("", tuple((path, b"") for path in files[1:]), lines)
        else:
            piece = Piece.unpacked(packed)
            found[page.path] = piece.delivered(page.path, work.folder) if work.folder else piece
    return found


def _keep(
    work: _Work,
    keys: Mapping[str, str],
    packed: Sequence[bytes],
    found: Mapping[str, Piece],
) -> None:
    """Keep the pieces that were missing, and which files of the site belong to each piece."""
    fresh = {keys[page.path]: piece for page, piece in zip(work.missing, packed, strict=True)}
    if fresh:
        store.keep(fresh)
    if work.folder:
        around = {path: [path, *dict(piece.files)] for path, piece in found.items()}
        work.folder.keep(keys, around)


def made_site(
    catalogue: Catalogue,
    frame: Frame,
    workers: int | None = None,
    folder: SiteFolder | None = None,
) -> MadeSite:
    """The whole site, each page by `frame`; `workers` processes, or as many as are worth it.

    With `folder`, each file is written there as soon as it is made, in place of being handed
    back.
    """
    pages = tuple(page for page in all_pages(catalogue) if not unsafe([page.path]))
    in_pieces = [page for page in pages if page.kind in IN_PIECES]
    small = [page for page in pages if page.kind not in (*IN_PIECES, "downloads")]
    keeps = store.place() is not None
    keys = dependence.keys(catalogue, in_pieces, frame.__qualname__) if keeps else {}
    kept = store.find(keys.values())
    known = [page for page in in_pieces if keys.get(page.path) in kept]
    missing = [page for page in in_pieces if keys.get(page.path) not in kept]
    pictures = [name for name in picture_names(catalogue.library) if not unsafe([name])]
    work = _Work(catalogue, frame, folder, keeps, small, missing, pictures)
    workers = workers or processes(len(pages))
    if workers > 1:  # each process asks for these: better measured once, before they part
        list(catalogue.measured.steps.values())
    tasks: list[Callable[[], Any]] = [work.shared_files, work.early_downloads, work.small_pages]
    shares = cut(len(pictures), workers)
    tasks += [partial(work.some_pictures, *ends) for ends in shares]
    tasks += [partial(work.pieces, *ends) for ends in cut(len(missing), workers)]
    found: dict[str, Piece] = {}

    def take_kept() -> None:
        found.update(_kept(known, keys, kept, work))

    shared, early, html, *parts = all_of(lambda task: task(), tasks, workers, take_kept)
    shared += [file for made in parts[: len(shares)] for file in made]
    parts = parts[len(shares) :]
    vars(catalogue)["early_downloads"] = early
    made = [piece for part in parts for piece in part.pieces]
    found.update(zip([page.path for page in missing], made, strict=True))
    for part in parts:
        catalogue.maps.warning = catalogue.maps.warning or part.warning
    if keeps and not catalogue.maps.warning:
        packed = [piece for part in parts for piece in part.packed]
        _keep(work, keys, packed, found)
    for page in in_pieces:
        if page.kind == "exercise":
            catalogue.lines[key_of(page)] = dict(found[page.path].lines)
    html |= {page.path: work.page(page) for page in pages if page.kind == "downloads"}
    html |= {path: piece.html for path, piece in found.items()}
    files = [*shared, *(work.file(*one) for one in catalogue.downloads.items())]
    files += [file for page in in_pieces for file in found[page.path].files]
    return MadeSite(tuple(MadePage(page, html[page.path]) for page in pages), tuple(files))
