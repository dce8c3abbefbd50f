"""Where a value was written."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol, runtime_checkable

Path = tuple[str | int, ...]
# What lies at the top of a library: no folder on the way to a base has such a name.
AT_TOP = ("exercises", "ladders", "vocabulary", "pictures", "library.yml", "library.yaml")


def inside(file: str) -> str:
    """A file's path in its own library: `../national/ladders/a.md` -> `ladders/a.md`."""
    parts = file.split("/")
    first = next((number for number, part in enumerate(parts) if part in AT_TOP), 0)
    return "/".join(parts[first:])


def base_of(file: str) -> str:
    """The way to the base that a file lies in, such as `../national`; "" for a library's own."""
    return file.removesuffix(inside(file)).rstrip("/")


@dataclass(frozen=True, slots=True, order=True)
class Place:
    """A spot in a text file of the library.

    `file` is relative to the library's folder, with forward slashes (`../national/…` where it
    lies in a base); `line` and `column` count from 1.
    """

    file: str
    line: int = 1
    column: int = 1

    def __str__(self) -> str:
        return f"{self.file}:{self.line}:{self.column}"


@runtime_checkable
class SourceMap(Protocol):
    """Knows the place of every value of one record, inherited values included."""

    @property
    def file(self) -> str:
        """The record's own file."""
        ...

    def place(self, path: Path = ()) -> Place:
        """Place of the value at `path`, or of its nearest written ancestor.

        A path is what the file's front matter shows, keys as written:
        `("progressions", 0, "to")`. The place of a mapping's value is the value's own.
        """
        ...

    def key_place(self, path: Path) -> Place:
        """Place of the key that holds the value at `path`, else as `place`."""
        ...


@dataclass(frozen=True, slots=True)
class WholeFile:
    """The source map of a record that was not read from text: everything at one place."""

    at: Place = Place("(made in memory)")

    @property
    def file(self) -> str:
        return self.at.file

    def place(self, path: Path = ()) -> Place:
        return self.at

    def key_place(self, path: Path) -> Place:
        return self.at
