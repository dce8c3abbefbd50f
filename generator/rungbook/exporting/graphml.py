"""The progressions as GraphML (http://graphml.graphdrawing.org), for graph programs."""

from __future__ import annotations

import re
from xml.sax.saxutils import escape, quoteattr

import networkx as nx

from rungbook.exporting.format import Format
from rungbook.exporting.graph_values import plain_graph
from rungbook.ladder.measured import MeasuredLibrary

NAMESPACE = "http://graphml.graphdrawing.org/xmlns"
_TYPES = {bool: "boolean", int: "long", float: "double", str: "string"}
# Characters that XML 1.0 (section 2.2) has no way to write.
_NO_XML = re.compile("[^\t\n\r\x20-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")


def graphml(measured: MeasuredLibrary) -> str:
    """The graph as GraphML text; keys are named by what they hold."""
    graph = plain_graph(measured)
    lines = ['<?xml version="1.0" encoding="UTF-8"?>', f'<graphml xmlns="{NAMESPACE}">']
    keys: dict[tuple[str, str], str] = {}
    for holder, rows in (("node", graph.nodes(data=True)), ("edge", graph.edges(data=True))):
        for name, kind in _kinds([row[-1] for row in rows]).items():
            key = keys[holder, name] = f"{holder}_{name}"
            lines.append(
                f"  <key id={quoteattr(key)} for={quoteattr(holder)} "
                f'attr.name={quoteattr(name)} attr.type="{kind}"/>'
            )
    lines.append('  <key id="graph_name" for="graph" attr.name="name" attr.type="string"/>')
    lines.append('  <graph id="progressions" edgedefault="directed">')
    lines.append(f'    <data key="graph_name">{_text(graph.graph["name"])}</data>')
    lines += _elements(graph, keys)
    return "\n".join([*lines, "  </graph>", "</graphml>", ""])


def _elements(graph: nx.DiGraph[str], keys: dict[tuple[str, str], str]) -> list[str]:
    lines = []
    for id, attributes in graph.nodes(data=True):
        lines.append(f"    <node id={quoteattr(id)}>")
        lines += _data(attributes, "node", keys)
        lines.append("    </node>")
    for easier, harder, attributes in graph.edges(data=True):
        lines.append(f"    <edge source={quoteattr(easier)} target={quoteattr(harder)}>")
        lines += _data(attributes, "edge", keys)
        lines.append("    </edge>")
    return lines


def _data(
    attributes: dict[str, object], holder: str, keys: dict[tuple[str, str], str]
) -> list[str]:
    return [
        f'      <data key="{keys[holder, name]}">{_text(value)}</data>'
        for name, value in attributes.items()
    ]


def _kinds(rows: list[dict[str, object]]) -> dict[str, str]:
    """The type of every attribute, in the order they first occur."""
    found: dict[str, str] = {}
    for row in rows:
        for name, value in row.items():
            found.setdefault(name, _TYPES[type(value)])
    return found


def _text(value: object) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, (int, float)):
        return repr(value)
    # A reader turns a bare carriage return into a line break; the reference survives.
    return escape(_NO_XML.sub("\ufffd", str(value)), {"\r": "&#13;"})


FORMAT = Format(
    3,
    "graphml",
    "Progressions as GraphML",
    "progressions.graphml",
    "Exercises and progressions with the size of each step, for graph programs.",
    graphml,
)
