"""Drawings become trees of nodes that say the same."""

from __future__ import annotations

from xml.etree import ElementTree
from xml.parsers import expat

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builders.drawings import figure
from builders.skeletons import SAMPLES, sample
from rungbook.drawing.svg import FORBIDDEN, escape
from rungbook.site.data.node_tree import Node, svg_node


def walked(element: ElementTree.Element) -> Node:
    """The same tree from Python's own tree of elements."""
    texts = [element.text, *(child.tail for child in element)]
    children = [None, *(walked(child) for child in element)]
    inner = [
        part
        for child, text in zip(children, texts, strict=True)
        for part in (child, text if text and text.strip() else None)
        if part is not None
    ]
    return [element.tag.rpartition("}")[2], dict(element.attrib), *inner]


@pytest.mark.parametrize("name", SAMPLES)
def test_a_figure_is_the_tree_that_an_xml_library_reads(name: str) -> None:
    drawing = figure(*sample(name))
    assert svg_node(drawing) == walked(ElementTree.fromstring(drawing))


@given(st.text(), st.text())
def test_words_and_attributes_come_through_whole(words: str, label: str) -> None:
    # XML 1.0 (2.11 and 3.3.3): a reader turns line ends into \n, blanks in attributes into spaces.
    said, named = (FORBIDDEN.sub("", text).replace("\r", "") for text in (words, label))
    named = named.replace("\n", " ").replace("\t", " ")
    svg = f'<svg xmlns="http://www.w3.org/2000/svg" class="{escape(named)}"><text>{escape(said)}</text></svg>'
    text = ["text", {}, said] if said.strip() else ["text", {}]
    assert svg_node(svg) == ["svg", {"class": named}, text]


def test_what_is_no_xml_is_refused() -> None:
    with pytest.raises(expat.ExpatError):
        svg_node("<svg><g></svg>")
