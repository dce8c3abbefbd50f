"""A site in memory, for previews: each page is rendered when somebody asks for it."""

from __future__ import annotations

import datetime
import os
import pathlib
import threading
import time
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property

from rungbook.model.finding import Finding, Level
from rungbook.pipeline.analyse import analyse_library
from rungbook.reading.read import read_library
from rungbook.reading.remembered import Remembered
from rungbook.site.data.browser_data import exercise_files
from rungbook.site.pages.catalogue import Catalogue
from rungbook.site.pages.contents import all_pages
from rungbook.site.pages.page import Page
from rungbook.site.pages.pictures import picture_names
from rungbook.site.pages.render import whole_page
from rungbook.site.publishing.assets import library_files, theme_files
from rungbook.site.publishing.pictures import picture_files

EXERCISE_DATA = ("data/exercise/", "data/joints/", "data/sheet/")
Signature = Mapping[str, tuple[int, int]]


@dataclass
class _Edition:
    """One state of the library. Its pages and files are made as they are asked for."""

    catalogue: Catalogue
    pages: Mapping[str, Page]
    made: dict[str, bytes] = field(default_factory=dict)
    shared: dict[str, bytes] = field(default_factory=dict)
    lock: threading.Lock = field(default_factory=threading.Lock)

    @cached_property
    def pictures(self) -> tuple[str, ...]:
        """The pictures that pages show."""
        return picture_names(self.catalogue.library)

    def get(self, path: str) -> bytes | None:
        """A page or file of the library, or None."""
        with self.lock:
            if path not in self.made and path in self.pages:
                page = self.pages[path]
                root = "/" if page.kind == "missing" else None
                self.made[path] = whole_page(page, self.catalogue, root).encode()
            if path not in self.made:
                self.made.update(self._files_like(path))
            return self.made.get(path)

    def _files_like(self, path: str) -> Iterator[tuple[str, bytes]]:
        """The file at `path`, with those made along with it."""
        exercise = self.catalogue.library.exercises.get(pathlib.PurePosixPath(path).stem)
        if path.startswith(EXERCISE_DATA) and exercise is not None:
            return exercise_files(self.catalogue, exercise)
        if path.startswith("pictures/"):
            wanted = [name for name in self.pictures if path == f"pictures/{name}"]
            return picture_files(self.catalogue.library, wanted)
        if not self.shared and path:
            self.shared.update(library_files(self.catalogue))
        return iter([(path, self.shared[path])] if path in self.shared else [])


@dataclass(frozen=True, slots=True)
class Built:
    """What a rebuild found."""

    version: int
    findings: tuple[Finding, ...]
    counts: Mapping[Level, int]
    seconds: float


class LiveSite:
    """The site of the library in `root`, as it is now."""

    def __init__(self, root: pathlib.Path) -> None:
        self.root = root
        self._theme = dict(theme_files())
        self._read = Remembered()
        self._edition: _Edition | None = None
        self._changed = threading.Condition()
        self.built: Built | None = None

    def rebuild(self, today: datetime.date) -> Built:
        """Read the library again; readers see the new state at once.

        Raises:
            rungbook.reading.read.NoLibrary: the folder is gone; the last state stays.
        """
        started = time.perf_counter()
        before = self._edition.catalogue.analysis if self._edition else None
        library = read_library(self.root, read=self._read)
        self._read.forget_unused()
        analysis = analyse_library(library, today, before=before)
        catalogue = Catalogue(analysis, draft=bool(analysis.counts["error"]))
        pages = {page.path: page for page in all_pages(catalogue)}
        with self._changed:
            self._edition = _Edition(catalogue, pages)
            version = self.built.version + 1 if self.built else 1
            seconds = time.perf_counter() - started
            self.built = Built(version, analysis.findings, analysis.counts, seconds)
            self._changed.notify_all()
        return self.built

    def wait_for_news(self, since: int, timeout_s: float) -> Built | None:
        """The state after version `since`, as soon as there is one; the old one after a while."""
        with self._changed:
            self._changed.wait_for(
                lambda: self.built is not None and self.built.version != since, timeout_s
            )
            return self.built

    def get(self, path: str) -> bytes | None:
        """The bytes at `path` of the site, or None where there is nothing."""
        source = self._theme.get(path)
        if source is not None:
            return source.read_bytes()
        edition = self._edition
        return edition.get(path or "index.html") if edition else None


def signature(root: pathlib.Path) -> Signature:
    """Size and time of every file of the library: differs as soon as one was saved."""
    found: dict[str, tuple[int, int]] = {}
    waiting = [os.fspath(root)]
    while waiting:
        try:
            with os.scandir(waiting.pop()) as entries:
                for entry in entries:
                    if entry.is_dir(follow_symlinks=False):
                        waiting.append(entry.path)
                    else:
                        status = entry.stat(follow_symlinks=False)
                        found[entry.path] = (status.st_mtime_ns, status.st_size)
        except OSError:
            continue  # gone while we looked: the next look sees it
    return found
