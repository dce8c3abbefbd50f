"""No import that runs in a ring."""

from __future__ import annotations

import ast
import pathlib
from collections.abc import Iterator

import networkx

PACKAGE = pathlib.Path(__file__).parents[1] / "generator" / "rungbook"


def _modules() -> Iterator[tuple[str, str]]:
    for path in sorted(PACKAGE.rglob("*.py")):
        yield path.relative_to(PACKAGE.parent).as_posix(), path.read_text(encoding="utf-8")


def test_no_module_imports_itself_by_way_of_others() -> None:
    """What is imported while a program runs, within functions too; not for types alone."""
    names = {
        name.removesuffix(".py").removesuffix("/__init__").replace("/", ".")
        for name, _ in _modules()
    }
    graph = networkx.DiGraph()
    for name, text in _modules():
        module = name.removesuffix(".py").removesuffix("/__init__").replace("/", ".")
        graph.add_edges_from((module, other) for other in _imported(ast.parse(text)) & names)
    rings = [ring for ring in networkx.strongly_connected_components(graph) if len(ring) > 1]
    assert not rings


def _imported(tree: ast.AST) -> set[str]:
    found: set[str] = set()
    for node in ast.iter_child_nodes(tree):
        if isinstance(node, ast.If) and "TYPE_CHECKING" in ast.dump(node.test):
            continue
        if isinstance(node, ast.ImportFrom) and node.module:
            found |= {node.module, *(f"{node.module}.{one.name}" for one in node.names)}
        found |= _imported(node)
    return found
