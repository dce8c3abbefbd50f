"""Writes a whole site: the parts of which anything has changed, by as many processes as are worth
it; the others stay as the last build left them.

What a build made, and what it looked up for that, is kept by the site's place. A part is made
anew where something else stands now where it looked then. The files are the same on every path:
made here or in another process, now or by an earlier build.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from rungbook.drawing.engine import NoEngine, find_engine
from rungbook.exporting.formats import lines_of
from rungbook.exporting.json_text import Line
from rungbook.model.watched import Look, watching
from rungbook.pipeline import store
from rungbook.pipeline.workers import all_of, worthwhile
from rungbook.site.data.relief import Relief, Say
from rungbook.site.pages import downloads
from rungbook.site.pages.catalogue import Catalogue
from rungbook.site.publishing.folder import Left, SiteFolder
from rungbook.site.publishing.parts import Frame, Part, line_parts, own_parts, site_parts, told

WORTH_A_PROCESS = 60  # parts; for fewer, a process costs more than it brings
SHARES = 5  # for each process, so that none is done long before the others
MOST = 240  # parts in one share: more of them take more memory, and no less time


@dataclass(frozen=True, slots=True)
class Made:
    """A part that was made, or left as it was: its key, what was looked up for it, its files."""

    key: str
    looks: frozenset[Look]
    files: tuple[Left, ...] = ()
    text: bytes = b""  # of what is no file


def write_site(
    catalogue: Catalogue,
    frame: Frame,
    folder: SiteFolder,
    relief: Relief | None = None,
    workers: int | None = None,
    say: Say = lambda phase: None,
) -> str:
    """Write the site into `folder`, each page by `frame`.

    `workers` processes share the work, or as many as are worth it. Returns why there are no maps,
    where there are none.
    """
    writer = _Writer(catalogue, folder, workers)
    lines = _Lines(catalogue, writer)
    watched = catalogue.looks.watch("lines", lines, lines.key)
    parts = [*site_parts(catalogue, frame, relief, watched), *own_parts(catalogue)]
    last = [part for part in parts if downloads.PATH in part.paths]
    others = [part for part in parts if downloads.PATH not in part.paths]
    writer.same([*others, *lines.parts.values()])
    if relief is not None:
        missing = {path for part in others if part.name not in writer.made for path in part.paths}
        ids = catalogue.analysed.measured.library.exercises
        relief.prepare([id for id in ids if f"data/relief/{id}.js" in missing], say)
    say("writing pages")
    writer.make([*others, *lines.parts.values()])
    writer.same(last)
    writer.make(last)
    writer.keep(lines)
    return catalogue.maps.warning


class _Lines(Mapping[str, Mapping[str, Line]]):
    """The lines of exercises in the formats of exchange; those an earlier build made are kept."""

    def __init__(self, catalogue: Catalogue, writer: _Writer) -> None:
        self._catalogue, self._writer = catalogue, writer
        self.parts = line_parts(catalogue)
        self._kept: dict[str, bytes] | None = None

    def key(self, id: str) -> str:
        """Names all that an exercise's lines are made from."""
        return self._writer.made[self.parts[id].name].key

    def pieces(self) -> dict[str, bytes]:
        """Those made by this build, each under its key in the store."""
        made = (self._writer.made[part.name] for part in self.parts.values())
        return {store.key_of("lines", one.key): one.text for one in made if one.text}

    def __getitem__(self, id: str) -> Mapping[str, Line]:
        if self._kept is None:
            self._kept = store.find([store.key_of("lines", self.key(one)) for one in self.parts])
        text = self._writer.made[self.parts[id].name].text
        text = text or self._kept.get(store.key_of("lines", self.key(id)), b"")
        if not text:
            measured = self._catalogue.analysed.measured
            return lines_of(measured, measured.library.exercises[id])
        return {name: Line(line) for name, line in json.loads(text).items()}

    def __iter__(self) -> Iterator[str]:
        return iter(self.parts)

    def __len__(self) -> int:
        return len(self.parts)


class _Writer:
    """Makes parts, or leaves them as they are; `made` has what came of each by its name."""

    def __init__(self, catalogue: Catalogue, folder: SiteFolder, workers: int | None) -> None:
        self._catalogue, self._folder, self._workers = catalogue, folder, workers
        self._ground = _ground(catalogue)
        self._key = key = store.key_of("site", folder.now)
        self._known = dict(_read(store.find([key]).get(key, b"")))
        self.made: dict[str, Made] = {}

    def _key_of(self, part: Part, looks: Iterable[Look]) -> str:
        given = told(part, self._catalogue)
        return self._catalogue.looks.key(self._ground, given, looks=looks)

    def same(self, parts: Iterable[Part]) -> None:
        """Leave those as they are of which nothing has changed since the last build."""
        for part in parts:
            known = self._known.get(part.name)
            if known is None or known.key != self._key_of(part, known.looks):
                continue
            if self._folder.link(known.files):
                self.made[part.name] = known

    def make(self, parts: Sequence[Part]) -> None:
        """Make those that are not there yet."""
        missing = [part for part in parts if part.name not in self.made]
        workers = self._workers or worthwhile(len(missing), WORTH_A_PROCESS)
        shares = list(_shares(missing, workers))
        for made, no_maps in all_of(self._made, shares, workers):
            self.made.update(made)
            self._catalogue.maps.warning = self._catalogue.maps.warning or no_maps

    def _made(self, share: Sequence[Part]) -> tuple[dict[str, Made], str]:
        catalogue = self._catalogue
        about = {part.about for part in share if part.about}
        exercises = [id for kind, id in sorted(about) if kind == "exercise"]
        ladders = [id for kind, id in sorted(about) if kind == "ladder"]
        catalogue.maps.prepare(exercises=exercises, ladders=ladders)
        catalogue.figures.prepare(exercises)
        made = {part.name: self._made_one(part) for part in share}
        no_maps = catalogue.maps.warning
        catalogue.maps.forget()
        catalogue.figures.forget()
        return made, no_maps

    def _made_one(self, part: Part) -> Made:
        files, text = [], b""
        with watching() as looks:
            for path, content in part.make():
                if path:
                    self._folder.write(path, content)
                    files.append(self._folder.left(path))
                else:
                    text = content
        return Made(self._key_of(part, looks), frozenset(looks), tuple(files), text)

    def keep(self, lines: _Lines) -> None:
        """Remember what was made, for the next build."""
        if not self._catalogue.maps.warning:  # else it is to be drawn as soon as it can be
            site = {self._key: _written(self.made)} if self._folder.now else {}
            store.keep({**site, **lines.pieces()})


def _ground(catalogue: Catalogue) -> str:
    """What every part depends on."""
    library = catalogue.analysed.measured.library
    settings = library.settings
    plain = settings.site.model_copy(update={"colour": None})  # has a part of its own
    try:
        engine = find_engine(settings.diagrams.engine)
        drawn = (str(engine), engine.stat().st_size, engine.stat().st_mtime_ns)
    except (NoEngine, OSError):
        drawn = ("", 0, 0)
    return repr(
        (
            store.program(),
            settings.model_copy(update={"site": plain}),
            catalogue.draft,
            sorted(library.withheld),
            drawn,
        )
    )


def _shares(parts: Sequence[Part], workers: int) -> Iterator[list[Part]]:
    """Those about the whole library one by one, and first; the others by what they are about."""
    yield from ([part] for part in parts if part.about is None)
    small = sorted([(part.about, n) for n, part in enumerate(parts) if part.about is not None])
    wanted = max(SHARES * workers if workers > 1 else 1, -(-len(small) // MOST))
    size = max(1, -(-len(small) // wanted))
    for at in range(0, len(small), size):
        yield [parts[number] for _, number in small[at : at + size]]


def _written(made: Mapping[str, Made]) -> bytes:
    """All that was made as JSON: every look once, parts name them by number."""
    numbers: dict[Look, int] = {}
    parts = [
        [name, one.key, [numbers.setdefault(look, len(numbers)) for look in one.looks], one.files]
        for name, one in made.items()
    ]
    return json.dumps([list(numbers), parts], separators=(",", ":")).encode()


def _read(piece: bytes) -> Iterator[tuple[str, Made]]:
    if piece:
        looks, parts = json.loads(piece)
        known = [(name, tuple(key) if isinstance(key, list) else key) for name, key in looks]
        for name, key, numbers, files in parts:
            asked = frozenset(known[number] for number in numbers)
            yield name, Made(key, asked, tuple(map(tuple, files)))
