"""What is made of one exercise or ladder at once, and can be kept for the next build."""

from __future__ import annotations

import json
import zlib
from collections.abc import Callable
from dataclasses import dataclass

from rungbook.exchange.formats import lines_of
from rungbook.exchange.json_text import Line
from rungbook.site.browser_data import exercise_files
from rungbook.site.catalogue import Catalogue
from rungbook.site.page import Page

Deliver = Callable[[str, bytes], None]  # takes a finished file: its path in the site, its bytes


@dataclass(frozen=True, slots=True)
class Piece:
    """A page as HTML, the data files of its exercise, and its lines in the formats of exchange."""

    html: str
    files: tuple[tuple[str, bytes], ...] = ()
    lines: tuple[tuple[str, Line], ...] = ()

    def packed(self) -> bytes:
        """The piece as bytes: names and lengths on the first line, then everything, squeezed."""
        files = [(path, len(content)) for path, content in self.files]
        lines = [(name, text.encode()) for name, text in self.lines]
        html = self.html.encode()
        head = [len(html), files, [(name, len(text)) for name, text in lines]]
        body = b"".join((html, *(made for _, made in self.files), *(text for _, text in lines)))
        return zlib.compress(json.dumps(head).encode() + b"\n" + body, level=1)

    def delivered(self, path: str, deliver: Deliver) -> Piece:
        """Deliver its page, to `path`, and its files; the piece without their content is left."""
        deliver(path, self.html.encode())
        for name, content in self.files:
            deliver(name, content)
        return Piece("", tuple((name, b"") for name, _ in self.files), self.lines)

    @classmethod
    def unpacked(cls, packed: bytes) -> Piece:
        """From what `packed` gave."""
        first, _, body = zlib.decompress(packed).partition(b"\n")
        length, files, lines = json.loads(first)
        at = length
        parts = []
        for name, size in (*files, *lines):
            parts.append((name, body[at : at + size]))
            at += size
        of_lines = ((name, Line(text.decode())) for name, text in parts[len(files) :])
        return cls(body[:length].decode(), tuple(parts[: len(files)]), tuple(of_lines))


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
