"""The library as one HTML document made for print: cover, contents, ladders, exercises one a page,
cautions, index. It needs no other file and no script.

Every piece has a number, printed at its head; contents and index name pieces by it. A piece that
runs over its page keeps its number, so that these always lead to the right one.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from rungbook import __version__
from rungbook.load.compute import groups
from rungbook.pipeline.analyse import Analysis
from rungbook.site.pages.catalogue import Catalogue
from rungbook.site.pages.contents import all_pages
from rungbook.site.pages.document import whole_document
from rungbook.site.pages.words import day, sentence

LINES = 120  # of the contents, on one page in two columns
STYLES = (
    *("styles/base.css", "styles/content.css", "styles/drawing.css", "styles/one_page.css"),
    "documents/book.css",
)
_LINK = re.compile(r'<a [^>]*?href="([^"]*)"[^>]*>(.*?)</a>', re.DOTALL)
_PAGE = re.compile(r"(?:\.\./)?(exercises|ladders)/([^/#]+)\.html(?:#.*)?")


@dataclass(frozen=True, slots=True)
class Piece:
    """An exercise or a ladder with its number; `model` is that of its page."""

    number: int
    id: str
    title: str
    model: Any


@dataclass(frozen=True, slots=True)
class Part:
    """A part of the contents: its title, and (title, number, address in the book) of its pieces."""

    title: str
    lines: tuple[tuple[str, int, str], ...]


def book(analysis: Analysis) -> str:
    """The whole library as one HTML document."""
    catalogue = Catalogue(analysis, draft=bool(analysis.counts["error"]))
    pages = {page.path: page for page in all_pages(catalogue)}
    order = [one.id for members in catalogue.areas.values() for one in members]
    ladders = sorted(catalogue.library.ladders.values(), key=lambda one: (one.title, one.id))
    lines = len(order) + len(ladders) + 3 * (len(catalogue.areas) + 3)
    first = 2 + -(-lines // LINES)
    of_ladders = [
        Piece(n, one.id, one.title, pages[f"ladders/{one.id}.html"].made())
        for n, one in enumerate(ladders, first)
    ]
    of_exercises = [
        Piece(n, id, pages[path].title, pages[path].made())
        for n, id in enumerate(order, first + len(ladders))
        if (path := catalogue.exercise_paths[id])
    ]
    last = first + len(ladders) + len(order)
    text = whole_document(
        "book",
        STYLES,
        settings=catalogue.library.settings,
        draft=catalogue.draft,
        root="",
        parts=_parts(catalogue, of_ladders, of_exercises, last),
        ladders=of_ladders,
        exercises=of_exercises,
        cautions=pages["cautions.html"].made(),
        numbers={piece.id: piece.number for piece in of_exercises},
        index=_index(catalogue, of_exercises),
        last=last,
        newest=day(catalogue.newest_review) if catalogue.newest_review else "",
        version=__version__,
    )
    return _inside(text)


def _parts(
    catalogue: Catalogue, ladders: Sequence[Piece], exercises: Sequence[Piece], last: int
) -> tuple[Part, ...]:
    number_of = {piece.id: piece for piece in exercises}
    areas = [
        Part(catalogue.area_title(key), tuple(_line("exercise", number_of[e.id]) for e in members))
        for key, members in catalogue.areas.items()
    ]
    end = Part("", (("Cautions", last, "#cautions"), ("Index", last + 1, "#index")))
    return (Part("Ladders", tuple(_line("ladder", one) for one in ladders)), *areas, end)


def _line(kind: str, piece: Piece) -> tuple[str, int, str]:
    return piece.title, piece.number, f"#{kind}-{piece.id}"


def _index(
    catalogue: Catalogue, pieces: Iterable[Piece]
) -> tuple[tuple[str, tuple[tuple[int, str], ...]], ...]:
    """What an exercise may be looked up by, from A to Z: other names, muscles, equipment."""
    library, found = catalogue.library, dict[str, list[tuple[int, str]]]()
    for piece in pieces:
        exercise = library.exercises[piece.id]
        terms = library.vocabulary.equipment
        words = [
            piece.title,
            *map(sentence, exercise.also_called),
            *(sentence(groups()[str(a)]) for a in exercise.works if str(a) in groups()),
            *(terms[key].title for key in exercise.equipment if key in terms),
        ]
        for word in dict.fromkeys(words):
            found.setdefault(word, []).append((piece.number, f"#exercise-{piece.id}"))
    return tuple((word, tuple(found[word])) for word in sorted(found, key=str.casefold))


def _inside(text: str) -> str:
    """Links lead to places in the book; what is not in it keeps its words alone."""
    known = set(re.findall(r'\sid="([^"]*)"', text))

    def within(link: re.Match[str]) -> str:
        address, words = link[1], link[2]
        if address.startswith(("http://", "https://", "mailto:", "tel:")):
            return link[0]
        page = _PAGE.fullmatch(address)
        place = f"{page[1].removesuffix('s')}-{page[2]}" if page else address.partition("#")[2]
        place = f"caution-{place}" if "cautions.html#" in address else place
        return f'<a href="#{place}">{words}</a>' if place in known else words

    return _LINK.sub(within, text)
