"""A site in memory, for previews: each page is rendered when somebody asks for it."""

from __future__ import annotations

import contextlib
import datetime
import os
import pathlib
import re
import threading
import time
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from html import escape

from rungbook.model.finding import Finding, Level, by_level
from rungbook.model.library import Library
from rungbook.model.watched import Look, watching
from rungbook.pipeline.analyse import analyse_library, on_its_bases
from rungbook.reading.bases import list_whole
from rungbook.reading.read import NoLibrary, read_library
from rungbook.reading.remembered import Remembered
from rungbook.site.data.relief import Relief
from rungbook.site.pages.catalogue import Catalogue
from rungbook.site.pages.page import Page
from rungbook.site.pages.render import whole_page
from rungbook.site.publishing.parts import Part, site_parts, told
from rungbook.site.publishing.theme import theme_files

_BODY = re.compile(rb"<body[^>]*>")

Signature = Mapping[str, tuple[int, int]]


@dataclass(frozen=True)
class _Edition:
    """One state of the library, and the part of the site that makes each path."""

    catalogue: Catalogue
    parts: Mapping[str, Part]


@dataclass(frozen=True, slots=True)
class _Made:
    """The files of a part, with what was looked up for them and the key of all they are made of."""

    files: Mapping[str, bytes]
    looks: frozenset[Look]
    key: str


@dataclass(frozen=True, slots=True)
class Built:
    """What a rebuild found: `findings` has those that are new since the last first, worst first."""

    version: int
    findings: tuple[Finding, ...]
    counts: Mapping[Level, int]
    seconds: float


@dataclass(frozen=True, slots=True)
class _LastGood:
    """A page as it was before its file became faulty; `file` is the one to mend."""

    content: bytes
    file: str

    def shown(self, findings: Iterable[Finding]) -> bytes:
        """The page with the fault on top."""
        faults = [one for one in findings if one.place.file == self.file and one.level == "error"]
        lines = [f"{one.place}: {one.message}" for one in faults] or [f"{self.file} has a fault"]
        told = escape("As it was before the last change. ") + escape(" ".join(lines))
        banner = f'<p class="banner last-good" role="alert">{told}</p>'.encode()
        return _BODY.sub(lambda found: found[0] + banner, self.content, count=1)


class LiveSite:
    """The site of the library in `root`, as it is now."""

    def __init__(self, root: pathlib.Path) -> None:
        self.root = root
        self._theme = dict(theme_files())
        self._read = Remembered()
        self._edition: _Edition | None = None
        self._made: dict[str, _Made] = {}
        self._last_good: Mapping[str, _LastGood] = {}
        self._making = threading.Lock()
        self._changed = threading.Condition()
        self.built: Built | None = None

    def rebuild(self, today: datetime.date) -> Built:
        """Read the library again; readers see the new state at once.

        Raises:
            rungbook.reading.read.NoLibrary: the folder is gone; the last state stays.
        """
        started = time.perf_counter()
        before = self._edition.catalogue.analysed if self._edition else None
        library = read_library(self.root, read=self._read)
        self._read.forget_unused()
        analysis = on_its_bases(analyse_library(library, today, before=before), today, before)
        known = {(one.check, one.place.file, one.message) for one in self._findings()}
        findings = by_level(analysis.findings)
        findings.sort(key=lambda one: (one.check, one.place.file, one.message) in known)
        catalogue = Catalogue(analysis, draft=bool(analysis.counts["error"]))
        parts = site_parts(catalogue, _previewed, Relief(analysis.measured))
        with self._changed:
            by_path = {path: part for part in parts for path in part.paths}
            self._keep_last_good(library, by_path)
            self._edition = _Edition(catalogue, by_path)
            version = self.built.version + 1 if self.built else 1
            seconds = time.perf_counter() - started
            self.built = Built(version, tuple(findings), analysis.counts, seconds)
            self._changed.notify_all()
        return self.built

    def _findings(self) -> tuple[Finding, ...]:
        return self.built.findings if self.built else ()

    def _keep_last_good(self, library: Library, parts: Mapping[str, Part]) -> None:
        """Pages of files that are there and have become faulty stay as they last were."""
        left_out = {
            **{f"exercises/{id}.html": one for id, one in library.left_out.items()},
            **{f"ladders/{id}.html": one for id, one in library.left_out_ladders.items()},
        }
        edition, before = self._edition, self._last_good
        self._last_good = {}
        for path, one in left_out.items():
            if path in parts:
                continue
            if path in before:
                self._last_good[path] = _LastGood(before[path].content, one.file)
            elif edition is not None and (part := edition.parts.get(path)) is not None:
                content = self._files(part, edition)[path]
                self._last_good[path] = _LastGood(content, one.file)

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
        path, edition = path or "index.html", self._edition
        part = edition.parts.get(path) if edition else None
        if part is None and path in self._last_good:
            return self._last_good[path].shown(self._findings())
        return self._files(part, edition).get(path) if part and edition else None

    def _files(self, part: Part, edition: _Edition) -> Mapping[str, bytes]:
        """The files of a part: as they were made before, where nothing has changed since."""
        catalogue = edition.catalogue
        settings = catalogue.analysed.measured.library.settings
        about = (settings, catalogue.draft, told(part, catalogue))
        with self._making:
            known = self._made.get(part.name)
            if known is None or catalogue.looks.key(*about, looks=known.looks) != known.key:
                with watching() as looks:
                    files = dict(part.make())
                key = catalogue.looks.key(*about, looks=looks)
                known = self._made[part.name] = _Made(files, frozenset(looks), key)
            return known.files


def _previewed(page: Page, catalogue: Catalogue) -> str:
    """A page in our theme; the one for what is missing is shown at any depth."""
    return whole_page(page, catalogue, "/" if page.kind == "missing" else None)


def signature(root: pathlib.Path) -> Signature:
    """Size and time of every file of the library and of what it builds on: differs as soon as one
    was saved."""
    found: dict[str, tuple[int, int]] = {}
    waiting = [os.fspath(root)]
    with contextlib.suppress(NoLibrary):  # told by whoever reads it
        waiting += [os.fspath(base.root) for base in list_whole(root).bases]
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
