"""The words of the files, for those who write them: the same as `rungbook words`."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from rungbook.load.format_words import KINDS, Table
from rungbook.site.pages.catalogue import Catalogue
from rungbook.site.pages.page import Later, Page


@dataclass(frozen=True, slots=True)
class FormatWords:
    """Tables of words by kind, those of the fields folded."""

    words: tuple[Table, ...]
    fields: tuple[Table, ...]


def _model() -> FormatWords:
    words = tuple(table for kind in ("positions", "joints", "points") for table in KINDS[kind]())
    return FormatWords(words, tuple(KINDS["fields"]()))


def pages(catalogue: Catalogue) -> Iterator[Page]:
    """The page of words."""
    yield Page(
        path="words.html",
        kind="words",
        title="Words of the files",
        description="Every position, joint, point and key that a library's files may use.",
        model=Later(_model),
    )
