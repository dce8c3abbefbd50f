"""Markup as plain nested lists, which a script can build without parsing any HTML.

A node is a text, or `[tag, {attribute: value}, child, …]`. The browser builds it with
createElement and text nodes only (`scripts/elements.js`).
"""

from __future__ import annotations

from html.parser import HTMLParser
from typing import Any
from xml.parsers import expat

Node = str | list[Any]
_EMPTY = frozenset({"br", "hr", "img"})


class _Collector(HTMLParser):
    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.open: list[list[Any]] = [["div", {}]]

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        node = [tag, {name: value or "" for name, value in attrs}]
        self.open[-1].append(node)
        if tag not in _EMPTY:
            self.open.append(node)

    def handle_endtag(self, tag: str) -> None:
        if len(self.open) > 1 and self.open[-1][0] == tag:
            self.open.pop()

    def handle_data(self, data: str) -> None:
        if data.strip() or self.open[-1][0] in {"p", "li", "td", "th", "em", "strong", "a"}:
            self.open[-1].append(data)


def html_nodes(html: str) -> list[Node]:
    """The nodes of a clean, well-nested HTML fragment."""
    collector = _Collector()
    collector.feed(html)
    collector.close()
    return collector.open[0][2:]


def svg_node(svg: str) -> Node:
    """The tree of an SVG text whose names have no prefixes; its namespace is dropped.

    Raises:
        xml.parsers.expat.ExpatError: `svg` is not well-formed.
    """
    whole: list[Any] = []
    inner = whole  # the element that is open
    outer: list[list[Any]] = []

    def start(tag: str, attributes: dict[str, str]) -> None:
        nonlocal inner
        node: list[Any] = [tag, attributes]
        inner.append(node)
        outer.append(inner)
        inner = node

    def end(tag: str) -> None:
        nonlocal inner
        inner = outer.pop()

    def words(text: str) -> None:
        if text.strip():
            inner.append(text)

    # The parser alone: half the time of a tree of elements that is then walked.
    parser = expat.ParserCreate()
    parser.buffer_text = True
    parser.StartElementHandler, parser.EndElementHandler = start, end
    parser.CharacterDataHandler = words
    parser.Parse(svg, True)
    found: list[Any] = whole[0]
    found[1].pop("xmlns", None)
    return found
