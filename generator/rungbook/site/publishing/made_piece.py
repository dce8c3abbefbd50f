"""What is made of one exercise or ladder at once, and can be kept for the next build."""

from __future__ import annotations

import json
import zlib
from collections.abc import Sequence
from dataclasses import dataclass

from rungbook.exporting.formats import lines_of
from rungbook.exporting.json_text import Line
from rungbook.site.data.browser_data import exercise_files
from rungbook.site.pages.catalogue import Catalogue
from rungbook.site.pages.page import Page
from rungbook.site.publishing.folder import SiteFolder


@dataclass(frozen=True, slots=True)
class Piece:
    """A page as HTML, the data files of its exercise, and its lines in the formats of exchange."""

    html: str
    files: tuple[tuple[str, bytes], ...] = ()
    lines: tuple[tuple[str, Line], ...] = ()

    def delivered(self, path: str, folder: SiteFolder) -> Piece:
        """Write its page, to `path`, and its files; the piece without their content is left."""
        folder.write(path, self.html.encode())
        for name, content in self.files:
            folder.write(name, content)
        return Piece("", tuple((name, b"") for name, _ in self.files), self.lines)

    def packed(self) -> bytes:
        """The piece as bytes: how long its lines are on the first line, they, then the files."""
        lines = _squeezed([(name, text.encode()) for name, text in self.lines])
        files = _squeezed([("", self.html.encode()), *self.files])
        return b"%d\n" % len(lines) + lines + files

    @classmethod
    def unpacked(cls, packed: bytes) -> Piece:
        """From what `packed` gave."""
        (_, html), *files = _stretched(_parts(packed)[1])
        return cls(html.decode(), tuple(files), cls.only_lines(packed).lines)

    @classmethod
    def only_lines(cls, packed: bytes) -> Piece:
        """The piece without its page and files, from what `packed` gave."""
        lines = _stretched(_parts(packed)[0])
        return cls("", (), tuple((name, Line(text.decode())) for name, text in lines))


def _parts(packed: bytes) -> tuple[bytes, bytes]:
    length, _, body = packed.partition(b"\n")
    return body[: int(length)], body[int(length) :]


def _squeezed(parts: Sequence[tuple[str, bytes]]) -> bytes:
    """Names and lengths on the first line, then everything."""
    head = json.dumps([(name, len(content)) for name, content in parts]).encode()
    return zlib.compress(head + b"\n" + b"".join(content for _, content in parts), level=1)


def _stretched(packed: bytes) -> list[tuple[str, bytes]]:
    head, _, body = zlib.decompress(packed).partition(b"\n")
    parts, at = [], 0
    for name, size in json.loads(head):
        parts.append((name, body[at : at + size]))
        at += size
    return parts


def key_of(page: Page) -> str:
    """The id of the exercise or ladder that a page is about."""
    return page.path.rpartition("/")[2].removesuffix(".html")


def made_piece(page: Page, html: str, catalogue: Catalogue) -> Piece:
    """The piece around a page that was rendered."""
    if page.kind != "exercise":
        return Piece(html)
    exercise = catalogue.library.exercises[key_of(page)]
    lines = tuple(lines_of(catalogue.measured, exercise).items())
    return Piece(html, tuple(exercise_files(catalogue, exercise)), lines)
