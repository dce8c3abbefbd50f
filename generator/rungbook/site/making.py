"""All files of the site, made by as many processes as there are processors.

The exercises are the bulk of the work and do not depend on each other: each process takes
some, draws their maps with an engine of its own, and hands back finished files. Where
processes cannot be forked, or the library is small, everything is made here; the files are
the same.
"""

from __future__ import annotations

import itertools
import multiprocessing
import os
import sys
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass

from rungbook.site.assets import library_files
from rungbook.site.browser_data import exercise_files
from rungbook.site.catalogue import Catalogue
from rungbook.site.contents import all_pages
from rungbook.site.page import Page

WORTH_A_PROCESS = 60  # exercises; for fewer, a process costs more than it brings
Frame = Callable[[Page, Catalogue], str]
Files = list[tuple[str, bytes]]


@dataclass(frozen=True, slots=True)
class MadePage:
    """A page with its finished HTML."""

    page: Page
    html: str


@dataclass(frozen=True, slots=True)
class MadeSite:
    """Every page and every other file (path, bytes) of a site, in a stable order."""

    pages: tuple[MadePage, ...]
    files: tuple[tuple[str, bytes], ...]


@dataclass(frozen=True)
class _Work:
    catalogue: Catalogue
    frame: Frame
    pages: Sequence[Page]  # the exercises' pages, in the library's order


@dataclass(frozen=True)
class _Part:
    pages: tuple[str, ...]
    files: Files
    warning: str


_work: _Work | None = None  # what a forked process inherits


def _made_part(work: _Work, first: int, last: int) -> _Part:
    """The pages and data files of the exercises from number `first` to before `last`."""
    catalogue = work.catalogue
    exercises = tuple(catalogue.library.exercises.values())[first:last]
    catalogue.maps.prepare(exercises=[exercise.id for exercise in exercises])
    pages = tuple(work.frame(page, catalogue) for page in work.pages[first:last])
    files = [file for exercise in exercises for file in exercise_files(catalogue, exercise)]
    return _Part(pages, files, catalogue.maps.warning)


def _in_child(first: int, last: int) -> _Part:
    assert _work is not None
    return _made_part(_work, first, last)


def processes(exercises: int) -> int:
    """How many processes are worth it."""
    if not sys.platform.startswith("linux"):
        return 1
    return max(1, min(len(os.sched_getaffinity(0)), exercises // WORTH_A_PROCESS))


def _made_exercises(work: _Work, meanwhile: Callable[[], None], workers: int) -> Iterator[_Part]:
    global _work
    total = len(work.pages)
    if workers == 1:
        meanwhile()
        yield _made_part(work, 0, total)
        return
    edges = [total * part // (2 * workers) for part in range(2 * workers + 1)]
    _work = work
    try:
        with ProcessPoolExecutor(workers, multiprocessing.get_context("fork")) as pool:
            coming = [pool.submit(_in_child, *ends) for ends in itertools.pairwise(edges)]
            meanwhile()
            yield from (part.result() for part in coming)
    finally:
        _work = None


def made_site(catalogue: Catalogue, frame: Frame, workers: int | None = None) -> MadeSite:
    """The whole site, each page by `frame`; `workers` processes, or as many as are worth it."""
    pages = tuple(all_pages(catalogue))
    bulk = [page for page in pages if page.kind == "exercise"]
    html: dict[str, str] = {}
    files: Files = []

    def make_the_others() -> None:
        catalogue.maps.prepare(ladders=catalogue.measured.ladders)
        for page in pages:
            if page.kind != "exercise":
                html[page.path] = frame(page, catalogue)
        files.extend(library_files(catalogue))

    parts = _made_exercises(
        _Work(catalogue, frame, bulk), make_the_others, workers or processes(len(bulk))
    )
    number = 0
    for part in parts:
        for made in part.pages:
            html[bulk[number].path] = made
            number += 1
        files.extend(part.files)
        catalogue.maps.warning = catalogue.maps.warning or part.warning
    return MadeSite(tuple(MadePage(page, html[page.path]) for page in pages), tuple(files))
