"""Where values were written: found by reading the front matter again, for the few that are asked.

Reading a library makes no place for values nobody asks about; the text of the front matter is
all that is kept, and an index of it is made on demand.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Any, NamedTuple

from yaml import YAMLError
from yaml._yaml import CParser
from yaml.events import (
    AliasEvent,
    MappingEndEvent,
    MappingStartEvent,
    ScalarEvent,
    SequenceEndEvent,
    SequenceStartEvent,
)

from rungbook.model.place import Path, Place
from rungbook.model.translated import own_key
from rungbook.model.variation import OWN_KEYS
from rungbook.reading import limits


def is_own(key: str) -> bool:
    """Whether a variation never takes a key over, in whatever language it is."""
    return own_key(key) in OWN_KEYS


class Node(NamedTuple):
    """A value's place, the place of its key, and its parts. Lines and columns from 0."""

    line: int
    column: int
    key_line: int
    key_column: int
    parts: dict[str | int, Node]
    is_mapping: bool


class Located(NamedTuple):
    """How far a path was found."""

    file: str
    first_line: int
    node: Node
    matched: int

    def place(self) -> Place:
        node = self.node
        return Place(self.file, node.line + self.first_line, node.column + 1)

    def key_place(self) -> Place:
        node = self.node
        return Place(self.file, node.key_line + self.first_line, node.key_column + 1)


@lru_cache(maxsize=256)
def index(text: str) -> Node:
    """The places of everything in a YAML text, as far as it can be read."""
    following = CParser(text).get_event
    root = Node(0, 0, 0, 0, {}, True)
    try:
        following(), following()
        return _node(following, following(), None, {}, 0)
    except (YAMLError, RecursionError, AttributeError):
        return root


def _node(following: Any, event: Any, key: Any, anchors: dict[str, Node], depth: int) -> Node:
    mark = event.start_mark
    key_mark = key.start_mark if key is not None else mark
    parts: dict[str | int, Node] = {}
    kind = event.__class__
    node = Node(
        mark.line, mark.column, key_mark.line, key_mark.column, parts, kind is MappingStartEvent
    )
    if kind is AliasEvent:
        aliased = anchors.get(event.anchor)
        return (
            node._replace(parts=aliased.parts, is_mapping=aliased.is_mapping) if aliased else node
        )
    if depth > limits.MOST_DEPTH:
        raise RecursionError
    if kind is SequenceStartEvent:
        while (item := following()).__class__ is not SequenceEndEvent:
            parts[len(parts)] = _node(following, item, None, anchors, depth + 1)
    elif kind is MappingStartEvent:
        while (name := following()).__class__ is not MappingEndEvent:
            value = _node(following, following(), name, anchors, depth + 1)
            if name.__class__ is ScalarEvent:
                parts.setdefault(name.value, value)
    if event.anchor is not None:
        anchors[event.anchor] = node
    return node


@dataclass(frozen=True, slots=True)
class FilePlaces:
    """The source map of one file.

    `text` is its YAML, `first_line` the line it begins on, `headings` the lines of the sections
    below it: `("text", "Do")` is the place of that heading. An alias leads to where it is used.
    """

    file: str
    text: str
    first_line: int = 1
    headings: Mapping[str, int] = field(default_factory=dict)

    def locate(self, path: Path) -> Located:
        if len(path) > 1 and path[0] == "text" and path[1] in self.headings:
            line = self.headings[str(path[1])] - self.first_line
            return Located(self.file, self.first_line, Node(line, 0, line, 0, {}, False), 2)
        node = index(self.text)
        matched = 0
        for part in path:
            if part not in node.parts:
                break
            node = node.parts[part]
            matched += 1
        return Located(self.file, self.first_line, node, matched)

    def place(self, path: Path = ()) -> Place:
        return self.locate(path).place()

    def key_place(self, path: Path) -> Place:
        return self.locate(path).key_place()


@dataclass(frozen=True, slots=True)
class VariationPlaces:
    """The source map of a variation: what it does not restate lies in the exercise it varies."""

    own: FilePlaces
    varied: FilePlaces | VariationPlaces

    @property
    def file(self) -> str:
        return self.own.file

    def locate(self, path: Path) -> Located:
        own = self.own.locate(path)
        replaced = own.matched > 0 and not own.node.is_mapping
        if own.matched == len(path) or replaced or is_own(str(path[0])):
            return own
        varied = self.varied.locate(path)
        return varied if varied.matched > own.matched else own

    def place(self, path: Path = ()) -> Place:
        return self.locate(path).place()

    def key_place(self, path: Path) -> Place:
        return self.locate(path).key_place()
