"""Markup as plain nested lists, which a script can build without parsing any HTML.

A node is a text, or `[tag, {attribute: value}, child, …]`. The browser builds it with
createElement and text nodes only (`scripts/elements.js`).
"""

from __future__ import annotations

from html.parser import HTMLParser
from typing import Any
from xml.etree import ElementTree

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
    """The tree of an SVG text; namespaces are dropped, only whole attribute names stay.

    Raises:
        xml.etree.ElementTree.ParseError: `svg` is not well-formed.
    """

    def local(name: str) -> str:
        return name.rpartition("}")[2]

    def node(element: ElementTree.Element) -> Node:
        children: list[Node] = [element.text] if element.text and element.text.strip() else []
        for child in element:
            children.append(node(child))
            if child.tail and child.tail.strip():
                children.append(child.tail)
        attributes = {local(name): value for name, value in element.attrib.items()}
        return [local(element.tag), attributes, *children]

    return node(ElementTree.fromstring(svg))
