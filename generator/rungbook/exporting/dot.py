"""The progressions in the DOT language of Graphviz, for drawing and editing by hand."""

from __future__ import annotations

from rungbook.exporting.format import Format
from rungbook.exporting.graph_values import plain_graph
from rungbook.ladder.measured import MeasuredLibrary
from rungbook.ladder.steps import TOLERANCE

SHOWN = ("title", "area", "works", "demand_nm", "stability", "draft", "ladders")


def dot(measured: MeasuredLibrary) -> str:
    """The graph as DOT text: harder exercises above, steps that are too large in bold."""
    graph = plain_graph(measured)
    lines = [
        f"digraph {_quoted(graph.graph['name'])} {{",
        "  rankdir=BT;",
        '  node [shape=box, fontname="sans-serif"];',
        '  edge [fontname="sans-serif"];',
    ]
    for id, values in graph.nodes(data=True):
        label = str(values["title"])
        if "demand_nm" in values:
            label += f"\n{values['demand_nm']:.1f} N·m"
        attributes = {"label": label} | {name: values[name] for name in SHOWN if name in values}
        if values.get("draft"):
            attributes["style"] = "dashed"
        lines.append(f"  {_quoted(id)} {_attributes(attributes)};")
    for easier, harder, values in graph.edges(data=True):
        attributes = {}
        if "size" in values:
            attributes = {"label": f"{values['size']:.2f}", "size": values["size"]}
            attributes |= {"missing": values["missing"], "worst": values["worst"]}
            if values["size"] > 1 + TOLERANCE:
                attributes["style"] = "bold"
        if values.get("draft"):
            attributes |= {"style": "dashed", "draft": True}
        lines.append(f"  {_quoted(easier)} -> {_quoted(harder)} {_attributes(attributes)};")
    return "\n".join([*lines, "}", ""])


def _attributes(values: dict[str, object]) -> str:
    pairs = (f"{name}={_quoted(_word(value))}" for name, value in values.items())
    return f"[{', '.join(pairs)}]"


def _word(value: object) -> str:
    return str(value).lower() if isinstance(value, bool) else str(value)


def _quoted(text: str) -> str:
    r"""A quoted string; `\n` is a line break, any other backslash stands for itself."""
    escaped = text.replace("\\", "\\\\").replace('"', '\\"')
    return '"' + escaped.replace("\r", "").replace("\n", "\\n") + '"'


FORMAT = Format(
    4,
    "dot",
    "Progressions as DOT",
    "progressions.dot",
    "The same graph in the language of Graphviz, for drawing.",
    dot,
)
